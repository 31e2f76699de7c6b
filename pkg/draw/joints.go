package draw

import (
	"math"
	"sort"
	"strings"
)

// plainJoint is the colour of a glue line without a result.
const plainJoint = "#4a4038"

// drawJoints paints every joint once: first those without a result, then the
// bands from harmless to failing, so that the worst lies on top.
func (p *plan) drawJoints(c *canvas) {
	mark := map[int]JointMark{}
	for _, j := range p.m.Joints {
		mark[j.Joint] = j
	}
	var of [4][]int
	var plain []int
	for i := range p.b.Joints {
		if m, ok := mark[i]; ok {
			k := p.m.Words.Band(m.Utilisation)
			of[k] = append(of[k], i)
			continue
		}
		plain = append(plain, i)
	}
	c.begin("g", "data-layer", "joints", "fill", "none")
	if len(plain) > 0 {
		c.begin("g", "stroke", plainJoint, "stroke-width", dec(math.Max(0.9*p.s, 0.4)))
		for _, i := range plain {
			c.el("path", "d", p.jointPath(i), "data-joint", p.b.Joints[i].ID)
		}
		c.end()
	}
	for k, list := range of {
		for _, slim := range p.byRoom(list, mark) {
			p.drawBand(c, k, slim.joints, mark, p.s*slim.part)
		}
	}
	c.end()
}

// painted is the utilisation (dimensionless) of which colour and width of a joint are: that
// of a crack as likely, so that what is painted alike has one word on every board.
func (p *plan) painted(u float64) float64 { return p.m.Words.AsCrack(u) }

// slimmed are joints whose lines are drawn at a part of their width.
type slimmed struct {
	part   float64
	joints []int
}

// leastSeen is the part of a strip's width that the lines of its two long joints
// leave in sight.
const leastSeen = 0.45

// byRoom sorts joints by how much of their width there is room for: beside a
// narrow inlay lines are thinner, so that they do not hide it. Most boards have
// one group.
func (p *plan) byRoom(list []int, mark map[int]JointMark) []slimmed {
	groups := map[float64][]int{}
	for _, i := range list {
		j := p.b.Joints[i]
		room := 2 * p.f.k * math.Min(p.narrow(j.A), p.narrow(j.B)) * (1 - leastSeen)
		part := math.Min(1, room/(lineWidth(p.painted(mark[i].Utilisation))*p.s))
		part = math.Max(0.1, math.Ceil(part*10)/10)
		groups[part] = append(groups[part], i)
	}
	out := make([]slimmed, 0, len(groups))
	for part, joints := range groups {
		out = append(out, slimmed{part, joints})
	}
	sort.Slice(out, func(a, b int) bool { return out[a].part < out[b].part })
	return out
}

// narrow is the way from the middle of a piece to its nearest side, mm.
func (p *plan) narrow(piece int) float64 {
	o := p.b.Pieces[piece].Outline
	c, least := centreOf(o), math.Inf(1)
	for i, a := range o {
		b := o[(i+1)%len(o)]
		if a != b {
			least = math.Min(least, toSegment(c, a, b))
		}
	}
	return least
}

// drawBand paints joints of one band, the mildest first; s is the scale of lines.
func (p *plan) drawBand(c *canvas, k int, list []int, mark map[int]JointMark, s float64) {
	titles := len(p.b.Joints) <= manyParts
	sort.SliceStable(list, func(a, b int) bool {
		return mark[list[a]].Utilisation < mark[list[b]].Utilisation
	})
	st := bandStyle(k, s)
	top := lineWidth(p.painted(mark[list[len(list)-1]].Utilisation)) * s
	var all strings.Builder
	for _, i := range list {
		all.WriteString(p.jointPath(i))
	}
	c.el("path", "d", all.String(), "stroke", cardColour, "stroke-opacity", "0.85",
		"stroke-width", dec(top+st.casing), "pointer-events", "none")
	c.begin("g", st.attrs()...)
	// Joints of nearly the same utilisation share a colour and a width;
	// steps of 0.02 are finer than the eye and save a third of the picture.
	open, step := false, 0
	for _, i := range list {
		m := mark[i]
		if at := int(math.Round(math.Min(p.painted(m.Utilisation), 2) * 50)); !open || at != step {
			if open {
				c.end()
			}
			u := math.Max(float64(at)/50, bands[k].from)
			c.begin("g", "stroke", rampColour(u).hex(), "stroke-width", dec(lineWidth(u)*s))
			open, step = true, at
		}
		title := ""
		if titles || k >= 2 {
			title = jointTitle(p.b.Joints[i].ID, m, k)
		}
		c.titled("path", title, "d", p.jointPath(i), "data-joint", p.b.Joints[i].ID,
			"data-utilisation", sig(m.Utilisation, 4))
	}
	c.end()
	c.end()
	if bands[k].core {
		c.el("path", append([]string{"d", all.String(), "pointer-events", "none"}, st.core()...)...)
	}
}

