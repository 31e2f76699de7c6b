package draw

import (
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// leastMoistureSpan is the least range of a panel of moistures, % MC.
const leastMoistureSpan = 1

// drawPanel draws one panel between the heights top and bottom.
func drawPanel(c *canvas, p panel, t axis, top, bottom float64, o HistoryOptions) {
	var values [][]float64
	limits := false
	for _, s := range p.series {
		values = append(values, s.Values)
		limits = limits || s.Utilisation
	}
	lo, hi := rangeOf(values...)
	if limits {
		lo, hi = math.Min(lo, 0), math.Max(hi*1.08, 1.22)
	} else {
		if p.unit == "% MC" && hi-lo < leastMoistureSpan { // what hardly changes must not look as if it swung
			lo, hi = (lo+hi-leastMoistureSpan)/2, (lo+hi+leastMoistureSpan)/2
		}
		pad := 0.06 * (hi - lo)
		lo, hi = lo-pad, hi+pad
	}
	v := axis{lo: lo, hi: hi, p0: bottom, p1: top}
	c.begin("g", "data-panel", p.name)
	name := p.name
	if p.unit != "" {
		name += " [" + p.unit + "]"
	}
	c.label(side, top-7, 12.5, cut(name, 12.5, picWidth-2*side), "font-weight", "600")
	if limits {
		drawLimits(c, t, v, o.Words)
	}
	ts := ticks(lo, hi, 4)
	if limits {
		ts = limitTicks(v, o.Words)
	}
	for _, k := range ts {
		y := v.at(k)
		c.el("path", "d", "M"+num(t.p0)+" "+num(y)+"H"+num(t.p1), "stroke", cardEdge, "stroke-width", "0.7")
		text := tickText(k, leastStep(ts))
		if limits {
			text = sig(math.Round(100*k)/100, 3)
		}
		c.label(t.p0-7, y+4, 11.5, text, "text-anchor", "end", "fill", mutedColour)
	}
	c.el("path", "d", "M"+num(t.p0)+" "+num(top)+"V"+num(bottom)+"H"+num(t.p1), "fill", "none", "stroke", mutedColour)
	var tags []tag
	for i, s := range p.series {
		pts := make([]xy, len(s.Days))
		for k := range pts {
			pts[k] = xy{t.at(s.Days[k]), v.at(s.Values[k])}
		}
		look := lookOf(i)
		c.titled("path", s.Name, append([]string{"d", polyline(thin(pts)), "data-series", s.Name}, look.attrs()...)...)
		if s.Utilisation {
			markPeak(c, s, t, v, look)
		}
		tags = append(tags, tag{y: pts[len(pts)-1][1], from: pts[len(pts)-1], text: s.Name, look: look})
	}
	drawTags(c, tags, t.p1, top, bottom)
	c.end()
}

// bandOn is the part of a verdict's band that a panel shows, and whether the word has
// room beside it in the margin, half-way.
func bandOn(k int, v axis, of verdict.Scale) (lo, hi float64, named bool) {
	end := v.hi
	if k+1 < len(bands) {
		end = of.At(bands[k+1].from)
	}
	lo, hi = math.Max(of.At(bands[k].from), v.lo), math.Min(end, v.hi)
	return lo, hi, v.at(lo)-v.at(hi) > 19
}

// drawLimits tints the bands of the verdicts behind a panel of utilisations,
// and names those that have room.
func drawLimits(c *canvas, t, v axis, of verdict.Scale) {
	for k, b := range bands {
		lo, hi, named := bandOn(k, v, of)
		if hi <= lo {
			continue
		}
		c.el("rect", "x", num(t.p0), "y", num(v.at(hi)), "width", num(t.p1-t.p0), "height", num(v.at(lo)-v.at(hi)),
			"fill", rampColour(b.sample).hex(), "fill-opacity", "0.13")
		if named {
			c.label(t.p0-7, (v.at(lo)+v.at(hi))/2+3.5, 10.5, string(b.word), "text-anchor", "end", "fill", mutedColour, "font-style", "italic")
		}
	}
	c.el("path", "d", "M"+num(t.p0)+" "+num(v.at(1))+"H"+num(t.p1), "stroke", rampColour(1).hex(), "stroke-width", "1.2")
}

// limitTicks are the limits of the verdicts and round values above them,
// without those that would be written over each other or over a word; 1 and 0 come first.
func limitTicks(v axis, of verdict.Scale) []float64 {
	want := []float64{verdict.FromFails, 0, of.At(verdict.FromTight), of.At(verdict.FromDoubtful)}
	for _, k := range ticks(1, v.hi, 4) {
		if k > 1 && v.hi > 1.4 {
			want = append(want, k)
		}
	}
	var out []float64
	for _, k := range want {
		free := k <= v.hi && k >= v.lo
		for _, o := range out {
			free = free && math.Abs(v.at(k)-v.at(o)) >= 13
		}
		for b := range bands {
			lo, hi, named := bandOn(b, v, of)
			free = free && (!named || math.Abs(v.at(k)-(v.at(lo)+v.at(hi))/2) > 9)
		}
		if free {
			out = append(out, k)
		}
	}
	sort.Float64s(out)
	return out
}

// markPeak puts a dot and a figure at the highest value of a series.
func markPeak(c *canvas, s Series, t, v axis, look lineLook) {
	k := 0
	for i, u := range s.Values {
		if u > s.Values[k] {
			k = i
		}
	}
	x, y := t.at(s.Days[k]), v.at(s.Values[k])
	c.el("circle", "cx", num(x), "cy", num(y), "r", "3.6", "fill", look.colour, "stroke", cardColour, "stroke-width", "1.4")
	text := sig(s.Values[k], 3) + ", " + dayText(s.Days[k])
	anchor, dx := "start", 7.0
	if x > (t.p0+t.p1)/2 {
		anchor, dx = "end", -7
	}
	c.label(x+dx, math.Max(y-3, v.p1+9), 11.5, text, "text-anchor", anchor, "font-weight", "600",
		"stroke", cardColour, "stroke-width", "3", "paint-order", "stroke")
}

// dayText writes a moment: hours in the first two days, days after that.
func dayText(d float64) string {
	if math.Abs(d) < 2 && d != 0 {
		return "hour " + sig(math.Round(d*24*10)/10, 3)
	}
	return "day " + sig(math.Round(d), 6)
}

// tag is the name of a line at its end.
type tag struct {
	y    float64
	from xy
	text string
	look lineLook
}

// drawTags writes the names of lines to the right, moved apart where they
// would lie over each other.
func drawTags(c *canvas, tags []tag, x, top, bottom float64) {
	const step, size = 12.5, 11.5
	sort.SliceStable(tags, func(i, k int) bool { return tags[i].y < tags[k].y })
	heights := make([]float64, len(tags))
	lines := make([][]string, len(tags))
	total := 0.0
	for i, g := range tags {
		lines[i] = wrap(g.text, size, 104, 2)
		heights[i] = step*float64(len(lines[i])) + 3
		total += heights[i]
	}
	at := top - 4
	for i := range tags {
		rest := 0.0
		for k := i; k < len(tags); k++ {
			rest += heights[k]
		}
		at = math.Max(at, math.Min(tags[i].y-heights[i]/2, bottom+6-rest))
		if total > bottom-top+10 {
			at = math.Max(at, top-4)
		}
		mid := at + heights[i]/2
		c.el("path", "d", polyline([]xy{{tags[i].from[0] + 1, tags[i].from[1]}, {x + 8, mid}, {x + 13, mid}}),
			"fill", "none", "stroke", tags[i].look.colour, "stroke-width", "0.8")
		for k, l := range lines[i] {
			c.label(x+17, at+10+step*float64(k), size, l, "fill", tags[i].look.colour)
		}
		at += heights[i]
	}
}
