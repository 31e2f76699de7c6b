package oracle

import (
	"fmt"
	"math"
)

// printed is a line of printed values, as printed.
type printed struct {
	shrinkR, shrinkT      float64 // % green to oven-dry; Wood Handbook Table 4-3
	sg, moe               float64 // at 12 %, GPa; Table 5-3a
	et, er, glr, glt, grt float64 // over E_L; Table 5-1; 0 = not printed
	lr, lt, rt, tr        float64 // Poisson ratios; Table 5-2
}

// woods are five hardwoods of USDA Forest Service, Wood Handbook (2010,
// FPL-GTR-190); Table 4-3 of sugar maple and northern red oak from the 2021
// edition (FPL-GTR-282). They are typed in here on purpose and not read from
// the project's tables; a test holds the two against each other.
var woods = map[string]printed{
	"sugar-maple":  {4.8, 9.9, 0.63, 12.6, 0.065, 0.132, 0.111, 0.063, 0, 0.424, 0.476, 0.774, 0.349},
	"black-walnut": {5.5, 7.8, 0.55, 11.6, 0.056, 0.106, 0.085, 0.062, 0.021, 0.495, 0.632, 0.718, 0.367},
	// cherry: printed 3.7 and 7.1 %, but another table has it move 0.18 and 0.31 % per % MC
	// at 10 %, S = 3000·C/(1 + 20·C) with C = 0.0018 and 0.0031, and the larger is in use
	"black-cherry":     {5.4 / 1.036, 9.3 / 1.062, 0.50, 10.3, 0.086, 0.197, 0.147, 0.097, 0, 0.392, 0.428, 0.695, 0.282},
	"northern-red-oak": {4.0, 8.6, 0.63, 12.5, 0.082, 0.154, 0.089, 0.081, 0, 0.350, 0.448, 0.560, 0.292},
	"white-ash":        {4.9, 7.8, 0.60, 12.0, 0.080, 0.125, 0.109, 0.077, 0, 0.371, 0.440, 0.684, 0.360},
}

// shrinkL is the longitudinal shrinkage, green to oven-dry [%]: the middle of
// 0.1–0.2 % (Wood Handbook ch. 4, normal wood).
const shrinkL = 0.15

// saturation is the nominal fibre saturation point of the shrinkage tables [% MC].
const saturation = 30

// elastic turns printed ratios into constants at 12 % MC. E_L is 1.10 times the
// bending modulus (Wood Handbook ch. 5); a missing G_RT comes from the fit
// 334 (SG/0.65)^1.88 MPa; the R–T compliance is the mean of the two printed
// Poisson pairs, which are not quite reciprocal.
func (w printed) elastic() Elastic {
	el := 1.10 * w.moe * 1000
	e := Elastic{
		EL: el, ER: w.er * el, ET: w.et * el,
		GLR: w.glr * el, GLT: w.glt * el, GRT: w.grt * el,
		NuLR: w.lr, NuLT: w.lt,
	}
	if w.grt == 0 {
		e.GRT = 334 * math.Pow(w.sg/0.65, 1.88)
	}
	s := -(w.rt/e.ER + w.tr/e.ET) / 2
	e.NuRT = -s * e.ER
	return e
}

// strain is the free strain of going from m0 to m1 [% MC], relative to the size at m0.
func (w printed) strain(m0, m1 float64) Strain {
	one := func(total float64) float64 {
		s := total / 100
		return s * (m1 - m0) / saturation / (1 - s*(saturation-m0)/saturation)
	}
	return Strain{L: one(shrinkL), R: one(w.shrinkR), T: one(w.shrinkT)}
}

// endGrain makes a piece with fibres along z.
func endGrain(id, name string, ring, from, to float64, corners ...Vec2) Piece {
	p := newPiece(id, name, from, to, corners)
	c, s := cosine(ring)
	p.Up, p.Ring = true, ring
	p.AxisR, p.AxisT, p.AxisL = [3]float64{c, s, 0}, [3]float64{-s, c, 0}, [3]float64{0, 0, 1}
	return p
}

// longGrain makes a piece with fibres in the face at angle [degrees] from +x;
// ring 0 is flat-sawn on the face.
func longGrain(id, name string, angle, ring, from, to float64, corners ...Vec2) Piece {
	p := newPiece(id, name, from, to, corners)
	c, s := cosine(angle)
	cr, sr := cosine(ring)
	p.Angle, p.Ring = angle, ring
	p.AxisL = [3]float64{c, s, 0}
	p.AxisR = [3]float64{-s * sr, c * sr, cr}
	p.AxisT = [3]float64{s * cr, -c * cr, sr} // L × R
	return p
}

func newPiece(id, name string, from, to float64, corners []Vec2) Piece {
	w, ok := woods[name]
	if !ok {
		panic(fmt.Sprintf("oracle: no wood %q", name))
	}
	return Piece{ID: id, Wood: name, From: from, To: to, Corners: corners, Elastic: w.elastic(), Strain: w.strain(from, to)}
}

// cosine is cos and sin of an angle in degrees, exact at the right angles.
func cosine(deg float64) (c, s float64) {
	switch math.Mod(deg+360, 360) {
	case 0:
		return 1, 0
	case 90:
		return 0, 1
	case 180:
		return -1, 0
	case 270:
		return 0, -1
	}
	s, c = math.Sincos(deg * math.Pi / 180)
	return c, s
}
