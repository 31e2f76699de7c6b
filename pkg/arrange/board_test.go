package arrange

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// The test kit by short names.
var (
	read  = boardtest.Parse
	board = boardtest.Lay
	file  = boardtest.File
	grid  = boardtest.Grid
)

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
