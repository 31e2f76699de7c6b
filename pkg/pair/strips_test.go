package pair

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// ugly is a pair with nothing equal and nothing round.
var ugly = strips{a: 37, b: 23, ea: 1130, eb: 871, ga: 317, gb: 402, na: 942, nb: 1510, delta: 0.00613}

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
	s := strips{a: 40, b: 40, ea: 900, eb: 900, ga: 300, gb: 300, delta: 0.003}
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

func TestEnteredIsTheCoshForm(t *testing.T) {
	for _, c := range []struct{ beta, length, d float64 }{{0.037, 83, 4.7}, {0.2, 12, 5.9}, {0.01, 900, 3}} {
		l := c.length / 2
		want := 1 - math.Cosh(c.beta*(l-c.d))/math.Cosh(c.beta*l)
		assert.InEpsilon(t, want, entered(c.beta, c.length, c.d), 1e-11)
	}
	assert.InEpsilon(t, entered(0.037, 0, 4.7), entered(0.037, 1e6, 4.7), roundOff, "long is the limit, and 1e6 mm does not overflow")
}

// TestEndShearSolvesTheBalance integrates N” = β²(N − P) from the middle of the
// joint by small steps and compares the mean shear over d with the closed form.
func TestEndShearSolvesTheBalance(t *testing.T) {
	s, length, d := ugly, 61.0, 4.3
	k := 1 / (s.a/(3*s.ga) + s.b/(3*s.gb))
	beta2 := k * (1/(s.ea*s.a) + 1/(s.eb*s.b))
	p, _, _ := s.straight()
	// shooting: N(0) unknown, N'(0) = 0, N(l) = 0; linear, so two shots do
	shoot := func(n0 float64) (end, before float64) {
		const steps = 61000
		h := length / 2 / steps
		n, v := n0, 0.0
		f := func(n float64) float64 { return beta2 * (n - p) }
		for i := range steps {
			if float64(i)*h >= length/2-d && before == 0 {
				before = n
			}
			k1v, k1n := f(n), v // midpoint rule
			n, v = n+h*(k1n+h/2*k1v), v+h*f(n+h/2*k1n)
		}
		return n, before
	}
	e0, b0 := shoot(0)
	e1, b1 := shoot(p)
	x := -e0 / (e1 - e0)
	want := (b0 + x*(b1-b0)) / d
	shear, _ := s.ends(length, d)
	assert.InEpsilon(t, want, shear, 1e-4, "step 0.5 µm, midpoint rule")
}

// TestPeelIsTheMeanOfTheFoundationBeam integrates (4) over d.
func TestPeelIsTheMeanOfTheFoundationBeam(t *testing.T) {
	s, d := ugly, 4.3
	da, db, h := s.stiffness()
	k := 1 / (s.a/(3*s.ga) + s.b/(3*s.gb))
	lambda := 1/(s.ea*s.a) + 1/(s.eb*s.b) + h*h/(4*(da+db))
	tau := s.delta / lambda * math.Sqrt(k*lambda)
	f := (s.a*db - s.b*da) / (2 * (da + db)) * tau
	kn := 1 / (s.a/(3*s.na) + s.b/(3*s.nb))
	root := math.Pow(kn/(4*da*db/(da+db)), 0.25)
	const steps = 20000
	sum := 0.0
	for i := range steps {
		x := (float64(i) + 0.5) * d / steps
		sum += 2 * root * f * math.Exp(-root*x) * math.Cos(root*x)
	}
	_, peel := s.ends(0, d)
	assert.InEpsilon(t, sum/steps, peel, 1e-7, "midpoint rule, 20000 steps")

	_, none := strips{a: 40, b: 40, ea: 900, eb: 900, ga: 300, gb: 300, na: 900, nb: 900, delta: 0.002}.ends(0, 4)
	assert.InDelta(t, 0, none, 1e-15, "MPa: like strips do not peel")
}
