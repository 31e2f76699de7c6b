package draw

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Profile is the moisture through the thickness of one kind of piece at one time.
type Profile struct {
	Panel string    // the kind of piece; profiles of one kind share a panel
	Days  float64   // time
	Z     []float64 // mm above the lower face, rising
	MC    []float64 // % MC at Z
}

// ProfileOptions are the words and sizes of a picture of profiles.
type ProfileOptions struct {
	Title, Subtitle     string
	Thickness           float64 // mm; 0 takes the highest Z
	TopFace, BottomFace string  // what the faces meet, as "open to the room"
	Inches              bool    // thickness in inches
	Width               int     // px, 0 means 600
}

// Profiles draws moisture content [% MC] through the thickness, the top face
// up, one panel for each kind of piece and one line for each time, pale for
// early and dark for late. It returns an error when there is nothing to draw,
// lengths differ, Z falls or leaves the thickness, or a number is not finite.
func Profiles(list []Profile, o ProfileOptions) ([]byte, error) {
	var names []string
	kinds := map[string][]Profile{}
	times := map[float64]bool{}
	thick := o.Thickness
	if err := finite("thickness", thick); err != nil {
		return nil, err
	}
	for _, p := range list {
		if err := checkProfile(p, o.Thickness); err != nil {
			return nil, err
		}
		if o.Thickness <= 0 {
			thick = math.Max(thick, p.Z[len(p.Z)-1])
		}
		if kinds[p.Panel] == nil {
			names = append(names, p.Panel)
		}
		kinds[p.Panel] = append(kinds[p.Panel], p)
		times[p.Days] = true
	}
	if len(list) == 0 || thick <= 0 {
		return nil, errors.New("draw: no profile to draw")
	}
	var order []float64
	for t := range times {
		order = append(order, t)
	}
	sort.Float64s(order)
	var mcs [][]float64
	for _, p := range list {
		mcs = append(mcs, p.MC)
	}
	lo, hi := rangeOf(mcs...)
	pad := 0.06 * (hi - lo)

	var c canvas
	y := heading(&c, o.Title, o.Subtitle, timeColour(1))
	perRow := min(len(names), 3)
	const left, gap, high = side + 34, 22.0, 210.0
	wide := (picWidth - left - side - gap*float64(perRow-1)) / float64(perRow)
	for i, name := range names {
		if i > 0 && i%perRow == 0 {
			y += high + 92
		}
		x := left + float64(i%perRow)*(wide+gap)
		drawProfilePanel(&c, name, kinds[name], order, thick, o, i%perRow == 0,
			axis{lo - pad, hi + pad, x, x + wide}, axis{0, thick, y + 34 + high, y + 34})
	}
	y += high + 102
	y = drawTimes(&c, order, y)
	desc := fmt.Sprintf("Moisture content through the thickness of %s at %s, from %s to %s %% MC.",
		plural(len(names), "kind of piece"), plural(len(order), "time"), sig(lo, 3), sig(hi, 3))
	return c.finish(o.Width, y+10, brief(o.Title), desc), nil
}

func checkProfile(p Profile, thick float64) error {
	if len(p.Z) == 0 || len(p.Z) != len(p.MC) {
		return fmt.Errorf("draw: profile of %q has %d heights and %d moistures", p.Panel, len(p.Z), len(p.MC))
	}
	if err := finite("time of profile "+p.Panel, p.Days); err != nil {
		return err
	}
	if err := finite("heights of profile "+p.Panel, p.Z...); err != nil {
		return err
	}
	if err := finite("moistures of profile "+p.Panel, p.MC...); err != nil {
		return err
	}
	if !sort.Float64sAreSorted(p.Z) {
		return fmt.Errorf("draw: the heights of profile %q fall", p.Panel)
	}
	if last := p.Z[len(p.Z)-1]; p.Z[0] < 0 || thick > 0 && last > thick*(1+1e-9) {
		return fmt.Errorf("draw: profile %q runs from %g to %g mm, outside the thickness of %g mm", p.Panel, p.Z[0], last, thick)
	}
	return nil
}

// timeColour runs from early (0) to late (1), pale to dark.
func timeColour(t float64) string {
	a, _ := parseHex("#dfa94f")
	b, _ := parseHex("#b4552d")
	d, _ := parseHex("#2b1730")
	if t < 0.5 {
		return mix(a, b, 2*t).hex()
	}
	return mix(b, d, 2*t-1).hex()
}

