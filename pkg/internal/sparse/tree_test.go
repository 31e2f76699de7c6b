package sparse

import (
	"context"
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// family is every kind of problem the solvers are tested on; a member added
// here runs through every battery below.
func family() map[string]func() (*Problem, Stiffness) {
	all := map[string]func() (*Problem, Stiffness){}
	for seed := range uint64(60) {
		all[fmt.Sprintf("random/%d", seed)] = func() (*Problem, Stiffness) { return randomProblem(seed) }
	}
	for seed := range uint64(12) {
		all[fmt.Sprintf("board/%d", seed)] = func() (*Problem, Stiffness) { return smallBoard(seed).build() }
	}
	brick := board{cols: 4, rows: 5, side: 38, mesh: 4, even: true,
		kind:   func(c, r, q int) int { return (c + r) % 2 },
		offset: func(r int) float64 { return 0.5 * float64(r%2) }}
	all["brick"] = brick.build
	quarters := board{cols: 3, rows: 3, side: 40, mesh: 4,
		kind:      func(c, r, q int) int { return q % 2 },
		quartered: func(c, r int) bool { return true }}
	all["quarters"] = quarters.build
	strip := board{cols: 23, rows: 1, side: 40, mesh: 3, kind: func(c, r, q int) int { return c % 3 }}
	all["strip"] = strip.build
	return all
}

func factorBoth(t *testing.T, p *Problem, k Stiffness) (slow, fast Factor) {
	t.Helper()
	slow, err := FactorDirect(context.Background(), p, k)
	require.NoError(t, err)
	fast, err = FactorTree(context.Background(), p, k, Options{})
	require.NoError(t, err)
	return slow, fast
}

func TestTreeAgainstDirect(t *testing.T) { eachWidth(t, treeAgainstDirect) }

func treeAgainstDirect(t *testing.T) {
	for name, build := range family() {
		t.Run(name, func(t *testing.T) {
			p, k := build()
			slow, fast := factorBoth(t, p, k)
			n := 1 + len(p.Elements)%11
			b, x, y := sides(p, n, 5), sides(p, n, 0), sides(p, n, 0)
			require.NoError(t, slow.Solve(t.Context(), x, b))
			require.NoError(t, fast.Solve(t.Context(), y, b))
			cond, err := estimateCondition(p, k, fast)
			require.NoError(t, err)
			for r := range b {
				// rounding (1.1e-16) times the condition number is the most that
				// two backward stable answers differ by, up to a small factor
				assert.Less(t, apart(y[r], x[r]), min(1e-9, 4e-16*cond))
				// a backward stable solve leaves a few units of 1e-16 a row
				assert.Less(t, residual(p, k, y[r], b[r]), 1e-13)
				assert.Less(t, residual(p, k, x[r], b[r]), 1e-13)
			}
			assert.Equal(t, slow.Stats().Unknowns, fast.Stats().Unknowns)
			assert.Equal(t, p.unknowns(), fast.N())
		})
	}
}

func TestTreeAgainstDense(t *testing.T) {
	for seed := range uint64(10) {
		p, k := randomProblem(seed + 500)
		f, err := FactorTree(context.Background(), p, k, Options{})
		require.NoError(t, err)
		var chol mat.Cholesky
		require.True(t, chol.Factorize(dense(p, k)), "seed %d", seed)
		b, x := sides(p, 1, seed), sides(p, 1, 0)
		require.NoError(t, f.Solve(t.Context(), x, b))
		var want mat.VecDense
		require.NoError(t, chol.SolveVecTo(&want, mat.NewVecDense(len(b[0]), b[0])))
		assert.Less(t, apart(x[0], want.RawVector().Data), 1e-9, "seed %d", seed)
	}
}

// Loads at held unknowns are reactions: they must not change the answer.
func TestHeldUnknownsStayAtZero(t *testing.T) {
	for name, build := range family() {
		p, k := build()
		slow, fast := factorBoth(t, p, k)
		b := sides(p, 1, 8)
		c := [][]float64{append([]float64(nil), b[0]...)}
		for _, u := range p.Fixed {
			c[0][u] = 1e6
		}
		for _, f := range []Factor{slow, fast} {
			x, y := sides(p, 1, 0), sides(p, 1, 0)
			require.NoError(t, f.Solve(t.Context(), x, b))
			require.NoError(t, f.Solve(t.Context(), y, c))
			assert.Equal(t, x, y, name)
			for _, u := range p.Fixed {
				require.Zero(t, x[0][u], name)
			}
		}
	}
}

// The bits of the answer depend neither on the workers, nor on the company a
// side is solved in, nor on dst and rhs being the same.
func TestAnswerDoesNotDependOnWorkers(t *testing.T) {
	b := board{cols: 7, rows: 5, side: 40, mesh: 5, kind: func(c, r, q int) int { return (c*5 + r*3) % 6 },
		quartered: func(c, r int) bool { return (c+r)%4 == 0 }}
	p, k := b.build()
	loads := sides(p, 19, 3)
	one, err := FactorTree(context.Background(), p, k, Options{})
	require.NoError(t, err)
	want := sides(p, 19, 0)
	require.NoError(t, one.Solve(t.Context(), want, loads))
	for workers := 2; workers <= 4; workers++ {
		f, err := FactorTree(context.Background(), p, k, Options{Workers: workers})
		require.NoError(t, err)
		got := sides(p, 19, 0)
		require.NoError(t, f.Solve(t.Context(), got, loads))
		require.Equal(t, want, got, "%d workers", workers)
		assert.Equal(t, one.Stats().Flops, f.Stats().Flops)
	}
	alone := [][]float64{append([]float64(nil), loads[13]...)}
	require.NoError(t, one.Solve(t.Context(), alone, alone))
	assert.Equal(t, want[13], alone[0])
}

func TestSolvesAtOnce(t *testing.T) {
	p, k := smallBoard(2).build()
	f, err := FactorTree(context.Background(), p, k, Options{Workers: 2})
	require.NoError(t, err)
	loads := sides(p, 9, 3)
	want := sides(p, 9, 0)
	require.NoError(t, f.Solve(t.Context(), want, loads))
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 20 {
				got := sides(p, 9, 0)
				assert.NoError(t, f.Solve(t.Context(), got, loads))
				assert.Equal(t, want, got)
			}
		})
	}
	group.Wait()
}

