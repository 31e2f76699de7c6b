package draw

import "math"

// callout is the label of the worst joint.
type callout struct {
	lines []string
	wide  float64
	y     float64 // upper edge of the label
	above bool    // the label stands above the board
}

const calloutSize = 13.5

func newCallout(text string) callout {
	k := callout{lines: wrap(text, calloutSize, 400, 3)}
	for _, l := range k.lines {
		k.wide = math.Max(k.wide, textWidth(l, calloutSize))
	}
	k.wide = 1.06*k.wide + 24 // fonts of other machines run wider
	return k
}

func (k callout) height() float64 {
	if len(k.lines) == 0 {
		return 0
	}
	return float64(len(k.lines))*17 + 14
}

// drawCallout draws a ring round the worst joint and leads to its label.
func (p *plan) drawCallout(c *canvas) {
	if p.worst < 0 {
		return
	}
	j := p.b.Joints[p.worst]
	a, b := p.f.at(j.From), p.f.at(j.To)
	r := 4 + 6*p.s
	c.begin("g", "data-layer", "worst", "pointer-events", "none")
	defer c.end()
	ring := capsule(a, b, r)
	c.el("path", "d", ring, "fill", "none", "stroke", cardColour, "stroke-width", "4.6")
	c.el("path", "d", ring, "fill", "none", "stroke", inkColour, "stroke-width", "2")
	if len(p.call.lines) == 0 {
		return
	}
	dir := 1.0 // down, to a label below
	edge := p.call.y
	if p.call.above {
		dir = -1
		edge = p.call.y + p.call.height()
	}
	// The leader leaves the ring where it is nearest to the label and slants,
	// so that it cannot be taken for a glue line.
	start := a
	switch {
	case math.Abs(a[1]-b[1]) < 1:
		start = xy{(a[0] + b[0]) / 2, a[1]}
	case (b[1]-a[1])*dir > 0:
		start = b
	}
	slant := 0.22 * math.Abs(edge-start[1])
	if start[0] > picWidth/2 {
		slant = -slant
	}
	end := xy{start[0] + slant, edge}
	l := math.Hypot(end[0]-start[0], end[1]-start[1])
	start = xy{start[0] + r*(end[0]-start[0])/l, start[1] + r*(end[1]-start[1])/l}
	leader := pathOf([]arcLine{{from: start, to: end}})
	c.el("path", "d", leader, "stroke", cardColour, "stroke-width", "4.2")
	c.el("path", "d", leader, "stroke", inkColour, "stroke-width", "1.6")
	x := math.Min(math.Max(end[0]-p.call.wide/2, side), picWidth-side-p.call.wide)
	c.el("rect", "x", num(x), "y", num(p.call.y), "width", num(p.call.wide), "height", num(p.call.height()),
		"rx", "6", "fill", "#ffffff", "stroke", inkColour, "stroke-width", "1.4")
	for i, line := range p.call.lines {
		c.label(x+12, p.call.y+19+17*float64(i), calloutSize, line)
	}
}

// capsule is the outline at distance r round a straight segment.
func capsule(a, b xy, r float64) string {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	d := xy{1, 0}
	if l > 0 {
		d = xy{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
	}
	n := xy{-d[1] * r, d[0] * r}
	pt := func(p xy, s float64) string { return num(p[0]+s*n[0]) + " " + num(p[1]+s*n[1]) }
	arc := "A" + num(r) + " " + num(r) + " 0 0 0 "
	return "M" + pt(a, 1) + "L" + pt(b, 1) + arc + pt(b, -1) + "L" + pt(a, -1) + arc + pt(a, 1) + "z"
}
