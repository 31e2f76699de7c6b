package reliability

import (
	"context"
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The parabola: 3.02e-3 (Der Kiureghian and Dakessian 1998; from memory), and
// the same by integration: ∫ φ(x)Φ(−(5 − ½(x − 0.1)²)) dx.
func TestSampleOfTheParabola(t *testing.T) {
	exact := 0.0
	const h = 1e-3
	for x := -9.0; x < 9; x += h {
		exact += h * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * Phi(-(5 - 0.5*(x-0.1)*(x-0.1)))
	}
	assert.InDelta(t, 3.02e-3, exact, 5e-6, "the published figure has three digits")
	c, err := Sample(context.Background(), 2, 1, SampleOptions{Samples: 300000, Seed: 4}, func() Trial {
		return func(u []float64, fails []bool) { fails[0] = parabola(u, nil) < 0 }
	})
	require.NoError(t, err)
	p, se := Share(c.Fails[0], c.Samples)
	assert.InDelta(t, exact, p, 3*se, "three standard errors of the run itself")
	assert.Less(t, se, 2e-4)
}

// The four-branch series system: 2.22e-3 (Waarts 2000, Schueremans 2001; from
// memory). First order finds β = 3, 3, 3.5, 3.5, and any one is the most likely.
func TestSampleOfFourBranches(t *testing.T) {
	branch := func(u []float64, fails []bool) {
		d, s := u[0]-u[1], (u[0]+u[1])/math.Sqrt2
		fails[0], fails[1] = 3+0.1*d*d-s < 0, 3+0.1*d*d+s < 0
		fails[2], fails[3] = d+7/math.Sqrt2 < 0, -d+7/math.Sqrt2 < 0
	}
	c, err := Sample(context.Background(), 2, 4, SampleOptions{Samples: 400000, Seed: 9}, func() Trial { return branch })
	require.NoError(t, err)
	p, se := Share(c.Any, c.Samples)
	assert.InDelta(t, 2.22e-3, p, 3*se, "three standard errors of the run itself")
	side, se := Share(c.Fails[2], c.Samples)
	assert.InDelta(t, Phi(-3.5), side, 3*se)
}

// Strength less load, both lognormal, is a plane in standard normal space, so
// first order is exact and the count must find it.
func TestFormAgreesWithSample(t *testing.T) {
	vars := []Variable{{Lognormal, 4.1, 1.025}, {Lognormal, 2.2, 0.66}}
	g := func(x, grad []float64) float64 {
		if grad != nil {
			grad[0], grad[1] = 1, -1
		}
		return x[0] - x[1]
	}
	r := form(t, vars, g, Options{})
	c, err := Sample(context.Background(), 2, 1, SampleOptions{Samples: 200000, Seed: 1}, func() Trial {
		x, draw := make([]float64, 2), Drawer(vars)
		return func(u []float64, fails []bool) {
			draw(u, x)
			fails[0] = g(x, nil) < 0
		}
	})
	require.NoError(t, err)
	p, se := Share(c.Fails[0], c.Samples)
	assert.InDelta(t, r.Probability, p, 3*se, "three standard errors of the run itself")
	assert.Greater(t, p, 20*se, "the count is large enough to mean something")
}

func TestSampleIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	run := func(workers int) (Counts, int64) {
		var last, calls atomic.Int64
		c, err := Sample(context.Background(), 3, 2, SampleOptions{Samples: 10001, Seed: 77, Workers: workers, Progress: func(done, total int) {
			calls.Add(1)
			assert.Equal(t, 10001, total)
			assert.Greater(t, int64(done), last.Swap(int64(done)))
		}}, func() Trial {
			return func(u []float64, fails []bool) { fails[0], fails[1] = u[0] > 1, u[1]+u[2] > 1 }
		})
		require.NoError(t, err)
		assert.EqualValues(t, 10001, last.Load())
		return c, calls.Load()
	}
	one, calls := run(1)
	four, _ := run(4)
	assert.Equal(t, one, four)
	assert.EqualValues(t, (10001+block-1)/block, calls)
	other, err := Sample(context.Background(), 3, 2, SampleOptions{Samples: 10001, Seed: 78}, func() Trial {
		return func(u []float64, fails []bool) { fails[0], fails[1] = u[0] > 1, u[1]+u[2] > 1 }
	})
	require.NoError(t, err)
	assert.NotEqual(t, one, other)
}

func TestSampleStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Sample(ctx, 1, 1, SampleOptions{Samples: 1 << 40, Progress: func(int, int) { cancel() }}, func() Trial {
		return func(u []float64, fails []bool) {}
	})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Sample(context.Background(), 1, 1, SampleOptions{}, func() Trial { return nil })
	assert.ErrorContains(t, err, "at least one sample")
}

func TestShare(t *testing.T) {
	p, se := Share(25, 100)
	assert.InDelta(t, 0.25, p, roundOff)
	assert.InDelta(t, math.Sqrt(0.25*0.75/100), se, roundOff)
	p, se = Share(0, 1000)
	assert.Equal(t, 0.0, p)
	assert.Greater(t, se, 0.0)
	p, se = Share(1000, 1000)
	assert.Equal(t, 1.0, p)
	assert.Greater(t, se, 0.0)
}