// A regular pattern must be found out: the number of distinct clusters may not
// grow with the board.
func TestRepeatsAreEliminatedOnce(t *testing.T) {
	distinct := func(cols, rows int) (int, int) {
		b := board{cols: cols, rows: rows, side: 40, mesh: 4, kind: func(c, r, q int) int { return (c + 2*(r%2)) % 4 }}
		p, k := b.build()
		f, err := FactorTree(context.Background(), p, remembered(p, k), Options{})
		require.NoError(t, err)
		return f.Stats().Distinct, f.Stats().Clusters
	}
	small, _ := distinct(8, 8)
	large, all := distinct(32, 32)
	// four sides and corners differ from the inside at each of four more levels
	assert.Less(t, large, small+100)
	assert.Greater(t, all, 20*large)
}

func TestNotPositiveDefiniteNamesThePiece(t *testing.T) {
	b := board{cols: 4, rows: 3, side: 40, mesh: 3, kind: func(c, r, q int) int {
		if c == 2 && r == 1 {
			return -1 // negative stiffness
		}
		return 1
	}}
	p, k := b.build()
	for workers := 1; workers <= 3; workers++ {
		_, err := FactorTree(context.Background(), p, k, Options{Workers: workers})
		var failed *NotPositiveDefinite
		require.ErrorAs(t, err, &failed)
		assert.Equal(t, int32(6), failed.Group) // third piece of the second row
		assert.Contains(t, err.Error(), "group 6")
	}
	_, err := FactorDirect(context.Background(), p, k)
	var failed *NotPositiveDefinite
	require.ErrorAs(t, err, &failed)
	assert.Equal(t, int32(6), failed.Group)
}

// With many bad pieces the workers may meet any first; the one named is the same.
func TestTheFailureNamedDoesNotDependOnWorkers(t *testing.T) {
	b := board{cols: 6, rows: 6, side: 40, mesh: 3, kind: func(c, r, q int) int { return -1 - c - 6*r }}
	p, k := b.build()
	_, want := FactorTree(context.Background(), p, k, Options{})
	require.Error(t, want)
	for range 20 {
		_, err := FactorTree(context.Background(), p, k, Options{Workers: 3})
		require.Equal(t, want, err)
	}
}

