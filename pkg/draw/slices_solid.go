package draw

import (
	"fmt"
	"math"
)

// solid is a box in oblique view: its front lower left corner, its size on the
// screen, and how far its depth runs to the right and up.
type solid struct {
	x, y, w, h float64
	dx, dy     float64
}

func (b solid) side() []xy {
	return []xy{{b.x + b.w, b.y}, {b.x + b.w, b.y - b.h}, {b.x + b.w + b.dx, b.y - b.h - b.dy}, {b.x + b.w + b.dx, b.y - b.dy}}
}

// face paints one strip's share of a face: a colour, lines, an outline.
func face(c *canvas, o []xy, base rgb, shade float64, lines string) {
	base = lighten(base, shade)
	c.el("path", "d", ringPath(o), "fill", base.hex())
	if lines != "" {
		c.el("path", "d", lines, "fill", "none", "stroke", grainColour(base).hex(), "stroke-width", "0.8")
	}
	c.el("path", "d", ringPath(o), "fill", "none", "stroke", plainJoint, "stroke-width", "0.8", "stroke-linejoin", "round")
}

// endGrain gives the rings of one strip's end, w × h on the screen at k units
// per mm, carried by at from the strip's own place (x right, y down).
func endGrain(p Strip, id string, w, h, k float64, at func(xy) xy) string {
	look := look{id: id, up: true, ring: p.Ring, unlooked: p.Unlooked, gap: 4, outline: []xy{{0, 0}, {w, 0}, {w, h}, {0, h}}}
	if p.Pith != nil {
		look.pith = &xy{w/2 + k*p.Pith[0], h/2 - k*p.Pith[1]}
	}
	out := ""
	for _, a := range grainLines(look) {
		out += polyline(sampled(a, at))
	}
	return out
}

// sampled turns a growth line into points and carries them elsewhere.
func sampled(a arcLine, at func(xy) xy) []xy {
	if a.r == 0 {
		return []xy{at(a.from), at(a.to)}
	}
	// The centre lies to the right of the chord on the screen for a short arc
	// that runs clockwise, and to the left for a long one.
	mx, my := (a.from[0]+a.to[0])/2, (a.from[1]+a.to[1])/2
	dx, dy := a.to[0]-a.from[0], a.to[1]-a.from[1]
	l := math.Hypot(dx, dy)
	off := math.Sqrt(math.Max(a.r*a.r-l*l/4, 0))
	if a.large {
		off = -off
	}
	cx, cy := mx-off*dy/l, my+off*dx/l
	t0, t1 := math.Atan2(a.from[1]-cy, a.from[0]-cx), math.Atan2(a.to[1]-cy, a.to[0]-cx)
	if t1 < t0 {
		t1 += 2 * math.Pi
	}
	n := max(2, int(math.Ceil((t1-t0)/0.25))+1)
	out := make([]xy, n)
	for i := range out {
		s, co := math.Sincos(t0 + (t1-t0)*float64(i)/float64(n-1))
		out[i] = at(xy{cx + a.r*co, cy + a.r*s})
	}
	return out
}

func woodColour(hex string) rgb {
	if c, err := parseHex(hex); err == nil {
		return c
	}
	c, _ := parseHex(neutralWood)
	return c
}

// eachStrip goes through the strips of a solid from left to right: the left edge of
// each and its width on the screen, its front and its top, and lines of fibres that run
// by (dx, dy) from the front edge of the top.
func (d sliceDrawing) eachStrip(b solid, k, dx, dy float64, draw func(i int, x, w float64, front, top []xy, fibres string)) {
	x := b.x
	for i, p := range d.Strips {
		w := p.Width * k
		front := []xy{{x, b.y}, {x + w, b.y}, {x + w, b.y - b.h}, {x, b.y - b.h}}
		top := []xy{{x, b.y - b.h}, {x + w, b.y - b.h}, {x + w + b.dx, b.y - b.h - b.dy}, {x + b.dx, b.y - b.h - b.dy}}
		fibres := ""
		for t := 4.0; t < w; t += 5 {
			fibres += pathOf([]arcLine{{from: xy{x + t, b.y - b.h}, to: xy{x + t + dx, b.y - b.h + dy}}})
		}
		draw(i, x, w, front, top, fibres)
		x += w
	}
}

