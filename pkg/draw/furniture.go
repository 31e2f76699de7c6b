package draw

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

const side = 30.0 // margin of everything written on a card

// heading writes title and subtitle beside a bar of colour; it returns where
// the picture may begin.
func heading(c *canvas, title, subtitle, tint string) float64 {
	y := 22.0
	top := y
	for _, line := range wrap(title, 21, picWidth-2*side-16, 2) {
		y += 20
		c.label(side+16, y, 20, line, "font-weight", "650")
		y += 4
	}
	for _, line := range wrap(subtitle, 13.5, picWidth-2*side-16, 3) {
		y += 17
		c.label(side+16, y, 13, line, "fill", mutedColour)
	}
	if y == top {
		return 28
	}
	c.el("rect", "x", num(side), "y", num(top+2), "width", "6", "height", num(y-top+2), "rx", "3", "fill", tint)
	return y + 22
}

// drawScale draws a bar of a round length and the size of the board; it
// returns the lower end.
func drawScale(c *canvas, f frame, y float64, b *layout.Board, inch bool) float64 {
	y += 20
	x := side // below a narrow board, bar and size need the card's whole width
	if f.x > side && picWidth-2*f.x > 380 {
		x = f.x
	}
	unit := 1.0
	if inch {
		unit = 25.4
	}
	l := roundBelow(150 / f.k / unit) // in the unit shown
	px := l * unit * f.k
	c.begin("g", "data-layer", "scale")
	for i := range 4 {
		fill := inkColour
		if i%2 == 1 {
			fill = cardColour
		}
		c.el("rect", "x", num(x+px*float64(i)/4), "y", num(y), "width", num(px/4), "height", "5",
			"fill", fill, "stroke", inkColour, "stroke-width", "0.8")
	}
	c.label(x+px+9, y+7, 12.5, sig(l, 3)+" "+unitOf(inch))
	size := length(b.Width, inch) + " × " + length(b.Height, inch)
	if b.Thickness > 0 {
		size += " × " + length(b.Thickness, inch)
	}
	c.label(picWidth-x, y+7, 12.5, size+" "+unitOf(inch), "text-anchor", "end", "fill", mutedColour)
	c.end()
	return y + 12
}

// roundBelow is the largest of 1, 2, 5 times a power of ten not above v.
func roundBelow(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{5, 2} {
		if m*p <= v*(1+1e-12) {
			return m * p
		}
	}
	return p
}

// drawLegend explains the lines of the joints; it returns the lower end.
func (p *plan) drawLegend(c *canvas, y float64) float64 {
	if len(p.m.Joints) == 0 {
		return y
	}
	y += 20
	c.begin("g", "data-layer", "legend")
	c.el("path", "d", "M"+num(side)+" "+num(y-4)+"H"+num(picWidth-side), "stroke", cardEdge)
	step := (picWidth - 2*side) / 4
	for k, b := range bands {
		x := side + step*float64(k)
		st := bandStyle(k, 1)
		line := "M" + num(x+2) + " " + num(y+16) + "h34"
		c.el("path", append([]string{"d", line, "fill", "none", "stroke", rampColour(b.sample).hex(),
			"stroke-width", dec(lineWidth(b.sample))}, st.attrs()...)...)
		if b.core {
			c.el("path", append([]string{"d", line, "fill", "none"}, st.core()...)...)
		}
		c.label(x+46, y+14, 13.5, string(b.word), "font-weight", "600")
		c.label(x+46, y+29, 11.5, limits(k, p.m.Words), "fill", mutedColour)
	}
	c.end()
	y += 38
	note := "Line: utilisation of the joint, load over the critical load."
	for _, m := range p.m.PieceMarks {
		if p.m.Words.Band(m.Utilisation) > 0 {
			note += " Lens: the wood itself may split."
			break
		}
	}
	if len(p.m.Joints) < len(p.b.Joints) {
		note += " Thin dark line: no result."
	}
	c.label(side, y+10, 11.5, note, "fill", mutedColour)
	return y + 14
}

// drawWoods lists the woods with their colours; it returns the lower end.
func drawWoods(c *canvas, b *layout.Board, colours []string, y float64) float64 {
	type entry struct{ name, colour string }
	var list []entry
	seen := map[entry]bool{}
	for i, q := range b.Pieces {
		e := entry{woodName(q.Species), colourOf(colours, i)}
		if e.name != "" && !seen[e] {
			seen[e] = true
			list = append(list, e)
		}
	}
	if len(list) == 0 {
		return y
	}
	const most = 11
	more := 0
	if len(list) > most {
		more = len(list) - most
		list = list[:most]
	}
	y += 16
	c.begin("g", "data-layer", "woods")
	x := side
	place := func(w float64) {
		if x > side && x+w > picWidth-side {
			x, y = side, y+21
		}
	}
	for i, e := range list {
		name := cut(e.name, 12.5, 200)
		w := 22 + textWidth(name, 12.5) + 16
		place(w)
		swatch := wood{colour: e.colour, look: look{id: fmt.Sprint("swatch ", i), up: true, ring: 65, gap: 3.6,
			outline: []xy{{x, y}, {x + 15, y}, {x + 15, y + 15}, {x, y + 15}}}}
		drawSwatch(c, swatch)
		c.label(x+22, y+12, 12.5, name)
		x += w
	}
	if more > 0 {
		place(90)
		c.label(x, y+12, 12.5, fmt.Sprintf("and %d more", more), "fill", mutedColour)
	}
	c.end()
	return y + 22
}

// drawSwatch is a small block of a wood for a legend.
func drawSwatch(c *canvas, w wood) {
	base, err := parseHex(w.colour)
	if err != nil {
		return // colours were checked on entry
	}
	c.el("path", "d", ringPath(w.outline), "fill", base.hex())
	c.el("path", "d", pathOf(grainLines(w.look)), "fill", "none", "stroke", grainColour(base).hex(), "stroke-width", "0.9")
	c.el("path", "d", ringPath(w.outline), "fill", "none", "stroke", mutedColour, "stroke-width", "0.6")
}