// shareOf is the place of a time in the order of times, 0 to 1.
func shareOf(order []float64, t float64) float64 {
	if len(order) < 2 {
		return 1
	}
	return float64(sort.SearchFloat64s(order, t)) / float64(len(order)-1)
}

func drawProfilePanel(c *canvas, name string, list []Profile, order []float64, thick float64, o ProfileOptions, first bool, m, z axis) {
	c.begin("g", "data-panel", name)
	c.label(m.p0, z.p1-20, 12.5, cut(name, 12.5, m.p1-m.p0), "font-weight", "600")
	c.el("rect", "x", num(m.p0), "y", num(z.p1), "width", num(m.p1-m.p0), "height", num(z.p0-z.p1), "fill", "#f1e6d0")
	mt := ticks(m.lo, m.hi, int(math.Max(3, (m.p1-m.p0)/55)))
	if len(mt) < 2 { // one number says nothing of the scale
		mt = ticks(m.lo, m.hi, 6)
	}
	for _, k := range mt {
		x := m.at(k)
		c.el("path", "d", "M"+num(x)+" "+num(z.p1)+"V"+num(z.p0+4), "stroke", faintColour, "stroke-width", "0.7")
		c.label(x, z.p0+32, 11.5, tickText(k, leastStep(mt)), "text-anchor", "middle", "fill", mutedColour)
	}
	unit := 1.0
	if o.Inches {
		unit = 25.4
	}
	var zt []float64
	if o.Inches {
		zt = ticksBy(0, thick/unit, math.Max(0.25, niceStep(thick/unit/8)))
	} else {
		zt = ticks(0, thick, 5)
	}
	for _, k := range zt {
		y := z.at(k * unit)
		c.el("path", "d", "M"+num(m.p0)+" "+num(y)+"h-4", "stroke", mutedColour)
		if first {
			text := sig(k, 4)
			if o.Inches {
				text = inches(k * unit)
			}
			c.label(m.p0-8, y+4, 11.5, text, "text-anchor", "end", "fill", mutedColour)
		}
	}
	if first {
		c.label(side-6, z.p1-20, 11.5, unitOf(o.Inches), "fill", mutedColour)
	}
	c.label(m.p1, z.p0+48, 11.5, "% MC", "text-anchor", "end", "fill", mutedColour)
	for _, face := range []struct {
		y    float64
		text string
	}{{z.p1 - 5, join("top face", o.TopFace)}, {z.p0 + 14, join("lower face", o.BottomFace)}} {
		c.label((m.p0+m.p1)/2, face.y, 11, cut(face.text, 11, m.p1-m.p0), "text-anchor", "middle", "fill", mutedColour)
	}
	c.el("path", "d", "M"+num(m.p0)+" "+num(z.p1)+"H"+num(m.p1)+"M"+num(m.p0)+" "+num(z.p0)+"H"+num(m.p1),
		"stroke", inkColour, "stroke-width", "1.6")
	list = append([]Profile(nil), list...)
	sort.SliceStable(list, func(i, k int) bool { return list[i].Days < list[k].Days })
	for _, p := range list {
		pts := make([]xy, len(p.Z))
		for i := range pts {
			pts[i] = xy{m.at(p.MC[i]), z.at(p.Z[i])}
		}
		s := shareOf(order, p.Days)
		c.titled("path", dayText(p.Days), "d", polyline(pts), "fill", "none", "stroke", timeColour(s),
			"stroke-width", dec(1.4+1.2*s), "stroke-linejoin", "round", "data-days", sig(p.Days, 6))
	}
	c.end()
}

func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + ": " + b
}

// drawTimes is the legend of times; it returns the lower end.
func drawTimes(c *canvas, order []float64, y float64) float64 {
	x := side
	for _, t := range order {
		text := dayText(t)
		w := 30 + textWidth(text, 12) + 16
		if x > side && x+w > picWidth-side {
			x, y = side, y+19
		}
		s := shareOf(order, t)
		c.el("path", "d", "M"+num(x)+" "+num(y)+"h24", "stroke", timeColour(s), "stroke-width", dec(1.4+1.2*s))
		c.label(x+30, y+4, 12, text)
		x += w
	}
	return y + 10
}
