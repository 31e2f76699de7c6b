package reliability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// At the middle the probability is an angle: 1/4 + asin ρ/2π (Sheppard; from memory).
func TestBivariateNormalAtTheMiddle(t *testing.T) {
	for rho := -1.0; rho <= 1; rho += 0.05 {
		assert.InDelta(t, 0.25+math.Asin(rho)/(2*math.Pi), BivariateNormal(0, 0, rho), 1e-12, "ρ = %g", rho)
	}
}

// Against the plain integral ∫ φ(x)Φ((b − ρx)/√(1−ρ²)) dx below a, by Simpson's rule.
func TestBivariateNormalAgainstPlainIntegral(t *testing.T) {
	for _, rho := range []float64{-0.99, -0.7, -0.2, 0, 0.3, 0.8, 0.95, 0.999} {
		for _, p := range [][2]float64{{-3, -3}, {-2, 0.5}, {-4, -3.9}, {1.2, -0.4}, {-2.5, -2.7}} {
			a, b := p[0], p[1]
			const n = 400000
			h := (a + 9) / n
			sum := 0.0
			for i := 0; i <= n; i++ {
				x := -9 + h*float64(i)
				w := 2.0 + 2*float64(i%2)
				if i == 0 || i == n {
					w = 1
				}
				sum += w * math.Exp(-x*x/2) * Phi((b-rho*x)/math.Sqrt(1-rho*rho))
			}
			want := sum * h / 3 / math.Sqrt(2*math.Pi)
			assert.InDelta(t, want, BivariateNormal(a, b, rho), 1e-11, "a %g b %g ρ %g", a, b, rho)
		}
	}
}

func TestSimpleBounds(t *testing.T) {
	low, high := SimpleBounds([]float64{0.1, 0.2, 0.05})
	assert.InDelta(t, 0.2, low, roundOff)
	assert.InDelta(t, 1-0.9*0.8*0.95, high, roundOff)
	low, high = SimpleBounds([]float64{1, 0.5})
	assert.Equal(t, [2]float64{1, 1}, [2]float64{low, high})
	_, high = SimpleBounds([]float64{1e-12, 1e-12})
	assert.InEpsilon(t, 2e-12, high, 1e-9)
}

// Modes that share one variable and have one each of their own: the exact
// probability is 1 − ∫ φ(t)·Π Φ((β − √ρ·t)/√(1−ρ)) dt, and the bounds must hold it.
func TestDitlevsenHoldsTheExactAnswer(t *testing.T) {
	for _, rho := range []float64{0.05, 0.3, 0.6, 0.9} {
		for _, beta := range []float64{1, 2.5, 4} {
			const n = 6
			modes, p := make([]Mode, n), make([]float64, n)
			for i := range modes {
				b := beta + 0.1*float64(i)
				modes[i], p[i] = Mode{Beta: b, Alpha: []float64{math.Sqrt(rho)}}, Phi(-b)
			}
			safe := 0.0
			const h = 1e-3
			for s := -9.0; s < 9; s += h {
				prod := math.Exp(-s*s/2) / math.Sqrt(2*math.Pi)
				for i := range modes {
					prod *= 1 - Phi(-(modes[i].Beta-math.Sqrt(rho)*s)/math.Sqrt(1-rho))
				}
				safe += h * prod
			}
			low, high := DitlevsenBounds(modes)
			simpleLow, simpleHigh := SimpleBounds(p)
			assert.LessOrEqual(t, low, 1-safe+1e-10, "ρ %g β %g", rho, beta)
			assert.GreaterOrEqual(t, high, 1-safe-1e-10, "ρ %g β %g", rho, beta)
			assert.GreaterOrEqual(t, low, simpleLow-1e-15, "narrower than the simple bounds")
			if beta >= 2.5 { // the simple upper bound multiplies, the narrow one adds
				assert.LessOrEqual(t, high, simpleHigh*1.02)
			}
		}
	}
}

// Two modes leave nothing open: both bounds are p₁ + p₂ − p₁₂.
func TestDitlevsenIsExactForTwo(t *testing.T) {
	a := []float64{0.6, 0.8}
	b := []float64{1, 0}
	low, high := DitlevsenBounds([]Mode{{2, a}, {1.5, b}})
	want := Phi(-2) + Phi(-1.5) - BivariateNormal(-2, -1.5, 0.6)
	assert.InDelta(t, want, low, 1e-14)
	assert.InDelta(t, want, high, 1e-14)
	low, high = DitlevsenBounds([]Mode{{3, b}, {3, b}})
	assert.InDelta(t, Phi(-3), low, 1e-14, "the same event twice")
	assert.InDelta(t, Phi(-3), high, 1e-14)
}

// Alike against what is known: no correlation multiplies, full correlation is the
// likeliest alone, two events are a bivariate normal.
func TestAlike(t *testing.T) {
	beta := []float64{1.2, 2, 2.5, 3}
	p := make([]float64, len(beta))
	for i, b := range beta {
		p[i] = Phi(-b)
	}
	low, high := SimpleBounds(p)
	assert.InDelta(t, high, Alike(beta, 0), 1e-9)
	assert.InDelta(t, low, Alike(beta, 1), 1e-9)
	last := high
	for _, rho := range []float64{0.1, 0.4, 0.8, 0.95, 0.99} {
		q := Alike(beta, rho)
		assert.Less(t, q, last, "ρ = %g: the more they share, the less one of many is likely", rho)
		assert.Greater(t, q, low)
		two := Alike(beta[:2], rho)
		assert.InDelta(t, p[0]+p[1]-BivariateNormal(-1.2, -2, rho), two, 1e-9, "ρ = %g", rho)
		last = q
	}
	assert.InEpsilon(t, 2*Phi(-7), Alike([]float64{7, 7}, 0.1), 1e-3, "far out nothing is lost to round-off")
	assert.Zero(t, Alike(nil, 0.3))
}

func TestCorrelation(t *testing.T) {
	assert.Zero(t, Correlation([]Mode{{1, []float64{1}}}))
	assert.InDelta(t, (0.6+0.8+0)/3, Correlation([]Mode{{1, []float64{0.6, 0.8}}, {1, []float64{1, 0}}, {1, []float64{0, 1}}}), 1e-12)
}
