package draw

import (
	"errors"
	"fmt"
	"math"
)

// MovementBar is how far one wood moves across its fibres.
type MovementBar struct {
	Name       string
	Radial     float64 // % of its width, over the change that is drawn
	Tangential float64
	Weak       bool // a figure of it is estimated, remembered or disputed
}

// MovementOptions are the words of a picture of movement.
type MovementOptions struct {
	Title, Subtitle string
	More            int // woods that are left out
	Width           int // px, 0 means 600
}

// Bars of movement: the radial one dark, the tangential one pale with a dark rim, so that
// they are told apart without colour.
const (
	moveRow     = 23.0
	moveNames   = 176.0
	moveFigures = 84.0
	radialFill  = "#1d4f5f"
	tangentFill = "#e9c49a"
)

// Movement draws woods as bars beside one another: across the rings and along them, in per
// cent of the width, which is mm on 100 mm. It returns an error when there is no wood or a
// number is negative or not finite.
func Movement(list []MovementBar, o MovementOptions) ([]byte, error) {
	if len(list) == 0 {
		return nil, errors.New("draw: a table without woods has no picture")
	}
	most := 0.0
	for _, m := range list {
		if err := finite("movement of "+m.Name, m.Radial, m.Tangential); err != nil {
			return nil, err
		}
		if m.Radial < 0 || m.Tangential < 0 {
			return nil, fmt.Errorf("draw: movement of %s: negative", m.Name)
		}
		most = math.Max(most, math.Max(m.Radial, m.Tangential))
	}
	var c canvas
	y := heading(&c, o.Title, o.Subtitle, tangentFill)
	step := niceStep(math.Max(most, 1e-3) / 5)
	across := axis{0, step * math.Ceil(math.Max(most, 1e-3)/step-1e-9), side + moveNames, picWidth - side - moveFigures}
	top := y + 16
	bottom := top + moveRow*float64(len(list))
	c.begin("g", "data-layer", "scale")
	for _, v := range ticksBy(across.lo, across.hi, step) {
		x := across.at(v)
		c.el("path", "d", "M"+num(x)+" "+num(top)+"V"+num(bottom), "stroke", cardEdge)
		c.label(x, top-5, 11.5, tickText(v, step), "text-anchor", "middle", "fill", mutedColour)
	}
	c.label(picWidth-side, top-5, 11.5, "%", "text-anchor", "end", "fill", mutedColour)
	c.end()
	c.begin("g", "data-layer", "woods")
	for i, m := range list {
		at := top + moveRow*float64(i)
		name := m.Name
		if m.Weak {
			name += " *"
		}
		c.label(side, at+15, 12.5, cut(name, 12.5, moveNames-8))
		for k, bar := range [2]struct {
			v          float64
			fill, what string
		}{{m.Radial, radialFill, "across its rings"}, {m.Tangential, tangentFill, "along its rings"}} {
			c.titled("rect", fmt.Sprintf("%s: %s %% %s", m.Name, sig(bar.v, 3), bar.what),
				"x", num(across.p0), "y", num(at+2.5+9*float64(k)), "width", num(across.at(bar.v)-across.p0), "height", "8",
				"fill", bar.fill, "stroke", inkColour, "stroke-width", "0.7", "data-percent", sig(bar.v, 4))
		}
		c.label(picWidth-side, at+15, 12, fmt.Sprintf("%.2f, %.2f", m.Radial, m.Tangential), "text-anchor", "end")
	}
	c.end()
	y = bottom + 14
	x := side
	for _, k := range [2]struct{ fill, text string }{{radialFill, "radial, across the rings"}, {tangentFill, "tangential, along the rings"}} {
		c.el("rect", "x", num(x), "y", num(y), "width", "22", "height", "10", "fill", k.fill, "stroke", inkColour, "stroke-width", "0.7")
		c.label(x+29, y+9.5, 12, k.text)
		x += 29 + textWidth(k.text, 12) + 22
	}
	note := "Per cent of the width: mm on a strip of 100 mm. *: rests on a weak figure."
	if o.More > 0 {
		note = fmt.Sprintf("And %s more. ", plural(o.More, "wood")) + note
	}
	c.label(side, y+29, 11.5, note, "fill", mutedColour)
	desc := fmt.Sprintf("Bars of %s. %s moves least along its rings, %s %%; %s most, %s %%.", plural(len(list), "wood"),
		extremeOf(list, -1).Name, sig(extremeOf(list, -1).Tangential, 3), extremeOf(list, 1).Name, sig(extremeOf(list, 1).Tangential, 3))
	return c.finish(o.Width, y+42, brief(o.Title), brief(desc)), nil
}

// extremeOf is the wood that moves least (−1) or most (1) along its rings.
func extremeOf(list []MovementBar, sign float64) MovementBar {
	best := list[0]
	for _, m := range list {
		if sign*(m.Tangential-best.Tangential) > 0 {
			best = m
		}
	}
	return best
}
