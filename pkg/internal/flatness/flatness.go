// Package flatness sets a bent board on a flat top: on which three places it
// stands, how far it stands off elsewhere, and how far it rocks when somebody
// presses on it.
//
// A stiff board under its own weight comes to rest where its centre of gravity
// is lowest, on the facet of its lower convex hull above which the centre lies
// (the three-point support of flatness metrology; ISO 12781-1:2011, clause on
// the minimum reference planes, uses the same planes of support; from memory).
// That facet is the optimum of a linear programme with three unknowns: of all
// planes below every point, the one that is highest under the centre. Its dual
// chooses three points round the centre, and is solved here by exchange.
//
// Missing: the board's weight does not bend it, and the top does not give.
package flatness

import "math"

// Point is a place of the board's lower face: x, y in the plane and z above it,
// all mm.
type Point [3]float64

// Plane is z = A + B·x + C·y, mm.
type Plane struct{ A, B, C float64 }

// At gives the plane's height [mm].
func (p Plane) At(x, y float64) float64 { return p.A + p.B*x + p.C*y }

// round is the height, mm, below which two places are level: round-off of a
// solved surface, far below any plane a maker can sand.
const round = 1e-9

// Rest gives the plane on which points come to rest when what presses on them
// acts at x, y [mm]: a place inside their outline. ok is false when fewer than
// three points are given, all lie on one line, or none surround the place.
func Rest(points []Point, x, y float64) (rest Plane, supports [3]int, ok bool) {
	basis, weight, ok := first(points, x, y)
	if !ok {
		return Plane{}, basis, false
	}
	for range 64 + 4*len(points) { // an exchange lowers the centre; ties are cut short by round
		p, fine := through(points, basis)
		if !fine {
			return Plane{}, basis, false
		}
		in, least := -1, -round
		for i, q := range points {
			if d := q[2] - p.At(q[0], q[1]); d < least {
				in, least = i, d
			}
		}
		if in < 0 {
			return p, basis, true
		}
		// The newcomer as a sum of the three: point = Σ m·basis, Σ m = 1. The
		// first whose weight falls to zero leaves.
		m := barycentric(points, basis, points[in][0], points[in][1])
		out, ratio := -1, math.Inf(1)
		for k := range m {
			if m[k] > 1e-12 && weight[k]/m[k] < ratio {
				out, ratio = k, weight[k]/m[k]
			}
		}
		if out < 0 {
			return p, basis, false
		}
		for k := range m {
			weight[k] -= ratio * m[k]
		}
		basis[out], weight[out] = in, ratio
	}
	p, fine := through(points, basis)
	return p, basis, fine
}

// first looks for any three points round the place: the fan from the point
// furthest away meets it in one of its triangles.
func first(points []Point, x, y float64) (basis [3]int, weight [3]float64, ok bool) {
	const inside = -1e-9
	from, far := -1, 0.0
	for i, p := range points {
		if d := math.Hypot(p[0]-x, p[1]-y); d > far {
			from, far = i, d
		}
	}
	if from < 0 {
		return basis, weight, false
	}
	// Seen from there the place lies in some direction; the points nearest to
	// that direction on either side, and furthest, close a triangle round it.
	o := points[from]
	dx, dy := (x-o[0])/far, (y-o[1])/far
	best := [2]int{-1, -1}
	reach := [2]float64{}
	for i, p := range points {
		along, off := (p[0]-o[0])*dx+(p[1]-o[1])*dy, (p[1]-o[1])*dx-(p[0]-o[0])*dy
		if along < far { // before the place: cannot close behind it
			continue
		}
		side := 0
		if off < 0 {
			side = 1
		}
		if best[side] < 0 || math.Abs(off) > reach[side] {
			best[side], reach[side] = i, math.Abs(off)
		}
	}
	if best[0] < 0 || best[1] < 0 {
		return firstOfAll(points, x, y)
	}
	basis = [3]int{from, best[0], best[1]}
	weight = barycentric(points, basis, x, y)
	for _, w := range weight {
		if !(w >= inside) {
			return firstOfAll(points, x, y)
		}
	}
	return basis, weight, true
}

// firstOfAll tries every triangle from the point furthest away.
func firstOfAll(points []Point, x, y float64) (basis [3]int, weight [3]float64, ok bool) {
	from, far := -1, -1.0
	for i, p := range points {
		if d := math.Hypot(p[0]-x, p[1]-y); d > far {
			from, far = i, d
		}
	}
	for i := range points {
		for j := i + 1; j < len(points); j++ {
			basis = [3]int{from, i, j}
			weight = barycentric(points, basis, x, y)
			if weight[0] >= 0 && weight[1] >= 0 && weight[2] >= 0 {
				return basis, weight, true
			}
		}
	}
	return basis, weight, false
}

