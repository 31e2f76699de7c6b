package deck

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// material is one wood in the axes of its own plane: 1 and 2 in the face of the
// board, 3 out of it.
type material struct {
	e1, e2, e3    float64 // MPa
	nu12          float64 // contraction along 2 under load along 1
	g12, g13, g23 float64 // MPa
	swell         [2]float64
}

// axes gives the direction of axis 1 of a piece at a place: radial where end
// grain shows, else along the fibres.
func axes(pc *layout.Piece, at layout.XY) (a [2]float64) {
	f := pc.Frame(at)
	if pc.Grain.Up {
		return [2]float64{f.R[0], f.R[1]}
	}
	return [2]float64{f.L[0], f.L[1]}
}

// out are the constants that plane stress does not use, MPa: stiffness through
// the thickness.
func out(pc *layout.Piece, at layout.XY) (e3 float64, err error) {
	s, err := wood.Find(pc.Species)
	if err != nil {
		return 0, err
	}
	e, err := s.Elastic(pc.Moisture)
	if err != nil {
		return 0, err
	}
	return 1 / e.BoardCompliance(pc.Frame(at))[2][2], nil
}

// slack is how far the constants of a piece may be from orthotropic in its own
// axes, relative to the larger modulus: round-off of the rotations.
const slack = 1e-9

// turned gives the constants of a piece in its own axes. The plate keeps them in
// board axes; the turn back must make the piece orthotropic again, and that is
// checked rather than believed.
func turned(pc *layout.Piece, w plate.Wood, at layout.XY) (m material, a [2]float64, err error) {
	a = axes(pc, at)
	q := turnStiffness(w.Q, a)
	u := turnStrain(w.Unit, a)
	g := turnShear(w.G, a)
	big := math.Max(q[0][0], q[1][1])
	if math.Abs(q[0][2])+math.Abs(q[1][2]) > slack*big || math.Abs(u[2]) > slack*(math.Abs(u[0])+math.Abs(u[1])) || math.Abs(g[0][1]) > slack*(g[0][0]+g[1][1]) {
		return m, a, fmt.Errorf("deck: piece %s is not orthotropic in its own axes", pc.ID)
	}
	// Plane stress: Q11 = E1/(1−ν12ν21), Q12 = ν12·Q22, Q22 = E2/(1−ν12ν21).
	m.nu12 = q[0][1] / q[1][1]
	m.e1, m.e2 = q[0][0]-m.nu12*q[0][1], q[1][1]-q[0][1]*q[0][1]/q[0][0]
	m.g12, m.g13, m.g23 = q[2][2], g[0][0], g[1][1]
	m.swell = [2]float64{u[0], u[1]}
	m.e3, err = out(pc, at)
	return m, a, err
}

// turnStrain gives a strain (xx, yy, engineering xy) in axes of which the first
// is a: e_ij = a_i·E·a_j.
func turnStrain(e [3]float64, a [2]float64) [3]float64 {
	c, s := a[0], a[1]
	return [3]float64{
		e[0]*c*c + e[1]*s*s + e[2]*c*s,
		e[0]*s*s + e[1]*c*c - e[2]*c*s,
		2*(e[1]-e[0])*c*s + e[2]*(c*c-s*s),
	}
}

// turnStiffness gives an in-plane stiffness in axes of which the first is a.
// Energy does not depend on axes, so Q' = TᵀQT with T the strain in board axes
// of each unit strain in the new ones, which is the turn by −a.
func turnStiffness(q [3][3]float64, a [2]float64) (out [3][3]float64) {
	var t [3][3]float64 // by column
	for k := range t {
		var unit [3]float64
		unit[k] = 1
		t[k] = turnStrain(unit, [2]float64{a[0], -a[1]})
	}
	for i := range out {
		for j := range out {
			for r := range q {
				for c := range q {
					out[i][j] += t[i][r] * q[r][c] * t[j][c]
				}
			}
		}
	}
	return out
}

// turnShear gives a transverse shear stiffness in axes of which the first is a.
func turnShear(g [2][2]float64, a [2]float64) (out [2][2]float64) {
	b := [2][2]float64{a, {-a[1], a[0]}}
	for i := range out {
		for j := range out {
			for r := range g {
				for c := range g {
					out[i][j] += b[i][r] * g[r][c] * b[j][c]
				}
			}
		}
	}
	return out
}
