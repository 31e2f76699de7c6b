package pair

import "github.com/tanrad/tanrad/pkg/wood"

// stiffness gives the moduli [MPa] of wood turned by a frame, each with every
// other stress zero: Young's moduli along x and y and the shear modulus of the
// x–y plane. They are the reciprocals of three entries of the rotated compliance;
// working out only these is many times faster than turning the whole matrix.
//
//	1/Ex  = Σ sᵢᵢ·xᵢ⁴ + Σ (2sᵢⱼ + sₖₖ)·xᵢ²xⱼ²
//	1/Gxy = 4·Σ sᵢᵢ·(xᵢyᵢ)² + 8·Σ sᵢⱼ·xᵢyᵢxⱼyⱼ + Σ sₖₖ·(xᵢyⱼ + xⱼyᵢ)²
//
// with xᵢ, yᵢ the parts of the board's axes along L, R, T, the sums with j over
// the three pairs, and sₖₖ the shear compliance of the pair.
func stiffness(e *wood.Elastic, f *wood.Frame) (ex, ey, gxy float64) {
	x := [3]float64{f.L[0], f.R[0], f.T[0]}
	y := [3]float64{f.L[1], f.R[1], f.T[1]}
	normal := [3]float64{1 / e.EL, 1 / e.ER, 1 / e.ET}
	// pairs LR, LT, RT
	coupling := [3]float64{-e.NuLR / e.EL, -e.NuLT / e.EL, -e.NuRT / e.ER}
	shear := [3]float64{1 / e.GLR, 1 / e.GLT, 1 / e.GRT}

	var sx, sy, sxy float64
	for i, s := range normal {
		xx, yy := x[i]*x[i], y[i]*y[i]
		sx += s * xx * xx
		sy += s * yy * yy
		sxy += 4 * s * xx * yy
	}
	for k, p := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
		i, j := p[0], p[1]
		both := 2*coupling[k] + shear[k]
		sx += both * x[i] * x[i] * x[j] * x[j]
		sy += both * y[i] * y[i] * y[j] * y[j]
		cross := x[i]*y[j] + x[j]*y[i]
		sxy += 8*coupling[k]*x[i]*y[i]*x[j]*y[j] + shear[k]*cross*cross
	}
	return 1 / sx, 1 / sy, 1 / sxy
}
