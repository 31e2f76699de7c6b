package sparse

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func cacheBoard(turned bool) board {
	return board{cols: 8, rows: 6, side: 40, mesh: 4, kind: func(c, r, q int) int {
		if turned && c == 3 && r == 2 {
			return 1000
		}
		return r*8 + c
	}}
}

func TestCacheGivesTheSameBits(t *testing.T) {
	for _, trust := range []bool{false, true} {
		for _, workers := range []int{1, 2} {
			var cache Cache
			opt := Options{Cache: &cache, TrustKeys: trust, Workers: workers}
			p, k := cacheBoard(false).build()
			first, err := FactorTree(context.Background(), p, k, opt)
			require.NoError(t, err)
			assert.Zero(t, first.Stats().Reused)
			again, err := FactorTree(context.Background(), p, k, opt)
			require.NoError(t, err)
			assert.Equal(t, again.Stats().Distinct, again.Stats().Reused)
			assert.Zero(t, again.Stats().Flops)

			p, k = cacheBoard(true).build()
			plain, err := FactorTree(context.Background(), p, k, Options{})
			require.NoError(t, err)
			turned, err := FactorTree(context.Background(), p, k, opt)
			require.NoError(t, err)
			loads := sides(p, 3, 1)
			want, got := sides(p, 3, 0), sides(p, 3, 0)
			require.NoError(t, plain.Solve(t.Context(), want, loads))
			require.NoError(t, turned.Solve(t.Context(), got, loads))
			assert.Equal(t, want, got)

			// 48 pieces, so six levels above the piece: only the clusters of that
			// piece, which a cut may run through, and at most two a level are new
			s := turned.Stats()
			inside := s.Clusters/48 + 1
			assert.LessOrEqual(t, s.Distinct-s.Reused, inside+2*6)
			assert.Positive(t, s.Distinct-s.Reused)
			assert.Less(t, s.Flops, plain.Stats().Flops/2)
			if trust {
				assert.Less(t, s.Elements, plain.Stats().Elements/20)
			} else {
				assert.Equal(t, plain.Stats().Elements, s.Elements)
			}
		}
	}
}

// Same keys, other matrices: a cache that goes by content must not be fooled.
func TestCacheGoesByContent(t *testing.T) {
	var cache Cache
	p, k := cacheBoard(false).build()
	_, err := FactorTree(context.Background(), p, k, Options{Cache: &cache})
	require.NoError(t, err)
	double := func(e int, dst []float64) {
		k(e, dst)
		for i := range dst {
			dst[i] *= 2
		}
	}
	f, err := FactorTree(context.Background(), p, double, Options{Cache: &cache})
	require.NoError(t, err)
	assert.Zero(t, f.Stats().Reused)
	b, x := sides(p, 1, 1), sides(p, 1, 0)
	require.NoError(t, f.Solve(t.Context(), x, b))
	assert.Less(t, residual(p, double, x[0], b[0]), 1e-13)
}

// With little room most parts are dropped; what is left may lack the parts
// below it, and the answer must stay the same.
func TestCacheIsBounded(t *testing.T) {
	p, k := cacheBoard(false).build()
	q, kq := cacheBoard(true).build()
	loads := sides(p, 1, 1)
	want := sides(p, 1, 0)
	plain, err := FactorTree(context.Background(), p, k, Options{})
	require.NoError(t, err)
	require.NoError(t, plain.Solve(t.Context(), want, loads))
	reused := 0
	for _, limit := range []int64{1, 10 << 10, 100 << 10, 400 << 10, 1 << 20, 2 << 20, 4 << 20, 64 << 20} {
		cache := Cache{MaxBytes: limit}
		for range 3 {
			_, err = FactorTree(context.Background(), q, kq, Options{Cache: &cache})
			require.NoError(t, err)
			f, err := FactorTree(context.Background(), p, k, Options{Cache: &cache})
			require.NoError(t, err)
			require.LessOrEqual(t, cache.Bytes(), limit)
			got := sides(p, 1, 0)
			require.NoError(t, f.Solve(t.Context(), got, loads))
			require.Equal(t, want, got, "limit %d", limit)
			reused += f.Stats().Reused
		}
	}
	assert.Positive(t, reused)
}

// A kept plan serves only the problem it was made for: other held unknowns,
// another mesh and another number of unknowns a node need their own.
func TestCacheKeepsPlansApart(t *testing.T) {
	var cache Cache
	p, k := cacheBoard(false).build()
	moved := *p
	moved.Fixed = []int{10, 11, 501}
	q, kq := smallBoard(5).build()
	for range 2 {
		for _, c := range []struct {
			p *Problem
			k Stiffness
		}{{p, k}, {&moved, k}, {q, kq}} {
			f, err := FactorTree(context.Background(), c.p, c.k, Options{Cache: &cache})
			require.NoError(t, err)
			b, x := sides(c.p, 1, 1), sides(c.p, 1, 0)
			require.NoError(t, f.Solve(t.Context(), x, b))
			assert.Less(t, residual(c.p, c.k, x[0], b[0]), 1e-13)
		}
	}
}

func TestReleasedMemoryServesTheNext(t *testing.T) {
	p, k := cacheBoard(false).build()
	loads, want := sides(p, 1, 1), sides(p, 1, 0)
	for i := range 4 {
		f, err := FactorTree(context.Background(), p, k, Options{})
		require.NoError(t, err)
		got := sides(p, 1, 0)
		require.NoError(t, f.Solve(t.Context(), got, loads))
		if i == 0 {
			want = got
		}
		require.Equal(t, want, got)
		release(f)
	}
}

// release gives the memory of a factorisation back at once, as the collector does when
// it finds it.
func release(f Factor) {
	tree := f.(*treeFactor)
	tree.cleanup.Stop()
	giveBack(tree.slabs)
	tree.slabs, tree.l, tree.plan = nil, nil, nil
}

// What borrows from a cache takes what is there, leaves nothing behind and answers alike.
func TestBorrowingLeavesNothing(t *testing.T) {
	p, k := randomProblem(7)
	c := &Cache{}
	first, err := FactorTree(t.Context(), p, k, Options{Cache: c, Borrow: true})
	require.NoError(t, err)
	assert.Zero(t, c.Bytes())
	assert.Zero(t, first.Stats().Reused)
	_, err = FactorTree(t.Context(), p, k, Options{Cache: c})
	require.NoError(t, err)
	held := c.Bytes()
	assert.NotZero(t, held)
	again, err := FactorTree(t.Context(), p, k, Options{Cache: c, Borrow: true})
	require.NoError(t, err)
	assert.Equal(t, again.Stats().Distinct, again.Stats().Reused)
	assert.Equal(t, held, c.Bytes())
	x, y := [][]float64{make([]float64, p.unknowns())}, [][]float64{make([]float64, p.unknowns())}
	x[0][p.unknowns()-1], y[0][p.unknowns()-1] = 1, 1
	require.NoError(t, first.Solve(t.Context(), x, x))
	require.NoError(t, again.Solve(t.Context(), y, y))
	assert.Equal(t, x, y)
}
