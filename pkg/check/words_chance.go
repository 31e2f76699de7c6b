package check

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// scatter is what scatters the load over the critical one of a crack of this board.
func (m reporter) scatter() []risk.Part { return risk.Parts(risk.Known(m.Board.Known())) }

// flatScatter is what scatters how far this board lies out of flat once it has settled:
// rings and fibres alone bend it.
func (m reporter) flatScatter() []risk.Part {
	return risk.FlatParts(risk.Known(m.Board.Known()), risk.Bend{Glued: true})
}

// flatScatterOf is the same in a history, where it lies worst.
func (m reporter) flatScatterOf(h *influence.ExposureResult) []risk.Part {
	c := h.LoadHistory
	return risk.FlatParts(risk.Known(m.Board.Known()), risk.Bend{Faces: m.ByFaces(m.At(c, c.Shape, h.Stands.Time, nil)), Drinks: c.Drinks(), Glued: c.Shown.FromGlueUp})
}

// word is that of a load over the critical one on this board.
func (m reporter) word(u float64) Verdict { return ScaleOf(m.Board).Of(u) }

// ScaleOf tells at which loads over the critical one of a crack the words begin on a board:
// earlier where less is known of the wood than if its moisture at gluing had been measured.
func ScaleOf(b *layout.Board) verdict.Scale { return risk.Scale(risk.Parts(risk.Known(b.Known()))) }

// asCrack is the load over the critical one (dimensionless) of a crack as likely as the
// figure. Words begin at figures of cracks.
func (o *Mode) asCrack() float64 { return o.Scale().AsCrack(*o.Figure) }

// Percent is the index in whole % of its word.
func (e *Exposure) Percent() int { return e.words.Percent(e.Index) }

// Percent is the figure in whole % of its word.
func (o *Mode) Percent() int { return o.Scale().Percent(*o.Figure) }

// Scale tells at which figures of the way its words begin.
func (o *Mode) Scale() verdict.Scale {
	if o.Words == nil { // not judged
		return verdict.Scale{}
	}
	return *o.Words
}

// chanceOf is the chance behind the word: that of the way that gives it. A rule gives a
// word without a chance, and where it is kept that of the way that comes nearest is told.
func chanceOf(modes []Mode) *Chance {
	by := chancy(modes)
	if by < 0 {
		return nil
	}
	o := &modes[by]
	s := risk.Together(o.scatter)
	c := &Chance{Mode: o.Mode, Spread: s, Low: *o.Low, High: *o.High, Contribution: []Share{}}
	if len(o.scatter) == 0 {
		c.Text = "No chance is told: a rule of the glue gives the word, and a rule does not scatter. " + o.Why
		return c
	}
	p := risk.Chance(*o.Figure, s)
	c.Board = &p
	for _, p := range o.scatter {
		c.Contribution = append(c.Contribution, Share{"scatter", p.Name, p.Spread * p.Spread / (s * s)})
	}
	slices.SortStableFunc(c.Contribution, func(a, b Share) int { return cmp.Compare(b.Share, a.Share) })
	known := ""
	if weighed, other := risk.Weighed(o.scatter); other {
		q := risk.Chance(*o.Figure, risk.Together(weighed))
		c.Measured = &q
		known = fmt.Sprintf("Had the moisture of the wood been measured when it was glued, and found as it is taken here, it would be %s. ", Odds(q))
	}
	c.Text = fmt.Sprintf("In this model: %s that %s. Of what is uncertain, %s makes up %.0f %% and %s %.0f %%. "+known+
		"It is the chance of the model with the scatter of wood put into it, in the use that is considered; what the model leaves out has no chance here, so it is not the chance of the world.",
		Odds(p), nearest[o.Mode], c.Contribution[0].Name, 100*c.Contribution[0].Share, c.Contribution[1].Name, 100*c.Contribution[1].Share)
	return c
}

// chancy is the mode whose chance is told; −1 for none.
func chancy(modes []Mode) int {
	by, _, word := governing(modes)
	if by < 0 || len(modes[by].scatter) > 0 || word != Holds {
		return by
	}
	scatter := slices.Clone(modes)
	for i := range scatter {
		if len(scatter[i].scatter) == 0 {
			scatter[i].Counts = false
		}
	}
	by, _, _ = governing(scatter)
	return by
}

// gluedAt says how the moisture at gluing is known where it was not measured; "" where it
// was.
func (m reporter) gluedAt() string {
	lo, hi := risk.Sold()
	switch m.Board.Known() {
	case layout.Untold:
		return fmt.Sprintf("No moisture of the wood at gluing is told, and no air of the shop. What is sold dried for use indoors stands at %g to %g %% MC, nine pieces in ten: the chance behind the word is of that range about what is taken. Measure it, and tell moisture.", lo, hi)
	case layout.ByAir:
		return "The wood is taken to have settled in the told air of the glue-up. Nobody has measured that it had: the chance behind the word is wider by it. Measure it, and tell moisture."
	}
	return ""
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
