package sparse

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// scattered makes loads of a few unknowns each, some of them named twice.
func scattered(r *rand.Rand, p *Problem, n int) [][]PointLoad {
	loads := make([][]PointLoad, n)
	for i := range loads {
		for range r.IntN(6) {
			loads[i] = append(loads[i], PointLoad{int32(r.IntN(p.unknowns())), r.NormFloat64()})
		}
	}
	return loads
}

// The one way up is what solving there and back and multiplying gives.
func TestGramIsWhatSolvingGives(t *testing.T) { eachWidth(t, gramIsWhatSolvingGives) }

func gramIsWhatSolvingGives(t *testing.T) {
	for name, build := range family() {
		t.Run(name, func(t *testing.T) {
			p, k := build()
			slow, fast := factorBoth(t, p, k)
			r := rand.New(rand.NewPCG(uint64(len(name)), 3))
			n := 1 + r.IntN(37)
			loads := scattered(r, p, n)
			full := make([][]float64, n)
			for s := range full {
				full[s] = make([]float64, p.unknowns())
				for _, q := range loads[s] {
					full[s][q.Unknown] += q.Value
				}
			}
			require.NoError(t, fast.Solve(t.Context(), full, full))
			got, err := fast.Gram(t.Context(), loads)
			require.NoError(t, err)
			other, err := slow.Gram(t.Context(), loads)
			require.NoError(t, err)
			largest := 0.0
			for i := range n {
				largest = max(largest, got.At(i, i))
			}
			fixed := p.fixedMask()
			for i := range n {
				for j := range n {
					want := 0.0
					for _, q := range loads[i] {
						if !fixed[q.Unknown] {
							want += q.Value * full[j][q.Unknown]
						}
					}
					assert.InDelta(t, want, got.At(i, j), 1e-10*largest, "%d, %d", i, j)
					assert.InDelta(t, want, other.At(i, j), 1e-8*largest, "the plain solver: %d, %d", i, j)
				}
			}
		})
	}
}

// Workers share the work out and change no bit.
func TestWorkersChangeNoBitOfGram(t *testing.T) {
	p, k := randomProblem(5)
	r := rand.New(rand.NewPCG(1, 2))
	loads := scattered(r, p, 200)
	var first *mat.SymDense
	for _, workers := range []int{1, 2, 5} {
		f, err := FactorTree(t.Context(), p, k, Options{Workers: workers})
		require.NoError(t, err)
		got, err := f.Gram(t.Context(), loads)
		require.NoError(t, err)
		if first == nil {
			first = got
		}
		for i := range loads {
			for j := range loads {
				require.Equal(t, math.Float64bits(first.At(i, j)), math.Float64bits(got.At(i, j)))
			}
		}
	}
}

func TestGramRefusesLoadsThatAreNotThere(t *testing.T) {
	p, k := randomProblem(3)
	f, err := FactorTree(context.Background(), p, k, Options{})
	require.NoError(t, err)
	n := int32(p.unknowns())
	for _, loads := range [][][]PointLoad{nil, {{{n, 1}}}, {{{-1, 1}}}, {{{0, math.NaN()}}}, {{{0, math.Inf(1)}}}} {
		_, err := f.Gram(t.Context(), loads)
		assert.Error(t, err, "%v", loads)
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = f.Gram(ended, [][]PointLoad{{{0, 1}}})
	assert.ErrorIs(t, err, context.Canceled)
}
