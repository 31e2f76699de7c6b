package sparse

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is solved once has the bits of a factor that is kept, asked everywhere or at some
// nodes, on boards that repeat nothing, something and everything.
func TestSolvedOnceIsSolvedAlike(t *testing.T) {
	t.Parallel()
	kinds := map[string]func(c, r, q int) int{
		"different": func(c, r, q int) int { return 4*(c+100*r) + q },
		"some":      func(c, r, q int) int { return (c*c + 3*r + q) % 5 },
		"alike":     func(c, r, q int) int { return 0 },
	}
	for name, kind := range kinds {
		p, k := board{cols: 9, rows: 7, side: 40, mesh: 3, kind: kind, quartered: func(c, r int) bool { return (c+r)%4 == 0 }}.build()
		f, err := FactorTree(t.Context(), p, k, Options{})
		require.NoError(t, err)
		loads, want := sides(p, 10, 3), sides(p, 10, 0)
		require.NoError(t, f.Solve(t.Context(), want, loads))
		rng := rand.New(rand.NewPCG(7, 1))
		for _, ask := range []int{0, 1, 40} {
			var wanted []bool
			if ask > 0 {
				wanted = make([]bool, len(p.Coord))
				for range ask {
					wanted[rng.IntN(len(wanted))] = true
				}
			}
			got := sides(p, 10, 3)
			require.NoError(t, SolveOnce(t.Context(), p, k, Options{Workers: 1 + ask%2, Cache: &Cache{}}, got, wanted))
			for s := range got {
				for u := range got[s] {
					if wanted == nil || wanted[u/p.NodeDof] {
						require.Equal(t, want[s][u], got[s][u], "%s, %d asked, side %d, unknown %d", name, ask, s, u)
					}
				}
			}
		}
	}
}

// It holds about half of L, and little where little is asked.
func TestSolvedOnceHoldsLess(t *testing.T) {
	t.Parallel()
	p, k := board{cols: 16, rows: 12, side: 40, mesh: 3, kind: func(c, r, q int) int { return c + 100*r }}.build()
	held := func(wanted []bool) (most, all int) {
		table := distinctElements(p)
		plan, err := newPlanner(t.Context(), p, table.of).run()
		require.NoError(t, err)
		r := &runner{p: p, k: k, table: &table, workers: 1, plan: plan, columns: &slicePool{}}
		require.NoError(t, r.gather(t.Context(), true))
		o := &once{r: r, bench: r.newBench(1), f: treeFactor{n: p.unknowns(), dof: p.NodeDof, plan: plan, l: make([][]float64, len(plan.classes))}}
		o.ask(wanted)
		o.branches()
		o.count()
		require.NoError(t, o.solve(t.Context(), sides(p, 1, 3)))
		for _, s := range r.columns.slabs {
			most += len(*s)
		}
		for id := range plan.classes {
			all += plan.classes[id].pat.panelLen()
		}
		return most, all
	}
	most, all := held(nil)
	assert.Less(t, float64(most), 0.75*float64(all), "of %d", all)
	few := make([]bool, len(p.Coord))
	few[5] = true
	least, _ := held(few)
	assert.Less(t, float64(least), 0.5*float64(all), "of %d", all)
}

func TestSolveOnceRefusesWhatCannotBeSolved(t *testing.T) {
	t.Parallel()
	p, k := smallBoard(2).build()
	bad := sides(p, 1, 3)
	bad[0][3] = math.Inf(1)
	require.Error(t, SolveOnce(t.Context(), p, k, Options{}, bad, nil))
	require.Error(t, SolveOnce(t.Context(), p, k, Options{}, [][]float64{{1}}, nil))
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, SolveOnce(ended, p, k, Options{}, sides(p, 1, 3), nil), context.Canceled)
	var failed *NotPositiveDefinite
	require.ErrorAs(t, SolveOnce(t.Context(), p, func(e int, m []float64) {}, Options{}, sides(p, 1, 3), nil), &failed)
	require.NoError(t, SolveOnce(t.Context(), p, k, Options{}, nil, nil))
}
