package pair

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// ugly is a pair with nothing equal and nothing round.
var ugly = strips{a: 37, b: 23, ea: 1130, eb: 871, delta: 0.00613}

// roundOff is the relative error of a handful of operations in double precision.
const roundOff = 1e-12

func TestStraightBalancesForcesAndStrains(t *testing.T) {
	p, sa, sb := ugly.straight()
	assert.InEpsilon(t, p, sa*ugly.a, roundOff)
	assert.InDelta(t, 0, sa*ugly.a+sb*ugly.b, math.Abs(p)*roundOff, "N/mm: no outer force")
	// εA + σA/EA = εB + σB/EB with εA = 0, εB = Δ
	assert.InEpsilon(t, ugly.delta+sb/ugly.eb, sa/ugly.ea, roundOff)
}

func TestStraightLikeStripsShareHalf(t *testing.T) {
	s := strips{a: 40, b: 40, ea: 900, eb: 900, delta: 0.003}
	_, sa, sb := s.straight()
	assert.InEpsilon(t, 900*0.003/2, sa, roundOff)
	assert.InEpsilon(t, -900*0.003/2, sb, roundOff)
}

// TestBowIsTimoshenko holds (2) to the formula as Timoshenko (1925) wrote it,
// k = 6Δ(1+m)² / (h[3(1+m)² + (1+mn)(m² + 1/(mn))]), m = a/b, n = EA/EB.
func TestBowIsTimoshenko(t *testing.T) {
	for _, s := range []strips{
		ugly,
		{a: 40, b: 40, ea: 900, eb: 900, delta: 0.002},
		{a: 3, b: 71, ea: 13860, eb: 640, delta: -0.011},
	} {
		m, n, h := s.a/s.b, s.ea/s.eb, s.a+s.b
		want := 6 * s.delta * (1 + m) * (1 + m) / (h * (3*(1+m)*(1+m) + (1+m*n)*(m*m+1/(m*n))))
		_, kappa, _, _ := s.bow()
		assert.InEpsilon(t, want, kappa, 1e-11, "%+v", s)
	}
	_, kappa, _, _ := strips{a: 40, b: 40, ea: 900, eb: 900, delta: 0.002}.bow()
	assert.InEpsilon(t, 1.5*0.002/80, kappa, roundOff, "equal layers: 1.5 Δ/h")
}

func TestBowFitsAtTheJoint(t *testing.T) {
	_, _, sa, sb := ugly.bow()
	assert.InEpsilon(t, ugly.delta+sb/ugly.eb, sa/ugly.ea, 1e-11, "same strain on both sides of the joint")
	// like strips: EΔ/2 beside the joint, as when held straight
	_, _, sa, sb = strips{a: 40, b: 40, ea: 900, eb: 900, delta: 0.002}.bow()
	assert.InEpsilon(t, 0.9, sa, roundOff)
	assert.InEpsilon(t, -0.9, sb, roundOff)
}
