package chance

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A paraboloid β − x + ½κ(y² + z²): the curvatures are κ, and its probability is
// the integral of Φ(−(β + ½κr²)) over the circle's distribution r·exp(−r²/2).
func TestSecondOrderOfAParaboloid(t *testing.T) {
	vars := []Variable{{Normal, 0, 1}, {Normal, 0, 1}, {Normal, 0, 1}}
	for _, c := range []struct{ beta, kappa, within float64 }{
		// The formula's own error, relative: it is asymptotic, worst at small β.
		{3, 0.1, 0.01}, {3, -0.08, 0.02}, {2, 0.2, 0.02}, {1, 0.1, 0.01}, {-1, 0.1, 0.01}, {-2, -0.1, 0.01},
	} {
		g := func(x, grad []float64) float64 {
			if grad != nil {
				grad[0], grad[1], grad[2] = -1, c.kappa*x[1], c.kappa*x[2]
			}
			return c.beta - x[0] + c.kappa*(x[1]*x[1]+x[2]*x[2])/2
		}
		exact := 0.0
		const h = 1e-4
		for r := h / 2; r < 9; r += h {
			exact += h * r * math.Exp(-r*r/2) * Phi(-(c.beta + c.kappa*r*r/2))
		}
		r := form(t, vars, g, Options{})
		p, k, err := SecondOrder(vars, g, r, nil)
		require.NoError(t, err)
		assert.InDeltaSlice(t, []float64{c.kappa, c.kappa}, k, 1e-8)
		assert.InDelta(t, 1, p/exact, c.within, "%+v", c)
		assert.Less(t, math.Abs(p-exact), math.Abs(r.Probability-exact)/4, "four times nearer than first order: %+v", c)
	}
}

// The interaction of two stresses over two strengths, as in a joint, against a
// count: first order is 7 % off here, second order within the count's own error.
func TestSecondOrderAgreesWithSample(t *testing.T) {
	vars := []Variable{{Lognormal, 2, 0.5}, {Lognormal, 1, 0.14}, {Normal, 1.2, 0.3}, {Normal, 0.4, 0.1}}
	g := func(x, grad []float64) float64 {
		a, b := x[2]/x[0], x[3]/x[1]
		u := math.Hypot(a, b)
		if grad != nil {
			grad[0], grad[1] = a*a/x[0]/u, b*b/x[1]/u
			grad[2], grad[3] = -a/x[0]/u, -b/x[1]/u
		}
		return 1 - u
	}
	r := form(t, vars, g, Options{})
	c, err := Sample(context.Background(), 4, 1, SampleOptions{Samples: 100000, Seed: 1}, func() Trial {
		x := make([]float64, 4)
		return func(u []float64, fails []bool) {
			Draw(vars, u, x)
			fails[0] = g(x, nil) < 0
		}
	})
	require.NoError(t, err)
	counted, se := Share(c.Fails[0], c.Samples)
	p, _, err := SecondOrder(vars, g, r, nil)
	require.NoError(t, err)
	assert.InDelta(t, counted, p, 3*se, "three standard errors of the run itself")
	assert.Greater(t, math.Abs(counted-r.Probability), 3*se, "the correction is needed")
	assert.Greater(t, counted, 20*se, "the count is large enough to mean something")
}

// A bowl round the origin has no tangent plane to speak of.
func TestSecondOrderRefusesABowl(t *testing.T) {
	vars := []Variable{{Normal, 0, 1}, {Normal, 0, 1}}
	g := func(x, grad []float64) float64 {
		if grad != nil {
			grad[0], grad[1] = -2*x[0], -2*x[1]
		}
		return 4 - x[0]*x[0] - x[1]*x[1]
	}
	r := form(t, vars, g, Options{Start: []float64{1, 1}})
	assert.InDelta(t, 2, r.Beta, 1e-6)
	_, _, err := SecondOrder(vars, g, r, nil)
	assert.ErrorIs(t, err, ErrCurved)
}

func TestBetaOf(t *testing.T) {
	for _, b := range []float64{-3, 0, 1.5, 6} {
		assert.InDelta(t, b, BetaOf(Phi(-b)), 1e-9)
	}
	assert.Equal(t, 38.0, BetaOf(0))
	assert.Equal(t, -38.0, BetaOf(1))
}
