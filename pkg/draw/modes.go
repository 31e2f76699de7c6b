package draw

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// ModeMark is how near a board comes to one way of failing.
type ModeMark struct {
	Name      string
	Words     verdict.Scale // figures at which its words begin
	Word      string        // with what is not judged by the figure
	Figure    float64       // over its limit
	Low, High float64       // its range
	Told      bool          // beside the word
}

// The bars of modes: names on the left, the limit at two thirds of the track.
const (
	modeRow   = 19.0
	modeNames = 210.0
	trackEnd  = 1.5 // over the limit; what lies beyond ends in an arrow
)

// drawModes sets the ways to fail side by side as bars up to their common limit; it
// returns the lower end.
func (p *plan) drawModes(c *canvas, y float64) float64 {
	if len(p.m.Modes) == 0 {
		return y
	}
	y += 16
	c.begin("g", "data-layer", "modes")
	from, to := side+modeNames, picWidth-side-56
	at := func(v float64) float64 { return from + (to-from)*math.Min(v, trackEnd)/trackEnd }
	bottom := y + modeRow*float64(len(p.m.Modes))
	c.el("path", "d", "M"+num(at(1))+" "+num(y-2)+"V"+num(bottom), "stroke", inkColour, "stroke-width", "1", "stroke-dasharray", "3 2")
	for i, m := range p.m.Modes {
		mid := y + modeRow*(float64(i)+0.5)
		name, fill := m.Name, inkColour
		if m.Told {
			name, fill = m.Name+" (told only)", mutedColour
		}
		c.label(side, mid+4, 12.5, name, "fill", fill)
		c.el("path", "d", "M"+num(from)+" "+num(mid)+"H"+num(to), "stroke", cardEdge)
		c.titled("rect", fmt.Sprintf("%s: %s, %d %% of the limit", m.Name, m.Word, m.Words.Percent(m.Figure)),
			"x", num(from), "y", num(mid-4), "width", num(at(m.Figure)-from), "height", "8", "fill", rampColour(m.Words.AsCrack(m.Figure)).hex(), "data-figure", sig(m.Figure, 4))
		if m.High > m.Low {
			line := "M" + num(at(m.Low)) + " " + num(mid) + "H" + num(at(m.High))
			c.el("path", "d", line, "stroke", cardColour, "stroke-width", "3")
			c.el("path", "d", line, "stroke", inkColour, "stroke-width", "1")
		}
		c.label(picWidth-side, mid+4, 12.5, fmt.Sprintf("%d %%", m.Words.Percent(m.Figure)), "text-anchor", "end", "fill", fill)
	}
	c.end()
	c.label(side, bottom+14, 11.5, "Bars: ways to fail, each up to its own limit (dashed); thin lines hold nine boards in ten.", "fill", mutedColour)
	return bottom + 18
}
