package wood

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/matrix"
)

// Compliance returns the compliance in wood axes [1/MPa], in the order L, R, T,
// RT, LT, LR with engineering shear strains. It is symmetric.
func (e Elastic) Compliance() (s [6][6]float64) {
	s[0][0], s[1][1], s[2][2] = 1/e.EL, 1/e.ER, 1/e.ET
	s[3][3], s[4][4], s[5][5] = 1/e.GRT, 1/e.GLT, 1/e.GLR
	s[0][1], s[0][2], s[1][2] = -e.NuLR/e.EL, -e.NuLT/e.EL, -e.NuRT/e.ER
	s[1][0], s[2][0], s[2][1] = s[0][1], s[0][2], s[1][2]
	return s
}

// BoardCompliance returns the compliance in board axes [1/MPa], in the order xx,
// yy, zz, yz, xz, xy with engineering shear strains. Strain energy does not depend
// on the axes, so it is KᵀSK with K the stress transformation of the frame.
func (e Elastic) BoardCompliance(f Frame) (b [6][6]float64) {
	var k, sk [6][6]float64 // by column of K
	for j := range k {
		k[j] = f.bond(j)
		sk[j] = e.strain(k[j])
	}
	for i := range b {
		for j := i; j < 6; j++ {
			b[i][j] = dot(k[i], sk[j])
			b[j][i] = b[i][j]
		}
	}
	return b
}

// strain is Compliance times a stress in wood axes, using where its zeros are.
func (e Elastic) strain(t [6]float64) [6]float64 {
	lr, lt, rt := -e.NuLR/e.EL, -e.NuLT/e.EL, -e.NuRT/e.ER
	return [6]float64{
		t[0]/e.EL + lr*t[1] + lt*t[2],
		lr*t[0] + t[1]/e.ER + rt*t[2],
		lt*t[0] + rt*t[1] + t[2]/e.ET,
		t[3] / e.GRT, t[4] / e.GLT, t[5] / e.GLR,
	}
}

func dot(a, b [6]float64) float64 {
	return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3] + a[4]*b[4] + a[5]*b[5]
}

// PlaneStress returns the in-plane stiffness of a thin plate [MPa] for strains
// (xx, yy, engineering xy), with no stress on the faces: the inverse of the
// in-plane block of the turned compliance. Where rings slant through a long-grain
// piece the compliance also couples in-plane strain with transverse shear; with
// σz = τxz = τyz = 0 that coupling drops out of this block exactly.
func (e Elastic) PlaneStress(f Frame) (q [3][3]float64) {
	x, y, xy := f.bond(0), f.bond(1), f.bond(5)
	sx, sy, sxy := e.strain(x), e.strain(y), e.strain(xy)
	var a [3][3]float64
	a[0][0], a[1][1], a[2][2] = dot(x, sx), dot(y, sy), dot(xy, sxy)
	a[0][1], a[0][2], a[1][2] = dot(x, sy), dot(x, sxy), dot(y, sxy)
	a[1][0], a[2][0], a[2][1] = a[0][1], a[0][2], a[1][2]
	return matrix.Inverse(&a)
}

// TransverseShear returns the stiffness against transverse shear [MPa] for
// engineering strains (xz, yz): the inverse of that block of the turned compliance.
func (e Elastic) TransverseShear(f Frame) (g [2][2]float64) {
	yz, xz := f.bond(3), f.bond(4)
	sxz := e.strain(xz)
	a, b, c := dot(xz, sxz), dot(yz, e.strain(yz)), dot(yz, sxz)
	det := a*b - c*c
	g[0][0], g[1][1], g[0][1] = b/det, a/det, -c/det
	g[1][0] = g[0][1]
	return g
}

// stable reports whether the compliance is positive definite (Sylvester's rule on
// the normal block, positive shear moduli), and the determinant of the normal
// block scaled to a unit diagonal: 1 for no coupling, 0 at the limit.
func (e Elastic) stable() (bool, float64) {
	for _, v := range []float64{e.EL, e.ER, e.ET, e.GLR, e.GLT, e.GRT} {
		if !(v > 0) || math.IsInf(v, 0) {
			return false, 0
		}
	}
	// scaled couplings r_ij = s_ij / √(s_ii s_jj)
	lr := -e.NuLR * math.Sqrt(e.ER/e.EL)
	lt := -e.NuLT * math.Sqrt(e.ET/e.EL)
	rt := -e.NuRT * math.Sqrt(e.ET/e.ER)
	det := 1 + 2*lr*lt*rt - lr*lr - lt*lt - rt*rt
	return lr*lr < 1 && lt*lt < 1 && rt*rt < 1 && det > 0, det
}
