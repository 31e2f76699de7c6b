package layout

import "math"

func sub(a, b XY) XY            { return XY{a[0] - b[0], a[1] - b[1]} }
func cross(a, b XY) float64     { return a[0]*b[1] - a[1]*b[0] }
func dot(a, b XY) float64       { return a[0]*b[0] + a[1]*b[1] }
func distance(a, b XY) float64  { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
func turnOf(a, b, c XY) float64 { return cross(sub(b, a), sub(c, b)) }

// areaAndCentre gives the signed area [mm²] (counter-clockwise positive) and
// the centroid of a polygon. Both are summed about its first corner, so that a
// small piece far from the origin loses no digits.
func areaAndCentre(p []XY) (float64, XY) {
	var twice float64
	var m XY
	o := p[0]
	for i := 1; i+1 < len(p); i++ {
		a, b := sub(p[i], o), sub(p[i+1], o)
		c := cross(a, b)
		twice += c
		m[0] += c * (a[0] + b[0]) / 3
		m[1] += c * (a[1] + b[1]) / 3
	}
	if twice == 0 {
		return 0, o
	}
	return twice / 2, XY{o[0] + m[0]/twice, o[1] + m[1]/twice}
}

// bounds gives the lower left and upper right of the bounding box.
func bounds(ps ...[]XY) (lo, hi XY) {
	lo, hi = XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, p := range ps {
		for _, q := range p {
			for k := range q {
				lo[k], hi[k] = min(lo[k], q[k]), max(hi[k], q[k])
			}
		}
	}
	return lo, hi
}

// canonical returns the outline counter-clockwise and open, without repeated
// corners and without points that stand on the straight line between their
// neighbours. What is left may have fewer than three corners.
func canonical(p []XY) []XY {
	out := make([]XY, 0, len(p))
	for _, q := range p {
		if len(out) == 0 || distance(out[len(out)-1], q) > Snap {
			out = append(out, q)
		}
	}
	for len(out) > 1 && distance(out[0], out[len(out)-1]) <= Snap {
		out = out[:len(out)-1]
	}
	for again := true; again && len(out) >= 3; {
		again = false
		kept := out[:0:0]
		for i, q := range out {
			before, after := out[(i+len(out)-1)%len(out)], out[(i+1)%len(out)]
			if len(kept) > 0 {
				before = kept[len(kept)-1]
			}
			if a, b := sub(q, before), sub(after, q); dot(a, b) > 0 && math.Abs(cross(a, b)) <= straight*distance(before, after) {
				again = true
				continue
			}
			kept = append(kept, q)
		}
		out = kept
	}
	if len(out) >= 3 {
		if area, _ := areaAndCentre(out); area < 0 {
			for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
				out[i], out[j] = out[j], out[i]
			}
		}
	}
	return out
}

// straight is how far [mm] a point may stand off the line through its
// neighbours and still be no corner: rounding of a file's decimals, far below
// what a saw does.
const straight = 1e-4

// crossing reports whether the segments ab and cd cross or touch.
func crossing(a, b, c, d XY) bool {
	if !boxesMeet(a, b, c, d) {
		return false
	}
	r, s := sub(b, a), sub(d, c)
	return apart(cross(r, sub(c, a)), cross(r, sub(d, a))) && apart(cross(s, sub(a, c)), cross(s, sub(b, c)))
}

// apart reports whether two signed distances do not lie strictly on one side.
func apart(p, q float64) bool { return !(p > 0 && q > 0) && !(p < 0 && q < 0) }

// meeting is where the lines through ab and cd cross; the middle of b and c when they do not.
func meeting(a, b, c, d XY) XY {
	r, s := sub(b, a), sub(d, c)
	if den := cross(r, s); den != 0 {
		t := cross(sub(c, a), s) / den
		return XY{a[0] + t*r[0], a[1] + t*r[1]}
	}
	return XY{(b[0] + c[0]) / 2, (b[1] + c[1]) / 2}
}

// selfCrossing finds two sides of an outline that cross or touch without being
// neighbours, or neighbours that fold back onto each other; i and j count sides
// from 0, side i running from corner i to i+1.
func selfCrossing(p []XY) (i, j int, at XY, found bool) {
	n := len(p)
	for i = 0; i < n; i++ {
		a, b := p[i], p[(i+1)%n]
		if c := p[(i+2)%n]; turnOf(a, b, c) == 0 && dot(sub(b, a), sub(c, b)) < 0 {
			return i, (i + 1) % n, b, true
		}
		for j = i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if c, d := p[j], p[(j+1)%n]; crossing(a, b, c, d) {
				return i, j, meeting(a, b, c, d), true
			}
		}
	}
	return 0, 0, XY{}, false
}

func boxesMeet(a, b, c, d XY) bool {
	for k := range a {
		if max(a[k], b[k]) < min(c[k], d[k]) || max(c[k], d[k]) < min(a[k], b[k]) {
			return false
		}
	}
	return true
}

// Inside reports whether q lies in the polygon (even–odd rule; undefined on the edge).
func Inside(p []XY, q XY) bool {
	in := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// clip cuts away of a convex polygon what lies left of x = at (keepRight) or
// right of it.
func clip(p []XY, at float64, keepRight bool) []XY {
	side := func(q XY) float64 {
		if keepRight {
			return q[0] - at
		}
		return at - q[0]
	}
	return keep(p, side, func(a, b XY, t float64) XY { return XY{at, a[1] + t*(b[1]-a[1])} })
}

// SharedArea is the area [mm²] of a polygon inside a convex one, both
// counter-clockwise.
func SharedArea(p, within []XY) float64 {
	for i, from := range within {
		along := sub(within[(i+1)%len(within)], from)
		if p = keep(p, func(q XY) float64 { return cross(along, sub(q, from)) }, between); len(p) < 3 {
			return 0
		}
	}
	area, _ := areaAndCentre(p)
	return area
}

// keep gives the part of a polygon on which side is not negative; meet is the place
// between two corners, t of the way, where it is 0 (Sutherland and Hodgman,
// Communications of the ACM 17, 1974).
func keep(p []XY, side func(XY) float64, meet func(a, b XY, t float64) XY) (out []XY) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		d, e := side(a), side(b)
		if d >= 0 {
			out = append(out, a)
		}
		if d > 0 && e < 0 || d < 0 && e > 0 {
			out = append(out, meet(a, b, d/(d-e)))
		}
	}
	return out
}

// between is the place t of the way from a to b.
func between(a, b XY, t float64) XY { return XY{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])} }
