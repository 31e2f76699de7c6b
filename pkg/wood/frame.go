package wood

import "math"

// Frame gives the wood's own axes as unit vectors in board axes.
type Frame struct{ L, R, T [3]float64 }

// EndGrain is the frame of a piece whose fibres stand up out of the face. ring is
// the direction of the radial axis (pith to bark) from +x, degrees.
func EndGrain(ring float64) Frame {
	s, c := sincos(ring)
	return Frame{L: [3]float64{0, 0, 1}, R: [3]float64{c, s, 0}, T: [3]float64{-s, c, 0}}
}

// LongGrain is the frame of a piece whose fibres lie in the face at angle degrees
// from +x. ring is the direction of the radial axis from the face normal +z
// towards the in-plane direction angle+90: 0 is flat-sawn, 90 quarter-sawn.
func LongGrain(angle, ring float64) Frame {
	sa, ca := sincos(angle)
	sr, cr := sincos(ring)
	l := [3]float64{ca, sa, 0}
	r := [3]float64{-sa * sr, ca * sr, cr}
	return Frame{L: l, R: r, T: cross(l, r)}
}

// MaxAngle bounds what is taken for an angle of an axis, degrees: a thousand turns. An
// axis is the same after half a turn, so that any angle is one; but of a number with
// more digits than a float64 holds nothing is left after whole turns are taken off.
const MaxAngle = 360_000.0

// sincos is exact at the quarter turns, so that a block turned by 90° gives the
// very same stiffness with its axes exchanged.
func sincos(degrees float64) (sin, cos float64) {
	d := math.Mod(degrees, 360)
	if d < 0 {
		d += 360
	}
	switch d {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(d * math.Pi / 180)
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// InPlane turns strains along the wood's axes into the strain of the board's
// plane: xx, yy and the engineering shear xy (all dimensionless). A square block
// with slanting rings so becomes a rhomb: for an end-grain block at ring angle θ
// the shear is (r−t)·sin 2θ.
func InPlane(l, r, t float64, f Frame) [3]float64 {
	var e [3]float64
	for _, p := range [3]struct {
		s float64
		v [3]float64
	}{{l, f.L}, {r, f.R}, {t, f.T}} {
		e[0] += p.s * p.v[0] * p.v[0]
		e[1] += p.s * p.v[1] * p.v[1]
		e[2] += 2 * p.s * p.v[0] * p.v[1]
	}
	return e
}

// pairs are the index pairs behind the order of six: normal stresses, then 23, 13, 12.
var pairs = [6][2]int{{0, 0}, {1, 1}, {2, 2}, {1, 2}, {0, 2}, {0, 1}}

// bond returns the stress in wood axes (LL, RR, TT, RT, LT, LR) that belongs to one
// unit stress in board axes, the j-th of xx, yy, zz, yz, xz, xy: σ' = Q σ Qᵀ.
func (f Frame) bond(j int) (k [6]float64) {
	q := [3][3]float64{f.L, f.R, f.T}
	m, n := pairs[j][0], pairs[j][1]
	for a, p := range pairs {
		k[a] = q[p[0]][m] * q[p[1]][n]
		if m != n {
			k[a] += q[p[0]][n] * q[p[1]][m]
		}
	}
	return k
}