// lying draws a length of the panel: end grain in front, fibres running back.
func (d sliceDrawing) lying(c *canvas, b solid, k float64) {
	d.eachStrip(b, k, b.dx, -b.dy, func(i int, x, w float64, front, top []xy, fibres string) {
		base := woodColour(d.Strips[i].Colour)
		face(c, top, base, 0.02, fibres)
		face(c, front, base, -0.02, endGrain(d.Strips[i], fmt.Sprint("strip ", i), w, b.h, k, func(q xy) xy {
			return xy{x + q[0], b.y - b.h + q[1]}
		}))
	})
	d.rightSide(c, b)
}

// standing draws a slice on end: fibres upright in front, end grain on top.
func (d sliceDrawing) standing(c *canvas, b solid, k float64) {
	deep := d.Height * k
	d.eachStrip(b, k, 0, b.h, func(i int, x, w float64, front, top []xy, fibres string) {
		base := woodColour(d.Strips[i].Colour)
		face(c, front, base, -0.02, fibres)
		face(c, top, base, 0.02, endGrain(d.Strips[i], fmt.Sprint("strip ", i), w, deep, k, func(q xy) xy {
			t := 1 - q[1]/deep // from the front edge to the back
			return xy{x + q[0] + t*b.dx, b.y - b.h - t*b.dy}
		}))
	})
	d.rightSide(c, b)
}

func (d sliceDrawing) rightSide(c *canvas, b solid) {
	face(c, b.side(), woodColour(d.Strips[len(d.Strips)-1].Colour), -0.07, "")
}

// drawArrow is a plain arrow.
func drawArrow(c *canvas, a, b xy) {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	d := xy{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
	c.el("path", "d", pathOf([]arcLine{{from: a, to: xy{b[0] - 5*d[0], b[1] - 5*d[1]}}}), "stroke", inkColour, "stroke-width", "2")
	c.el("path", "d", arrowHead(b, d), "fill", inkColour)
}

func arrowHead(tip, d xy) string {
	n := xy{-d[1], d[0]}
	return ringPath([]xy{tip, {tip[0] - 9*d[0] + 4.5*n[0], tip[1] - 9*d[1] + 4.5*n[1]}, {tip[0] - 9*d[0] - 4.5*n[0], tip[1] - 9*d[1] - 4.5*n[1]}})
}

// drawTurn is the sign of a turn: a round arrow for half a turn on the bench,
// an upright bow for rolling over, both for both, a straight arrow for none.
func drawTurn(c *canvas, m xy, turn string) {
	spin := func(x, y, r float64) {
		c.el("path", "d", "M"+num(x-r)+" "+num(y)+"A"+num(r)+" "+num(r)+" 0 1 1 "+num(x)+" "+num(y+r),
			"fill", "none", "stroke", inkColour, "stroke-width", "2")
		c.el("path", "d", arrowHead(xy{x - 5, y + r}, xy{-1, 0}), "fill", inkColour)
	}
	roll := func(x, y, r, axis float64) {
		c.el("path", "d", "M"+num(x-axis)+" "+num(y)+"H"+num(x+axis), "stroke", mutedColour, "stroke-width", "1.2", "stroke-dasharray", "4 3")
		c.el("path", "d", "M"+num(x-2)+" "+num(y-r)+"A"+num(r*0.55)+" "+num(r)+" 0 1 1 "+num(x-r*0.5)+" "+num(y+r*0.35),
			"fill", "none", "stroke", inkColour, "stroke-width", "2")
		c.el("path", "d", arrowHead(xy{x - r*0.55 - 1, y + r*0.35 - 7}, xy{-0.25, -0.97}), "fill", inkColour)
	}
	switch turn {
	case "end-for-end":
		spin(m[0], m[1], 13)
	case "over":
		roll(m[0], m[1], 18, 26)
	case "both":
		roll(m[0]-16, m[1], 15, 14)
		spin(m[0]+16, m[1], 10)
	default:
		drawArrow(c, xy{m[0] - 16, m[1]}, xy{m[0] + 18, m[1]})
	}
}
