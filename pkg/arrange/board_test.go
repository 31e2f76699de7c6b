package arrange

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

func read(t testing.TB, src []byte) *layout.File {
	t.Helper()
	f, faults := layout.Parse(src)
	require.Empty(t, faults)
	return f
}

// board lays a file out.
func board(t testing.TB, f *layout.File) *layout.Board {
	t.Helper()
	b, faults := f.Board()
	require.Empty(t, faults)
	return b
}

func file(t testing.TB, name string) *layout.File {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("../../testdata/boards/ok", name))
	require.NoError(t, err)
	return read(t, src)
}

// grid is a board of blocks, every one with a wood, ring angle and moisture of its own.
func grid(t testing.TB, rows, cols int, seed uint64) *layout.File {
	t.Helper()
	return read(t, boardgen.Grid(boardgen.Options{Rows: rows, Cols: cols, Block: 40, Seed: seed, RandomRings: true}))
}

// uniform are the conditions of the search itself: end states, by stress; with a
// cache.
func uniform() check.Conditions {
	return check.Conditions{NoHistories: true, NoCracks: true, ByStress: true, Cache: check.NewCache(0)}
}

// exactly solves one arrangement.
func exactly(t testing.TB, s *space, a arrangement, c check.Conditions) (*influence.Model, influence.UniformWorst) {
	t.Helper()
	b, err := s.boardOf(a)
	require.NoError(t, err)
	m, err := influence.Prepare(context.Background(), b, c.Solving())
	require.NoError(t, err)
	w, err := m.WorstUniform(context.Background(), c.Demand())
	require.NoError(t, err)
	return m, w
}

func allPlaces(s *space) []int {
	var out []int
	for u := range s.units {
		out = append(out, s.units[u].places...)
	}
	return out
}
