package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/risk"
)

// oneInTwenty is the standard normal variable that one in twenty exceeds.
const oneInTwenty = 1.6449

// chanceOf is the chance behind the verdict.
func chanceOf(u float64) *Chance {
	s := risk.Spread()
	c := &Chance{Board: risk.Chance(u), Spread: s, Low: u * math.Exp(-oneInTwenty*s), High: u * math.Exp(oneInTwenty*s)}
	for _, p := range risk.Parts() {
		c.Contribution = append(c.Contribution, Share{"scatter", p.Name, p.Spread * p.Spread / (s * s)})
	}
	slices.SortStableFunc(c.Contribution, func(a, b Share) int { return cmp.Compare(b.Share, a.Share) })
	c.Text = fmt.Sprintf("In this model: %s that the worst place gives. Of what is uncertain, %s makes up %.0f %% and %s %.0f %%. "+
		"It is the chance of the model with the scatter of wood put into it, in the use that is considered; what the model leaves out has no chance here, so it is not the chance of the world.",
		Odds(c.Board), c.Contribution[0].Name, 100*c.Contribution[0].Share, c.Contribution[1].Name, 100*c.Contribution[1].Share)
	return c
}

// Odds tells a probability [dimensionless] as a maker counts.
func Odds(p float64) string {
	switch {
	case p > 0.99:
		return "all but certain"
	case p > 0.95:
		return "more than 19 in 20"
	case p >= 0.095:
		return fmt.Sprintf("about %.0f in 10", 10*p)
	case p >= 0.0095:
		return fmt.Sprintf("about %.0f in 100", 100*p)
	case p >= 0.00095:
		return fmt.Sprintf("about %.0f in 1000", 1000*p)
	}
	return "less than 1 in 1000"
}