func jointTitle(id string, m JointMark, k int) string {
	s := id + ": " + string(bands[k].word) + ", utilisation " + sig(m.Utilisation, 3)
	if m.How != "" {
		s += ", " + m.How
	}
	return s
}

func (p *plan) jointPath(i int) string {
	j := p.b.Joints[i]
	return pathOf([]arcLine{{from: p.f.at(j.From), to: p.f.at(j.To)}})
}

// style is the line of one verdict band at one line scale.
type style struct {
	band   int
	s      float64
	wide   float64 // width at the band's sample, for dashes
	casing float64 // extra width of the pale line underneath
}

func bandStyle(k int, s float64) style {
	casing := [4]float64{1.1, 1.6, 1.8, 2}[k] * math.Sqrt(s)
	return style{band: k, s: s, wide: lineWidth(bands[k].sample) * s, casing: casing}
}

// attrs are the attributes shared by the lines of a band.
func (t style) attrs() []string {
	d := bands[t.band].dash
	if d[0] == 0 {
		return nil
	}
	return []string{"stroke-dasharray", dec(d[0]*t.wide) + " " + dec(d[1]*t.wide)}
}

// core is the broken pale line along the middle of a failing joint: it reads
// as an opening seam, with or without colour.
func (t style) core() []string {
	return []string{"stroke", cardColour, "stroke-width", dec(0.3 * t.wide),
		"stroke-dasharray", dec(0.75*t.wide) + " " + dec(0.75*t.wide)}
}

// dec writes a width, which needs finer steps than a place.
func dec(v float64) string { return sig(math.Round(v*100)/100, 4) }

// drawPieceMarks shows wood that is itself near its strength: a lens-shaped
// split along the rays of end grain, or along the fibres of long grain. Wood
// that holds gets no mark.
func (p *plan) drawPieceMarks(c *canvas) {
	var list []PieceMark
	for _, m := range p.m.PieceMarks {
		if p.m.Words.Band(m.Utilisation) > 0 {
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Utilisation < list[b].Utilisation })
	c.begin("g", "data-layer", "wood", "stroke", cardColour, "stroke-width", dec(1.3*p.s), "stroke-linejoin", "round")
	for _, m := range list {
		q := p.b.Pieces[m.Piece]
		o := p.f.outline(q.Outline)
		at := p.f.at(centreOf(q.Outline))
		angle := q.Grain.Angle
		if q.Grain.Up {
			angle = q.RingAngle
			if q.Pith != nil {
				centre := centreOf(q.Outline)
				if dx, dy := centre[0]-q.Pith[0], centre[1]-q.Pith[1]; dx != 0 || dy != 0 {
					angle = math.Atan2(dy, dx) * 180 / math.Pi
				}
			}
		}
		s, co := math.Sincos(angle * math.Pi / 180)
		d := xy{co, -s}
		lo, hi := extent(o, at, d)
		half := math.Min(math.Min(-lo, hi)*0.62, 26)
		w := math.Max(lineWidth(p.painted(m.Utilisation))*p.s*0.62, 1.2)
		if p.m.Words.Band(m.Utilisation) < 3 {
			half *= 0.72
		}
		c.titled("path", q.ID+": wood, utilisation "+sig(m.Utilisation, 3)+comma(m.Text),
			"d", lens(at, d, half, w), "fill", rampColour(p.painted(m.Utilisation)).hex(),
			"data-wood", q.ID, "data-utilisation", sig(m.Utilisation, 4))
	}
	c.end()
}

func comma(s string) string {
	if s == "" {
		return ""
	}
	return ", " + s
}

// lens is a spindle of half length h and half width w along d.
func lens(at, d xy, h, w float64) string {
	n := xy{-d[1], d[0]}
	pt := func(a, b float64) string {
		return num(at[0]+a*d[0]+b*n[0]) + " " + num(at[1]+a*d[1]+b*n[1])
	}
	return "M" + pt(-h, 0) + "Q" + pt(0, 2*w) + " " + pt(h, 0) + "Q" + pt(0, -2*w) + " " + pt(-h, 0) + "z"
}

// centreOf is the centroid of an outline.
func centreOf(o []xy) xy {
	area, x, y := 0.0, 0.0, 0.0
	p := o[0] // moments about a corner keep their digits on a small piece far out
	for i, a := range o {
		b := o[(i+1)%len(o)]
		ax, ay, bx, by := a[0]-p[0], a[1]-p[1], b[0]-p[0], b[1]-p[1]
		k := ax*by - bx*ay
		area += k
		x += k * (ax + bx)
		y += k * (ay + by)
	}
	if area == 0 {
		return middle(o)
	}
	return xy{p[0] + x/(3*area), p[1] + y/(3*area)}
}
