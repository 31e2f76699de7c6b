package draw

import (
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/layout"
)

type xy = layout.XY

// arcLine is a growth line drawn on a piece: a straight line or an arc, cut to
// the piece's outline. r = 0 is straight.
type arcLine struct {
	from, to xy
	r        float64
	large    bool // the arc is longer than half a circle
	sweep    bool // clockwise on the screen, the flag of an SVG arc
}

// clipLine cuts the line through p in the direction d to the inside of an outline.
func clipLine(outline []xy, p, d xy) []arcLine {
	var ts []float64
	side := func(q xy) float64 { return (q[0]-p[0])*d[1] - (q[1]-p[1])*d[0] }
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		sa, sb := side(a), side(b)
		if (sa >= 0) == (sb >= 0) { // half-open: a corner on the line counts once
			continue
		}
		t := sa / (sa - sb)
		x, y := a[0]+t*(b[0]-a[0]), a[1]+t*(b[1]-a[1])
		ts = append(ts, (x-p[0])*d[0]+(y-p[1])*d[1])
	}
	sort.Float64s(ts)
	var out []arcLine
	for i := 0; i+1 < len(ts); i += 2 {
		if ts[i+1]-ts[i] < 0.6 { // a crumb in a corner
			continue
		}
		out = append(out, arcLine{
			from: xy{p[0] + ts[i]*d[0], p[1] + ts[i]*d[1]},
			to:   xy{p[0] + ts[i+1]*d[0], p[1] + ts[i+1]*d[1]},
		})
	}
	return out
}

// clipCircle cuts a circle to the inside of an outline.
func clipCircle(outline []xy, c xy, r float64) []arcLine {
	var angles []float64
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		fx, fy := a[0]-c[0], a[1]-c[1]
		qa, qb, qc := dx*dx+dy*dy, fx*dx+fy*dy, fx*fx+fy*fy-r*r
		disc := qb*qb - qa*qc
		if disc <= 0 || qa == 0 {
			continue
		}
		for _, t := range [2]float64{(-qb - math.Sqrt(disc)) / qa, (-qb + math.Sqrt(disc)) / qa} {
			if t >= 0 && t < 1 {
				angles = append(angles, math.Atan2(fy+t*dy, fx+t*dx))
			}
		}
	}
	at := func(t float64) xy { return xy{c[0] + r*math.Cos(t), c[1] + r*math.Sin(t)} }
	if len(angles) == 0 {
		if !inside(outline, at(0)) {
			return nil
		}
		return []arcLine{
			{from: at(0), to: at(math.Pi), r: r, sweep: true},
			{from: at(math.Pi), to: at(0), r: r, sweep: true},
		}
	}
	sort.Float64s(angles)
	var out []arcLine
	for i, t0 := range angles {
		t1 := angles[(i+1)%len(angles)]
		if i+1 == len(angles) {
			t1 += 2 * math.Pi
		}
		if (t1-t0)*r < 0.6 || !inside(outline, at((t0+t1)/2)) {
			continue
		}
		out = append(out, arcLine{from: at(t0), to: at(t1), r: r, large: t1-t0 > math.Pi, sweep: true})
	}
	return out
}

// inside tells whether a point lies in an outline (even-odd rule).
func inside(outline []xy, p xy) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

// extent is the range of an outline along a direction, measured from p.
func extent(outline []xy, p, d xy) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, q := range outline {
		t := (q[0]-p[0])*d[0] + (q[1]-p[1])*d[1]
		lo, hi = math.Min(lo, t), math.Max(hi, t)
	}
	return lo, hi
}

// middle is the centre of an outline's bounding box.
func middle(outline []xy) xy {
	x0, x1 := extent(outline, xy{}, xy{1, 0})
	y0, y1 := extent(outline, xy{}, xy{0, 1})
	return xy{(x0 + x1) / 2, (y0 + y1) / 2}
}
