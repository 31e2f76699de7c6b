package plate

// Curve is the best second-order description of a deflection w over the board's
// area: a + b·x + c·y + XX·x²/2 + XY·x·y + YY·y²/2, curvatures in 1/mm. A positive
// curvature raises the edges over the middle.
type Curve struct {
	XX, YY, XY float64
}

// Curves fits the deflection of bending [mm].
func (p *Model) Curves(x []float64) Curve {
	f := p.areaFit()
	c := f.fit(x, 3, 0, &f.second)
	return Curve{XX: c[3] / (f.sx * f.sx), XY: c[4] / (f.sx * f.sy), YY: c[5] / (f.sy * f.sy)}
}

// Deflection is where the deflection w [mm] of node n stands in a displacement
// of bending.
func Deflection(n int) int { return 3 * n }