func TestUnheldBoardIsRefused(t *testing.T) {
	for _, n := range []int{1, 2, 5, 9} {
		b := board{cols: n + 1, rows: n, side: 40, mesh: 4, kind: func(c, r, q int) int { return c*5 + r }}
		p, k := b.build()
		p.Fixed = nil
		var failed *NotPositiveDefinite
		_, err := FactorTree(context.Background(), p, k, Options{})
		require.ErrorAs(t, err, &failed, "%d rows", n)
		_, err = FactorDirect(context.Background(), p, k)
		require.ErrorAs(t, err, &failed, "%d rows", n)
	}
}

func TestBadProblemsAreRefused(t *testing.T) {
	bad := map[string]struct {
		change func(p *Problem)
		says   string
	}{
		"no unknowns":    {func(p *Problem) { p.NodeDof = 0 }, "0 unknowns per node"},
		"no elements":    {func(p *Problem) { p.Elements = nil }, "0 elements"},
		"place":          {func(p *Problem) { p.Coord[3][1] = math.NaN() }, "node 3 lies at"},
		"fixed":          {func(p *Problem) { p.Fixed = []int{p.unknowns()} }, "fixed unknown"},
		"fixed negative": {func(p *Problem) { p.Fixed = []int{-1} }, "fixed unknown -1"},
		"node":           {func(p *Problem) { p.Elements[1].Nodes[2] = 9999 }, "element 1 names node 9999"},
		"twice":          {func(p *Problem) { p.Elements[1].Nodes[2] = p.Elements[1].Nodes[0] }, "twice"},
		"empty":          {func(p *Problem) { p.Elements[0].Nodes = nil }, "element 0 has no nodes"},
		"lonely node":    {func(p *Problem) { p.Coord = append(p.Coord, [2]float64{1, 2}) }, "no element touches unknown"},
	}
	for name, c := range bad {
		p, k := smallBoard(1).build()
		c.change(p)
		for _, factor := range []func() (Factor, error){
			func() (Factor, error) { return FactorDirect(context.Background(), p, k) },
			func() (Factor, error) { return FactorTree(context.Background(), p, k, Options{}) },
		} {
			f, err := factor()
			require.Error(t, err, name)
			assert.Nil(t, f, name)
			assert.Contains(t, err.Error(), c.says, name)
		}
	}
}

func TestStiffnessThatIsNoNumberIsRefused(t *testing.T) {
	p, k := smallBoard(4).build()
	broken := func(e int, dst []float64) {
		k(e, dst)
		if p.Elements[e].Key == p.Elements[0].Key {
			dst[5] = math.Inf(1)
		}
	}
	_, err := FactorTree(context.Background(), p, broken, Options{})
	assert.ErrorContains(t, err, "stiffness of element 0, group 0, holds +Inf at row 0, column 5")
	_, err = FactorDirect(context.Background(), p, broken)
	assert.ErrorContains(t, err, "stiffness of element 0")
}

func TestBadSidesAreRefused(t *testing.T) {
	p, k := smallBoard(4).build()
	slow, fast := factorBoth(t, p, k)
	for _, f := range []Factor{slow, fast} {
		b := sides(p, 2, 1)
		assert.ErrorContains(t, f.Solve(t.Context(), b[:1], b), "2 right-hand sides and room for 1")
		assert.ErrorContains(t, f.Solve(t.Context(), b, [][]float64{b[0], b[1][:4]}), "right-hand side 1 has length 4")
		b[1][7] = math.NaN()
		assert.ErrorContains(t, f.Solve(t.Context(), b, b), "right-hand side 1 holds NaN at unknown 7")
		assert.NoError(t, f.Solve(t.Context(), nil, nil))
	}
}

func TestCancelled(t *testing.T) {
	p, k := smallBoard(4).build()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for workers := range 3 {
		_, err := FactorTree(ctx, p, k, Options{Workers: workers})
		assert.ErrorIs(t, err, context.Canceled)
	}
	_, err := FactorDirect(ctx, p, k)
	assert.ErrorIs(t, err, context.Canceled)
}

