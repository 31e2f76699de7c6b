package check

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/risk"
)

// chanceOf is a chance as it is told.
func (m reporter) chanceOf(k *risk.Chance) *Chance {
	c := &Chance{Joint: m.Board.Joints[k.Joint].ID, WorstJoint: k.Worst, FirstOrder: k.FirstOrder, Beta: k.Beta,
		Board: k.Board, Correlation: k.Correlation, BoardLow: k.Low, BoardHigh: k.High, Joints: k.Searched}
	for _, p := range k.Contribution {
		c.Contribution = append(c.Contribution, Share{"scatter", p.Name, p.Share})
	}
	if s := k.Sampled; s != nil {
		c.Sampled = &Sampled{Samples: s.Samples, Joints: s.Joints, WorstJoint: s.Worst, WorstJointError: s.WorstError, Board: s.Board, BoardError: s.BoardError}
	}
	c.Text = chanceText(c, k.All)
	return c
}

// chanceText says it in words.
func chanceText(c *Chance, joints int) string {
	var b strings.Builder
	index := fmt.Sprintf("%.1f", c.Beta)
	if c.Beta >= risk.MostBeta {
		index = fmt.Sprintf("%d or more", risk.MostBeta)
	}
	fmt.Fprintf(&b, "In this model joint %s is the likeliest to open or slide: %s (reliability index %s). ", c.Joint, odds(c.WorstJoint), index)
	low, likely, high := odds(c.BoardLow), odds(c.Board), odds(c.BoardHigh)
	switch {
	case joints == 1:
	case low == high:
		fmt.Fprintf(&b, "Some joint of the board: %s. ", low)
	default:
		fmt.Fprintf(&b, "Some joint of the board: %s (bounds: %s, %s; the joints share woods and climate, with a mean correlation of %.2f). ", likely, low, high, c.Correlation)
	}
	if s := c.Sampled; s != nil {
		fmt.Fprintf(&b, "Counted in %d samples: %.3g ± %.1g for the joint, %.3g ± %.1g for the board. ", s.Samples, s.WorstJoint, s.WorstJointError, s.Board, s.BoardError)
	}
	fmt.Fprintf(&b, "Of what is uncertain, %s makes up %.0f %% and %s %.0f %%. ", c.Contribution[0].Name, 100*c.Contribution[0].Share, c.Contribution[1].Name, 100*c.Contribution[1].Share)
	b.WriteString("A joint counts once stress reaches what it bears; whether a crack then runs is asked apart. This is the chance of the model with the scatter of wood put into it, if the board meets its worst moment; what the model leaves out has no chance here, so it is not the chance of the world.")
	return b.String()
}

// odds tells a probability as a maker counts.
func odds(p float64) string {
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
