package joint

import (
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// upright tells that fibres stand out of the face; else they lie in it, as
// package layout knows no other.
func upright(f *wood.Frame) bool { return f.L[2] != 0 }

// across is the tension strength across the grain [MPa] along a unit vector of
// the board's plane that is square to the fibres: Hankinson's form between R and T,
//
//	f = f_R·f_T/(f_R·t² + f_T·r²),  r, t the vector's parts along R and T.       (2)
func across(s *Side, v [2]float64) float64 {
	r, t := dot(&s.Frame.R, v), dot(&s.Frame.T, v)
	return s.Strength.TensionR * s.Strength.TensionT / (s.Strength.TensionR*t*t + s.Strength.TensionT*r*r)
}

func dot(a *[3]float64, v [2]float64) float64 { return a[0]*v[0] + a[1]*v[1] }

// The names of what wood does.
const (
	crossTension = "tension across the grain"
	rollingShear = "rolling shear"
	alongShear   = "shear along the grain"
)

// sideways is the direction of the face square to fibres that lie in it.
func sideways(f *wood.Frame) [2]float64 { return [2]float64{-f.L[1], f.L[0]} }

// woodCriterion is the criterion of the wood beside a plane with unit normal n and tangent t.
//
// Standing fibres: the plane itself holds them; N pulls across the grain, T is
// rolling shear. Fibres in the face: wood splits on the plane that holds them,
// normal c. A traction with no stress along the line is the stress tensor
// σ = N·nn + T·(nt + tn), which on that plane gives
//
//	σ_cc = N·(n·c)² + 2T·(n·c)(t·c),                                          (3)
//	σ_cL = N·(n·L)(n·c) + T·((n·L)(t·c) + (t·L)(n·c)),                        (4)
//
// one sense of T pulling, the other pressing. (1) with the tension strength along
// c and the shear strength along the grain. On an end-grain face σ_cc is nothing:
// tension along the fibres is the bond's affair, which bears a tenth of it.
func woodCriterion(s *Side, n, t [2]float64) (Criterion, string) {
	if upright(&s.Frame) {
		return Criterion{Open: [2]float64{1 / across(s, n), 0}, Slide: [2]float64{0, 1 / s.Strength.ShearRolling}}, rollingShear
	}
	c := sideways(&s.Frame)
	nl, tl := dot(&s.Frame.L, n), dot(&s.Frame.L, t)
	nc, tc := c[0]*n[0]+c[1]*n[1], c[0]*t[0]+c[1]*t[1]
	ft, fv := across(s, c), s.Strength.ShearLong
	return Criterion{Open: [2]float64{nc * nc / ft, 2 * nc * tc / ft}, Slide: [2]float64{nl * nc / fv, (nl*tc + tl*nc) / fv}}, alongShear
}

// Plane is a plane through the fibres, square to the face, on which wood splits.
type Plane struct {
	N, T [2]float64 // unit normal and tangent in the board's plane
	Law  Criterion  // tension and shear do not mix on it
	Mode [2]string  // what opening and sliding on it are called
}

// Planes are the planes on which a wood splits: with standing fibres first the
// one along the rings, normal R, then the one along the rays, normal T; with fibres
// in the face the one along them. They turn with the wood and not with the drawing,
// and a bar pulled along R or T parts at its strength: slanting planes would part it
// sooner, by shear, than it was tested to.
func Planes(s Side) []Plane {
	f := &s.Frame
	plane := func(n [2]float64) Plane {
		p := Plane{N: n, T: [2]float64{-n[1], n[0]}}
		criterion, shear := woodCriterion(&s, p.N, p.T)
		p.Law, p.Mode = criterion, [2]string{crossTension, shear}
		return p
	}
	if !upright(f) {
		return []Plane{plane(sideways(f))}
	}
	return []Plane{plane([2]float64{f.R[0], f.R[1]}), plane([2]float64{f.T[0], f.T[1]})}
}

// Traction gives the normal and tangential traction [MPa] on the plane of a
// plane stress xx, yy, xy [MPa].
func (p *Plane) Traction(s [3]float64) (n, t float64) {
	x, y := s[0]*p.N[0]+s[2]*p.N[1], s[2]*p.N[0]+s[1]*p.N[1]
	return p.N[0]*x + p.N[1]*y, p.T[0]*x + p.T[1]*y
}

// Split gives the utilisation of wood under a plane stress xx, yy, xy [MPa] and
// the number of the plane on which it is reached. tension and shear are factors
// on the strengths. Of two planes that ask the same, as under pressure both do, it is
// the first.
func Split(planes []Plane, s [3]float64, tension, shear float64) (u float64, plane int) {
	worst := 0.0
	for i := range planes {
		n, t := planes[i].Traction(s)
		if q := planes[i].Law.Square(n/tension, t/shear); q > worst*(1+alike) {
			worst, plane = q, i
		}
	}
	return math.Sqrt(worst), plane
}
