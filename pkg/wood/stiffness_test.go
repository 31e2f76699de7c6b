package wood_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/wood"
)

var moistures = []float64{0, 8, 15, 30}

func elastic(t testing.TB, name string, mc float64) wood.Elastic {
	t.Helper()
	e, err := find(t, name).Elastic(mc)
	require.NoError(t, err)
	return e
}

// tensor is a fourth-order compliance by plain definition: an oracle that shares
// no code with the package.
type tensor [3][3][3][3]float64

func tensorOf(s [6][6]float64) (c tensor) {
	voigt := [3][3]int{{0, 5, 4}, {5, 1, 3}, {4, 3, 2}}
	for i := 0; i < 3; i++ {
		for j := 0; j < 3; j++ {
			for k := 0; k < 3; k++ {
				for l := 0; l < 3; l++ {
					v := s[voigt[i][j]][voigt[k][l]]
					if i != j {
						v /= 2
					}
					if k != l {
						v /= 2
					}
					c[i][j][k][l] = v
				}
			}
		}
	}
	return c
}

// turn takes components on the axes of a frame to components on board axes.
func (c tensor) turn(f wood.Frame) (d tensor) {
	q := [3][3]float64{f.L, f.R, f.T}
	for i := 0; i < 3; i++ {
		for j := 0; j < 3; j++ {
			for k := 0; k < 3; k++ {
				for l := 0; l < 3; l++ {
					for a := 0; a < 3; a++ {
						for b := 0; b < 3; b++ {
							for m := 0; m < 3; m++ {
								for n := 0; n < 3; n++ {
									d[i][j][k][l] += q[a][i] * q[b][j] * q[m][k] * q[n][l] * c[a][b][m][n]
								}
							}
						}
					}
				}
			}
		}
	}
	return d
}

var frames = map[string]wood.Frame{
	"end grain 0": wood.EndGrain(0), "end grain 37": wood.EndGrain(37), "end grain 142.6": wood.EndGrain(142.6),
	"along x flat": wood.LongGrain(0, 0), "along y quarter": wood.LongGrain(90, 90), "rift": wood.LongGrain(23, 37), "slanting": wood.LongGrain(-61.5, 118),
}

func TestFramesAreRightHandedAndOrthonormal(t *testing.T) {
	for name, f := range frames {
		q := [3][3]float64{f.L, f.R, f.T}
		for i := 0; i < 3; i++ {
			for j := 0; j < 3; j++ {
				dot := q[i][0]*q[j][0] + q[i][1]*q[j][1] + q[i][2]*q[j][2]
				want := 0.0
				if i == j {
					want = 1
				}
				assert.InDelta(t, want, dot, 1e-15, name)
			}
		}
		det := f.L[0]*(f.R[1]*f.T[2]-f.R[2]*f.T[1]) - f.L[1]*(f.R[0]*f.T[2]-f.R[2]*f.T[0]) + f.L[2]*(f.R[0]*f.T[1]-f.R[1]*f.T[0])
		assert.InDelta(t, 1, det, 1e-15, name)
	}
	// the conventions of the board: flat-sawn shows the tangential direction across the face
	assert.Equal(t, [3]float64{0, 0, 1}, wood.LongGrain(0, 0).R)
	assert.Equal(t, [3]float64{0, 1, 0}, wood.LongGrain(0, 90).R)
	assert.Equal(t, [3]float64{1, 0, 0}, wood.EndGrain(0).R)
	assert.Equal(t, [3]float64{0, 1, 0}, wood.EndGrain(0).T)
}

func TestTurnedComplianceAgainstTheTensor(t *testing.T) {
	voigt := [6][2]int{{0, 0}, {1, 1}, {2, 2}, {1, 2}, {0, 2}, {0, 1}}
	for _, id := range []string{"sugar-maple", "balsa", "sitka-spruce", "wenge"} {
		e := elastic(t, id, 7.3)
		for name, f := range frames {
			c, b := tensorOf(e.Compliance()).turn(f), e.BoardCompliance(f)
			for i, ij := range voigt {
				for j, kl := range voigt {
					want := c[ij[0]][ij[1]][kl[0]][kl[1]]
					if i > 2 {
						want *= 2
					}
					if j > 2 {
						want *= 2
					}
					assert.InDelta(t, want, b[i][j], 1e-15, "%s %s %d%d", id, name, i, j) // 1/MPa, entries reach 5e-2
				}
			}
		}
	}
}

// Plane stress and transverse shear are inverses of blocks of the turned compliance.
func TestReducedStiffnessesInvertTheirBlocks(t *testing.T) {
	e := elastic(t, "black-walnut", 7.3)
	for name, f := range frames {
		b, q, g := e.BoardCompliance(f), e.PlaneStress(f), e.TransverseShear(f)
		in := [3]int{0, 1, 5}
		for i := 0; i < 3; i++ {
			for j := 0; j < 3; j++ {
				sum, want := 0.0, 0.0
				for k := 0; k < 3; k++ {
					sum += b[in[i]][in[k]] * q[k][j]
				}
				if i == j {
					want = 1
				}
				assert.InDelta(t, want, sum, 1e-12, name)
				assert.Equal(t, q[i][j], q[j][i], name)
			}
		}
		out := [2]int{4, 3}
		for i := 0; i < 2; i++ {
			for j := 0; j < 2; j++ {
				sum, want := 0.0, 0.0
				for k := 0; k < 2; k++ {
					sum += b[out[i]][out[k]] * g[k][j]
				}
				if i == j {
					want = 1
				}
				assert.InDelta(t, want, sum, 1e-12, name)
			}
		}
	}
}

