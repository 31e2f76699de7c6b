package draw

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// PairSide is one strip of a pair; A lies above the joint, B below it.
type PairSide struct {
	Name   string
	Colour string  // "#rrggbb"; empty is neutral
	Width  float64 // mm across the joint
	Up     bool    // end grain
	Fibres float64 // degrees from the joint, of long grain
	Ring   float64 // degrees, as in package layout
	Along  float64 // free strain along the joint
	Across float64 // free strain square to it
	Shear  float64 // engineering, in the plane
}

// PairBar is one way for the pair to give.
type PairBar struct {
	Text   string
	Figure float64 // load over the critical one
}

// PairPicture is a pair of woods before and after gluing.
type PairPicture struct {
	Title, Subtitle string
	A, B            PairSide
	Length          float64 // mm of joint over which lengths are told
	Curvature       float64 // 1/mm of the glued pair by itself; positive: ends towards A
	Notes           []string
	Bars            []PairBar
	Utilisation     float64
	Words           verdict.Scale // utilisations at which the words begin
	Inches          bool
	Width           int // px, 0 means 600
}

// Pair draws two strips each at its own free size and, below, the two glued, which bow;
// then how near every way to give comes to its limit. It returns an error when a size is
// not positive, a number not finite or a colour not #rrggbb.
func Pair(p PairPicture) ([]byte, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	var c canvas
	y := heading(&c, p.Title, p.Subtitle, rampColour(p.Words.AsCrack(p.Utilisation)).hex())
	shown := math.Min(p.Length, 7*(p.A.Width+p.B.Width)) // of a long joint a part
	most := 0.0
	for _, s := range [2]*PairSide{&p.A, &p.B} {
		most = math.Max(most, math.Max(math.Abs(s.Along)*shown, math.Abs(s.Across)*s.Width))
	}
	times := 1.0
	if most > 0 {
		times = math.Max(1, roundBelow(0.08*shown/most))
	}
	k := math.Min((picWidth-2*side)/(1.1*shown), 150/(p.A.Width+p.B.Width))
	d := pairDrawing{&p, &c, shown, times, k}
	c.label(side, y+4, 13, "Unglued: each at its own free size", "font-weight", "600")
	y = d.unglued(y + 16)
	c.label(side, y+4, 13, "Glued: one length for both, and the pair bows", "font-weight", "600")
	y = d.glued(y + 16)
	note := fmt.Sprintf("%s of the joint drawn, movement %s times larger; dashed: before.", length(shown, p.Inches)+" "+unitOf(p.Inches), sig(times, 3))
	c.label(side, y+2, 11.5, note, "fill", mutedColour)
	y += 10
	for _, n := range p.Notes {
		for _, line := range wrap(n, 12.5, picWidth-2*side-24, 3) {
			y += 16
			c.label(side, y, 12.5, line)
		}
	}
	y = d.bars(y + 18)
	desc := fmt.Sprintf("Two strips, %s above and %s below, unglued and glued. %s", p.A.Name, p.B.Name, strings.Join(p.Notes, " "))
	return c.finish(p.Width, y+8, brief(p.Title), brief(desc)), nil
}

func (p *PairPicture) check() error {
	for _, s := range [2]*PairSide{&p.A, &p.B} {
		if err := finite("side "+s.Name, s.Width, s.Fibres, s.Ring, s.Along, s.Across, s.Shear); err != nil {
			return err
		}
		if s.Width < least {
			return fmt.Errorf("draw: width of %s: %g mm is not above 0", s.Name, s.Width)
		}
		if s.Colour != "" {
			if _, err := parseHex(s.Colour); err != nil {
				return err
			}
		}
	}
	if err := finite("pair", p.Length, p.Curvature, p.Utilisation); err != nil {
		return err
	}
	if p.Length < least {
		return fmt.Errorf("draw: length of the joint: %g mm is not above 0", p.Length)
	}
	for _, b := range p.Bars {
		if err := finite(b.Text, b.Figure); err != nil {
			return err
		}
	}
	return nil
}

// pairDrawing is the picture in the making.
type pairDrawing struct {
	*PairPicture
	c     *canvas
	shown float64 // mm of the joint
	times float64 // movement drawn larger
	k     float64 // units per mm
}

// strip draws one side: its outline carried by at from its own place, x along the joint
// from the middle, v from the joint outwards, mm.
func (d *pairDrawing) strip(s *PairSide, up float64, at func(x, v float64) xy) {
	const steps = 24
	corner := func(i int, v float64) xy { return at(d.shown*(float64(i)/steps-0.5), v) }
	var o []xy
	for i := 0; i <= steps; i++ {
		o = append(o, corner(i, 0))
	}
	for i := steps; i >= 0; i-- {
		o = append(o, corner(i, s.Width))
	}
	l := look{id: s.Name + fmt.Sprint(up), up: s.Up, angle: s.Fibres, ring: s.Ring, gap: 6,
		outline: []xy{{0, 0}, {d.shown * d.k, 0}, {d.shown * d.k, s.Width * d.k}, {0, s.Width * d.k}}}
	lines := ""
	for _, a := range grainLines(l) {
		lines += polyline(sampled(a, func(q xy) xy {
			v := q[1] / d.k
			if up > 0 {
				v = s.Width - v
			}
			return at(q[0]/d.k-d.shown/2, v)
		}))
	}
	face(d.c, o, woodColour(s.Colour), 0, lines)
}

