package sparse

import (
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Slices of a pool never overlap while they are out, and memory that came back serves
// larger slices than it was cut into.
func TestPoolJoinsWhatComesBack(t *testing.T) {
	t.Parallel()
	var pool slicePool
	rng := rand.New(rand.NewPCG(1, 2))
	type held struct {
		x    []float64
		mark float64
	}
	var out []held
	for i := range 3000 {
		if len(out) > 40 || len(out) > 0 && rng.IntN(2) == 0 {
			k := rng.IntN(len(out))
			other := slices.ContainsFunc(out[k].x, func(v float64) bool { return v != out[k].mark })
			require.False(t, other, "written over by another slice")
			pool.put(out[k].x)
			out = slices.Delete(out, k, k+1)
			continue
		}
		h := held{pool.take(1 + rng.IntN(20_000)), float64(i)}
		for j := range h.x {
			h.x[j] = h.mark
		}
		out = append(out, h)
	}
	for _, h := range out {
		pool.put(h.x)
	}
	assert.Len(t, pool.gaps, len(pool.slabs), "all slabs are whole again")
	n := len(pool.slabs)
	pool.put(pool.take(slabLen))
	assert.Len(t, pool.slabs, n, "a slab cut into small pieces serves a large one")
	pool.giveBack()
}

// Slabs beyond those that are kept serve until the collector has taken them.
func TestLooseSlabsServeOrGo(t *testing.T) {
	size := slabSize(slabLen * 40) // no other test asks for such ones
	s := takeSlab(slabLen * 40)
	giveBack([]*[]float64{s})
	require.Len(t, idle.loose[size], 1)
	assert.Same(t, s, takeSlab(slabLen*40))
	giveBack([]*[]float64{s})
	s = nil
	runtime.GC()
	runtime.GC()
	assert.Nil(t, idleSlab(size))
	assert.Empty(t, idle.loose[size])
}