// In its own axes an end-grain block is the orthotropic plate of the textbooks.
func TestPlaneStressOfAnUnturnedBlock(t *testing.T) {
	e := elastic(t, "sugar maple", 9.1)
	q := e.PlaneStress(wood.EndGrain(0))
	nuTR := e.NuRT * e.ET / e.ER
	d := 1 - e.NuRT*nuTR
	assert.InEpsilon(t, e.ER/d, q[0][0], 1e-12)
	assert.InEpsilon(t, e.ET/d, q[1][1], 1e-12)
	assert.InEpsilon(t, e.NuRT*e.ET/d, q[0][1], 1e-12)
	assert.InEpsilon(t, e.GRT, q[2][2], 1e-12)
	assert.InDelta(t, 0, q[0][2], 1e-9) // MPa
	g := e.TransverseShear(wood.EndGrain(0))
	assert.InEpsilon(t, e.GLR, g[0][0], 1e-12)
	assert.InEpsilon(t, e.GLT, g[1][1], 1e-12)
	assert.InDelta(t, 0, g[0][1], 1e-9)
	// long grain along x, flat-sawn: xz is LR, yz is RT
	g = e.TransverseShear(wood.LongGrain(0, 0))
	assert.InEpsilon(t, e.GLR, g[0][0], 1e-12)
	assert.InEpsilon(t, e.GRT, g[1][1], 1e-12)
	// quarter-sawn: xz is LT
	assert.InEpsilon(t, e.GLT, e.TransverseShear(wood.LongGrain(0, 90))[0][0], 1e-12)
}

// A quarter turn exchanges the axes, a half turn changes nothing, and the stiffness
// in any direction does not depend on how the board is turned.
func TestTurningIdentities(t *testing.T) {
	for _, s := range wood.All() {
		e, err := s.Elastic(8.4)
		require.NoError(t, err)
		a, b, c := e.PlaneStress(wood.EndGrain(37)), e.PlaneStress(wood.EndGrain(127)), e.PlaneStress(wood.EndGrain(217))
		scale := 1e-12 * a[0][0]
		assert.InDelta(t, a[0][0], b[1][1], scale, s.ID)
		assert.InDelta(t, a[1][1], b[0][0], scale, s.ID)
		assert.InDelta(t, a[0][1], b[0][1], scale, s.ID)
		assert.InDelta(t, a[2][2], b[2][2], scale, s.ID)
		assert.InDelta(t, a[0][2], -b[1][2], scale, s.ID)
		for i := range a {
			for j := range a {
				assert.InDelta(t, a[i][j], c[i][j], scale, s.ID)
			}
		}
		// invariants of plane elasticity: Q11+Q22+2·Q12 and Q66−Q12
		o := e.PlaneStress(wood.EndGrain(0))
		assert.InDelta(t, o[0][0]+o[1][1]+2*o[0][1], a[0][0]+a[1][1]+2*a[0][1], 4*scale, s.ID)
		assert.InDelta(t, o[2][2]-o[0][1], a[2][2]-a[0][1], 4*scale, s.ID)
	}
}

// 1/E(a) in closed form against the turned tensor.
func TestModulusInTheRingPlane(t *testing.T) {
	e := elastic(t, "yellow-poplar", 11.3)
	for _, a := range []float64{0, 13, 37, 45, 68.2, 90, 151} {
		b := e.BoardCompliance(wood.EndGrain(-a)) // board x then lies at a from the radial axis
		assert.InEpsilon(t, 1/b[0][0], modulusRT(e, a), 1e-12)
	}
}

func TestEveryWoodIsStableAtEveryMoisture(t *testing.T) {
	for _, s := range wood.All() {
		for _, mc := range moistures {
			e, err := s.Elastic(mc)
			if !assert.NoError(t, err, "%s at %v %%", s.ID, mc) {
				continue
			}
			assert.Positive(t, smallestPivot(e.Compliance()), "%s at %v %%", s.ID, mc)
			assert.Greater(t, e.EL, e.ER, s.ID)
			assert.Greater(t, e.ET, 0.0, s.ID)
		}
	}
}

// smallestPivot is the least pivot of an LDLᵀ factorisation with the matrix scaled
// to a unit diagonal; positive only for a positive definite matrix.
func smallestPivot(s [6][6]float64) float64 {
	var a [6][6]float64
	for i := range s {
		for j := range s {
			a[i][j] = s[i][j] / math.Sqrt(s[i][i]*s[j][j])
		}
	}
	least := math.Inf(1)
	for k := range a {
		least = math.Min(least, a[k][k])
		for i := k + 1; i < 6; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 6; j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	return least
}

// modulusRT is Young's modulus [MPa] in the plane of the rings at an angle [degrees]
// from the radial axis: 1/E = cos⁴/E_R + sin⁴/E_T + (1/G_RT − 2ν_RT/E_R)·sin²·cos².
func modulusRT(e wood.Elastic, angle float64) float64 {
	s, c := math.Sincos(angle * math.Pi / 180)
	s, c = s*s, c*c
	return 1 / (c*c/e.ER + s*s/e.ET + (1/e.GRT-2*e.NuRT/e.ER)*s*c)
}
