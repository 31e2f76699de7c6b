package check_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Rings nobody has looked at are not taken as alike: with the rings level the board of
// this test moves as one, drawn at random it does not, and what is told is the check of
// the very boards that were drawn.
func TestUnknownRingsAreARange(t *testing.T) {
	f := boardtest.File(t, "rings-unknown")
	for key, m := range f.Stock {
		m.Ring = layout.RingUnknown()
		f.Stock[key] = m
	}
	f.Pieces, f.Field.Grid.Rings = nil, nil
	b := boardtest.Lay(t, f)
	quick := check.Conditions{NoHistories: true, NoCracks: true, NoChance: true}
	level, err := check.Board(t.Context(), b, quick)
	require.NoError(t, err)
	drawn, r, err := check.File(t.Context(), f, b, quick, check.Board)
	require.NoError(t, err)
	require.NotNil(t, r.Rings)
	assert.Equal(t, 12, r.Rings.Pieces)
	assert.Equal(t, r.Index, r.Rings.Typical)
	assert.GreaterOrEqual(t, r.Rings.Unlucky, r.Rings.Typical)
	assert.Greater(t, r.Rings.Typical, 1.5*level.Index, "rings alike are luck")
	again, faults := f.Draw(uint64(r.Rings.Seed)).Board()
	require.Empty(t, faults)
	for i := range again.Pieces {
		assert.Equal(t, again.Pieces[i].RingAngle, drawn.Pieces[i].RingAngle)
		assert.True(t, drawn.Pieces[i].RingUnknown, "it is still for the maker to look")
	}
	g, _, err := check.FigureOfFile(t.Context(), f, quick)
	require.NoError(t, err)
	assert.Equal(t, r.Rings, g.Rings)
	assert.Equal(t, r.Index, g.Index)
	said, err := check.Board(t.Context(), again, quick)
	require.NoError(t, err)
	assert.Equal(t, said.Index, r.Rings.Typical)
	twice, other, err := check.File(t.Context(), f, b, quick, check.Board)
	require.NoError(t, err)
	assert.Equal(t, r.Rings, other.Rings)
	assert.Equal(t, drawn.Pieces, twice.Pieces)

	// A board whose rings are known is judged as it is, and once.
	known, faults := f.Draw(3).Board()
	require.Empty(t, faults)
	calls := 0
	_, r, err = check.File(t.Context(), f.Draw(3), known, quick, func(ctx context.Context, b *layout.Board, c check.Conditions) (*check.Report, error) {
		calls++
		assert.Same(t, known, b)
		return check.Board(ctx, b, c)
	})
	require.NoError(t, err)
	assert.Nil(t, r.Rings)
	assert.Equal(t, 1, calls)
}
