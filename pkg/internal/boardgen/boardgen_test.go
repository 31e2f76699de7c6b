package boardgen_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/layout"
)

func TestReferenceBoards(t *testing.T) {
	for name, c := range map[string]struct {
		src        []byte
		rows, cols int
	}{
		"B48": {boardgen.B48(0, 3), 6, 8}, "B192": {boardgen.B192(8, 3), 12, 16}, "B600": {boardgen.B600(8, 3), 20, 30},
	} {
		b, err := layout.Read(c.src)
		require.NoError(t, err, name)
		assert.Equal(t, []int{c.rows, c.cols}, []int{b.Rows, b.Cols}, name)
		if name == "B600" {
			cut := (len(b.Pieces) - 600) / 3 // four pieces where one was
			assert.InDelta(t, 200, cut, 40, "a third of the cells are cut, give or take chance")
		} else {
			assert.Len(t, b.Pieces, c.rows*c.cols)
		}
	}
}

func TestKindsRecurOrNot(t *testing.T) {
	count := func(src []byte) int {
		b, err := layout.Read(src)
		require.NoError(t, err)
		type kind struct {
			species        string
			ring, moisture float64
		}
		kinds := map[kind]bool{}
		for _, p := range b.Pieces {
			kinds[kind{p.Species, p.RingAngle, p.Moisture}] = true
		}
		return len(kinds)
	}
	assert.LessOrEqual(t, count(boardgen.B192(8, 3)), 8)
	assert.Greater(t, count(boardgen.B192(0, 3)), 150)
	assert.Equal(t, boardgen.B192(0, 3), boardgen.B192(0, 3), "same seed, same bytes")
	assert.NotEqual(t, boardgen.B192(0, 3), boardgen.B192(0, 4))
	_, err := layout.Read(boardgen.Grid(boardgen.Options{Rows: 2, Cols: 3, Border: 30}))
	assert.NoError(t, err)
	assert.Panics(t, func() { boardgen.Grid(boardgen.Options{}) })
}

// Nearly all boards can be built, and every layout is among them.
func TestAnyBoards(t *testing.T) {
	good := 0
	seen := map[string]int{}
	const n = 300
	for seed := uint64(0); seed < n; seed++ {
		src := boardgen.Any(seed)
		require.Equal(t, src, boardgen.Any(seed), "same seed, same bytes")
		if _, err := layout.Read(src); err != nil {
			t.Log(seed, err)
			continue
		}
		good++
		for _, word := range []string{`"block"`, `"columns"`, `"stagger"`, `"trimmed"`, `"rising"`, `"falling"`, `"both"`, `"slices"`, `"none"`, `"end-for-end"`, `"over"`, `"pieces"`, `"mitre"`, `"blocks"`, `"along"`, `"pith"`, `"in"`, `"months"`, `"exposures"`, `"grain": 90`} {
			if bytes.Contains(src, []byte(word)) {
				seen[word]++
			}
		}
	}
	assert.Greater(t, good, n*9/10)
	assert.Len(t, seen, 20)
	t.Log(good, seen)
}
