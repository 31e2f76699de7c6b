package pair

import "math"

// strips is two bonded strips: widths a, b [mm]; moduli along the joint, in
// shear and square to the joint [MPa]; and the mismatch delta = εB − εA.
type strips struct {
	a, b           float64
	ea, eb, ga, gb float64
	na, nb         float64
	delta          float64
}

// straight is equation (1): force a mm of thickness [N/mm] and the stresses
// [MPa] of two strips that cannot bend.
func (s strips) straight() (p, sa, sb float64) {
	p = s.delta / (1/(s.ea*s.a) + 1/(s.eb*s.b))
	return p, p / s.a, -p / s.b
}

// bow is equation (2): force [N/mm], curvature [1/mm], and the stresses [MPa]
// beside the joint of two strips that bend freely in the plane.
func (s strips) bow() (p, kappa, sa, sb float64) {
	da, db, h := s.stiffness()
	p = s.delta / (1/(s.ea*s.a) + 1/(s.eb*s.b) + h*h/(4*(da+db)))
	kappa = p * h / (2 * (da + db))
	// each strip bends about its own middle; the joint is the stretched edge of
	// the strip that is pulled and the shortened edge of the one that is pushed
	sa = p/s.a + s.ea*s.a*kappa/2
	sb = -p/s.b - s.eb*s.b*kappa/2
	return p, kappa, sa, sb
}

// stiffness gives the bending stiffness a mm of thickness [N·mm] of both strips and the whole width [mm].
func (s strips) stiffness() (da, db, h float64) {
	return s.ea * s.a * s.a * s.a / 12, s.eb * s.b * s.b * s.b / 12, s.a + s.b
}

// ends is equations (3) and (4): shear and peel [MPa] averaged over d [mm] at
// the end of a joint of the given length [mm] (0: long). Shear is that of the
// pair held straight, the larger one; peel is that of the free pair.
func (s strips) ends(length, d float64) (shear, peel float64) {
	k := 1 / (s.a/(3*s.ga) + s.b/(3*s.gb))
	da, db, h := s.stiffness()
	lambda := 1/(s.ea*s.a) + 1/(s.eb*s.b)
	lambdaBow := lambda + h*h/(4*(da+db))
	if length > 0 {
		d = math.Min(d, length/2)
	}
	shear = math.Abs(s.delta) / lambda * entered(math.Sqrt(k*lambda), length, d) / d

	beta := math.Sqrt(k * lambdaBow)
	mu := (s.a*db - s.b*da) / (2 * (da + db))
	tip := mu * s.delta / lambdaBow * beta // F of a long joint
	if length > 0 {
		tip *= math.Tanh(beta * length / 2)
	}
	kn := 1 / (s.a/(3*s.na) + s.b/(3*s.nb))
	root := math.Sqrt(math.Sqrt(kn * (da + db) / (4 * da * db)))
	sin, cos := math.Sincos(root * d)
	peel = tip * (1 + math.Exp(-root*d)*(sin-cos)) / d
	return shear, peel
}

// entered gives, for the decay β [1/mm] and the distance d [mm] from the end,
// the part of the full force that has entered a strip, 1 − cosh β(l−d)/cosh βl.
// Written with decaying exponentials so that long joints do not overflow.
func entered(beta, length, d float64) float64 {
	near := math.Exp(-beta * d)
	if length == 0 {
		return 1 - near
	}
	far := math.Exp(-beta * (length - d)) // e^{−β(2l−d)}
	return 1 - (near+far)/(1+math.Exp(-beta*length))
}