// ghost is the outline of both before, dashed.
func (d *pairDrawing) ghost(middle, joint float64) {
	w, h := d.shown*d.k, (d.A.Width+d.B.Width)*d.k
	d.c.el("rect", "x", num(middle-w/2), "y", num(joint-d.A.Width*d.k), "width", num(w), "height", num(h), "fill", "none", "stroke", mutedColour, "stroke-width", "1", "stroke-dasharray", "4 3")
}

const apart = 10.0 // units between the unglued strips

func (d *pairDrawing) unglued(y float64) float64 {
	middle := picWidth / 2
	grows := d.times * d.k * math.Max(math.Abs(d.A.Across)*d.A.Width, math.Abs(d.B.Across)*d.B.Width)
	joint := y + grows + d.A.Width*d.k
	d.c.begin("g", "data-layer", "unglued")
	for _, s := range [2]struct {
		*PairSide
		up, joint float64
	}{{&d.A, 1, joint}, {&d.B, -1, joint + apart}} {
		d.strip(s.PairSide, s.up, func(x, v float64) xy {
			across := v * (1 + d.times*s.Across)
			along := x*(1+d.times*s.Along) + s.up*v*d.times*s.Shear
			return xy{middle + d.k*along, s.joint - s.up*d.k*across}
		})
		d.c.label(middle, s.joint-s.up*d.k*s.Width/2+4, 12.5, s.Name, "text-anchor", "middle", "font-weight", "600", "paint-order", "stroke", "stroke", cardColour, "stroke-width", "4")
	}
	d.c.end()
	return joint + apart + d.B.Width*d.k + grows + 22
}

func (d *pairDrawing) glued(y float64) float64 {
	middle := picWidth / 2
	rise := d.times * math.Abs(d.Curvature) * d.shown * d.shown / 8 * d.k
	joint := y + rise + d.A.Width*d.k + 6
	d.ghost(middle, joint)
	common := (d.A.Along + d.B.Along) / 2
	lay := func(up float64) func(x, v float64) xy {
		return func(x, v float64) xy {
			lift := d.times * d.Curvature * x * x / 2
			lean := d.times * d.Curvature * x // the section stays square to the joint
			return xy{middle + d.k*(x*(1+d.times*common)-up*v*lean), joint - d.k*(lift+up*v)}
		}
	}
	d.c.begin("g", "data-layer", "glued")
	d.strip(&d.A, 1, lay(1))
	d.strip(&d.B, -1, lay(-1))
	var line []xy
	for i := range 25 {
		line = append(line, lay(1)(d.shown*(float64(i)/24-0.5), 0))
	}
	u := d.Words.AsCrack(d.Utilisation)
	band := verdict.Band(u)
	st := bandStyle(band, 1)
	d.c.el("path", "d", polyline(line), "fill", "none", "stroke", cardColour, "stroke-width", dec(lineWidth(u)+2.4))
	d.c.el("path", append([]string{"d", polyline(line), "fill", "none", "stroke", rampColour(u).hex(), "stroke-width", dec(lineWidth(u))}, st.attrs()...)...)
	if bands[band].core {
		d.c.el("path", append([]string{"d", polyline(line), "fill", "none"}, st.core()...)...)
	}
	d.c.end()
	return joint + d.B.Width*d.k + rise + 18
}

// bars set the ways to give side by side up to their common limit.
func (d *pairDrawing) bars(y float64) float64 {
	if len(d.Bars) == 0 {
		return y
	}
	c := d.c
	c.begin("g", "data-layer", "ways")
	from, to := side, picWidth-side-56
	at := func(v float64) float64 { return from + (to-from)*math.Min(v, trackEnd)/trackEnd }
	for _, b := range d.Bars {
		c.label(from, y+12, 12.5, cut(b.Text, 12.5, picWidth-2*side))
		c.el("path", "d", "M"+num(from)+" "+num(y+22)+"H"+num(to), "stroke", cardEdge)
		c.titled("rect", fmt.Sprintf("%s: %d %% of the limit", b.Text, d.Words.Percent(b.Figure)),
			"x", num(from), "y", num(y+18), "width", num(at(b.Figure)-from), "height", "8", "fill", rampColour(d.Words.AsCrack(b.Figure)).hex(), "data-figure", sig(b.Figure, 4))
		c.label(picWidth-side, y+26, 12.5, fmt.Sprintf("%d %%", d.Words.Percent(b.Figure)), "text-anchor", "end")
		c.el("path", "d", "M"+num(at(1))+" "+num(y+16)+"v13", "stroke", inkColour, "stroke-width", "1.4", "stroke-dasharray", "3 2") // clear of the words
		y += 34
	}
	c.end()
	c.label(side, y+10, 11.5, "Bars: ways to give, each up to its limit (dashed).", "fill", mutedColour)
	return y + 14
}