// Hager's bound against the true condition number of small systems.
func TestConditionEstimate(t *testing.T) {
	for seed := range uint64(6) {
		p, k := smallBoard(seed).build()
		f, err := FactorTree(context.Background(), p, k, Options{})
		require.NoError(t, err)
		got, err := estimateCondition(p, k, f)
		require.NoError(t, err)
		a := dense(p, k)
		free := make([]int, 0, p.unknowns())
		for u, held := range p.fixedMask() {
			if !held {
				free = append(free, u)
			}
		}
		sub := mat.NewDense(len(free), len(free), nil)
		for i, u := range free {
			for j, v := range free {
				sub.Set(i, j, a.At(u, v))
			}
		}
		true1 := mat.Cond(sub, 1)
		// the bound of the inverse is from below, that of the norm from above
		assert.Greater(t, got, 0.3*true1, "seed %d", seed)
		assert.Less(t, got, 3*true1, "seed %d", seed)
		assert.LessOrEqual(t, f.Stats().Condition, mat.Cond(sub, 2)*(1+1e-9), "seed %d", seed)
		assert.Greater(t, f.Stats().Condition, 1.0)
	}
}

// The unit of the stiffness must not matter, held unknowns included.
func TestUnitOfStiffness(t *testing.T) {
	for _, unit := range []float64{1e-12, 1e9, 1e20} {
		p, k := smallBoard(6).build()
		scaled := func(e int, dst []float64) {
			k(e, dst)
			for i := range dst {
				dst[i] *= unit
			}
		}
		b := sides(p, 1, 2)
		for _, factor := range []func(k Stiffness) (Factor, error){
			func(k Stiffness) (Factor, error) { return FactorDirect(context.Background(), p, k) },
			func(k Stiffness) (Factor, error) { return FactorTree(context.Background(), p, k, Options{}) },
		} {
			x, y := sides(p, 1, 0), sides(p, 1, 0)
			f, err := factor(k)
			require.NoError(t, err)
			require.NoError(t, f.Solve(t.Context(), x, b))
			f, err = factor(scaled)
			require.NoError(t, err, "unit %g", unit)
			require.NoError(t, f.Solve(t.Context(), y, b))
			for i := range y[0] {
				y[0][i] *= unit
			}
			assert.Less(t, apart(y[0], x[0]), 1e-9)
		}
	}
}

func TestAllHeld(t *testing.T) {
	p, k := smallBoard(6).build()
	p.Fixed = nil
	for u := range p.unknowns() {
		p.Fixed = append(p.Fixed, u)
	}
	slow, fast := factorBoth(t, p, k)
	for _, f := range []Factor{slow, fast} {
		x := sides(p, 2, 1)
		for r := range x {
			for i := range x[r] {
				x[r][i] = 1
			}
		}
		require.NoError(t, f.Solve(t.Context(), x, x))
		assert.Equal(t, sides(p, 2, 1), x) // zeros
		assert.Zero(t, f.Stats().Unknowns)
		cond, err := estimateCondition(p, k, f)
		require.NoError(t, err)
		assert.Equal(t, 1.0, cond)
	}
}

// One group of many elements, none in line with another: no clean cut anywhere.
func TestOneLargeCrookedGroup(t *testing.T) {
	b := board{cols: 12, rows: 10, side: 40, mesh: 4, kind: func(c, r, q int) int { return c % 3 },
		quartered: func(c, r int) bool { return (c+r)%2 == 0 }}
	p, k := b.build()
	rng := random(4)
	for i := range p.Coord { // places steer the order only
		p.Coord[i][0] += rng.Float64()
		p.Coord[i][1] += rng.Float64()
	}
	k = remembered(p, k)
	for e := range p.Elements {
		p.Elements[e].Group = 0
	}
	slow, fast := factorBoth(t, p, k)
	load, x, y := sides(p, 1, 1), sides(p, 1, 0), sides(p, 1, 0)
	require.NoError(t, slow.Solve(t.Context(), x, load))
	require.NoError(t, fast.Solve(t.Context(), y, load))
	assert.Less(t, apart(y[0], x[0]), 1e-9)
	// an order as good as minimum degree, up to a factor
	assert.Less(t, fast.Stats().NonZeros, 2*slow.Stats().NonZeros)
}
