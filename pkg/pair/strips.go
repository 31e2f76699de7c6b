package pair

// strips is two bonded strips: widths a, b [mm]; moduli along the joint [MPa]; and
// the mismatch delta = εB − εA.
type strips struct{ a, b, ea, eb, delta float64 }

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