// barycentric gives the place as a weighted mean of three points; NaN when they
// lie on one line.
func barycentric(points []Point, b [3]int, x, y float64) (w [3]float64) {
	p, q, r := points[b[0]], points[b[1]], points[b[2]]
	det := (q[0]-p[0])*(r[1]-p[1]) - (r[0]-p[0])*(q[1]-p[1])
	if math.Abs(det) < 1e-12 {
		return [3]float64{math.NaN(), math.NaN(), math.NaN()}
	}
	w[1] = ((x-p[0])*(r[1]-p[1]) - (r[0]-p[0])*(y-p[1])) / det
	w[2] = ((q[0]-p[0])*(y-p[1]) - (x-p[0])*(q[1]-p[1])) / det
	w[0] = 1 - w[1] - w[2]
	return w
}

func through(points []Point, b [3]int) (Plane, bool) {
	p, q, r := points[b[0]], points[b[1]], points[b[2]]
	ux, uy, uz := q[0]-p[0], q[1]-p[1], q[2]-p[2]
	vx, vy, vz := r[0]-p[0], r[1]-p[1], r[2]-p[2]
	det := ux*vy - vx*uy
	if math.Abs(det) < 1e-12 {
		return Plane{}, false
	}
	s := Plane{B: (uz*vy - vz*uy) / det, C: (ux*vz - vx*uz) / det}
	s.A = p[2] - s.B*p[0] - s.C*p[1]
	return s, true
}

// Stand is how a board stands on a flat top.
type Stand struct {
	Gap   float64    // mm, the furthest that the face stands off the top, in balance
	At    [2]float64 // mm, where
	Rocks float64    // mm, how far the corner that gives most travels when the board is pressed at one corner after another
	Press [2]float64 // mm, which corner
}

// On sets the points on a flat top, face z down, and presses on each of the
// places given by number in press (corners of the outline). The centre is that
// of the board's weight, mm. ok is as for Rest.
func On(points []Point, cx, cy float64, press []int) (s Stand, ok bool) {
	if len(points) < 3 {
		return s, false
	}
	rest, ok := balance(points, cx, cy)
	if !ok {
		return s, false
	}
	for _, p := range points {
		if g := p[2] - rest.At(p[0], p[1]); g > s.Gap {
			s.Gap, s.At = g, [2]float64{p[0], p[1]}
		}
	}
	hand := Default().Hand
	var planes []Plane
	for _, i := range press {
		q := points[i]
		if p, _, ok := Rest(points, cx+hand*(q[0]-cx), cy+hand*(q[1]-cy)); ok {
			planes = append(planes, p)
		}
	}
	for _, i := range press {
		q := points[i]
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range planes {
			off := q[2] - p.At(q[0], q[1])
			low, high = math.Min(low, off), math.Max(high, off)
		}
		if high-low > s.Rocks {
			s.Rocks, s.Press = high-low, [2]float64{q[0], q[1]}
		}
	}
	return s, true
}

// nudge is how far the centre is moved to see in which ways a board may come to
// rest, as a share of its extent: a hand's unevenness.
const nudge = 0.01

// balance is the plane on which a board stands in balance: the mean of those on
// which it comes to rest when nudged in four directions. On three wide supports
// all are one; over a hump, or on two corners of a twisted board, the mean is
// level between them, and the difference shows as Rocks.
func balance(points []Point, cx, cy float64) (mean Plane, ok bool) {
	lo, hi := points[0], points[0]
	for _, p := range points {
		for k := range 2 {
			lo[k], hi[k] = math.Min(lo[k], p[k]), math.Max(hi[k], p[k])
		}
	}
	rx, ry := nudge*(hi[0]-lo[0]), nudge*(hi[1]-lo[1])
	top := math.Inf(1)
	for _, d := range [4][2]float64{{rx, ry}, {-rx, ry}, {-rx, -ry}, {rx, -ry}} {
		p, _, ok := Rest(points, cx+d[0], cy+d[1])
		if !ok {
			return mean, false
		}
		mean.A, mean.B, mean.C = mean.A+p.A/4, mean.B+p.B/4, mean.C+p.C/4
	}
	for _, p := range points { // the mean of planes below all points may be lifted until it touches
		top = math.Min(top, p[2]-mean.At(p[0], p[1]))
	}
	mean.A += top
	return mean, true
}
