package sparse

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Loads at some nodes give the same answers there whether the whole board or
// only the clusters on the way are gone through.
func TestSolveAtIsSolve(t *testing.T) { eachWidth(t, solveAtIsSolve) }

func solveAtIsSolve(t *testing.T) {
	for name, build := range family() {
		t.Run(name, func(t *testing.T) {
			p, k := build()
			slow, fast := factorBoth(t, p, k)
			r := rand.New(rand.NewPCG(uint64(len(name)), 3))
			var nodes []int32
			for _, i := range r.Perm(len(p.Coord))[:1+r.IntN(len(p.Coord))] {
				nodes = append(nodes, int32(i))
			}
			n, dof := 1+r.IntN(37), p.NodeDof
			full, few := make([][]float64, n), make([][]float64, n)
			for s := range full {
				full[s], few[s] = make([]float64, p.unknowns()), make([]float64, dof*len(nodes))
				for i, node := range nodes {
					for d := range dof {
						v := r.NormFloat64()
						full[s][int(node)*dof+d], few[s][i*dof+d] = v, v
					}
				}
			}
			require.NoError(t, fast.Solve(t.Context(), full, full))
			other := make([][]float64, n)
			for s := range other {
				other[s] = make([]float64, dof*len(nodes))
			}
			require.NoError(t, slow.SolveAt(t.Context(), nodes, other, few))
			require.NoError(t, fast.SolveAt(t.Context(), nodes, few, few))
			for s := range few {
				want := make([]float64, 0, dof*len(nodes))
				for _, node := range nodes {
					want = append(want, full[s][int(node)*dof:(int(node)+1)*dof]...)
				}
				assert.Equal(t, want, few[s], "the very same sums")
				assert.Less(t, apart(other[s], want), 1e-8, "the plain solver")
			}
		})
	}
}

func TestSolveAtRefusesNodesThatAreNotThere(t *testing.T) {
	p, k := randomProblem(3)
	f, err := FactorTree(context.Background(), p, k, Options{})
	require.NoError(t, err)
	side := [][]float64{make([]float64, 2*p.NodeDof)}
	for _, nodes := range [][]int32{{0, int32(len(p.Coord))}, {-1, 0}, {0, 0}} {
		assert.Error(t, f.SolveAt(t.Context(), nodes, side, side), "%v", nodes)
	}
	assert.Error(t, f.SolveAt(t.Context(), []int32{0}, side, side), "too long a side")
}
