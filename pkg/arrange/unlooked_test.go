package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A search takes rings that nobody has looked at as a check does, leaves them as they
// lie and writes them as unknown; both figures are those of a check of the file.
func TestUnknownRingsInASearch(t *testing.T) {
	f := boardtest.Unlooked(t)
	r, err := Improve(t.Context(), f, uniform(), Options{Seed: 1, Rounds: 2})
	require.NoError(t, err)
	require.NotNil(t, r.Before.Rings)
	assert.Equal(t, 2, r.Before.Rings.Pieces)
	b, faults := f.Board()
	require.Empty(t, faults)
	_, told, err := check.File(t.Context(), f, b, uniform(), check.Board)
	require.NoError(t, err)
	assert.Equal(t, told.Index, r.Before.Index)
	assert.Equal(t, told.Rings, r.Before.Rings)
	better, faults := layout.Parse(r.Board)
	require.Empty(t, faults)
	g, _, err := check.FigureOfFile(t.Context(), better, uniform())
	require.NoError(t, err)
	assert.Equal(t, g, r.After)
	for _, turn := range r.Turns {
		assert.Equal(t, "W", turn.Stock, "%s: nobody has looked at its rings", turn.Place)
	}
	assert.True(t, better.Stock["M"].Ring.Unknown)
	assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation)
}

// A board whose cracks were eased and whose word got worse by another way is not told.
func TestASearchDoesNotTradeAWordForCracks(t *testing.T) {
	asIs := check.Figure{Verdict: check.Holds, Utilisation: 0.4}
	h := &search{before: asIs, after: check.Figure{Verdict: check.Fails, Utilisation: 0.1, Mode: check.OutOfFlat}, first: &solved{}, kept: &solved{}}
	h.settle()
	assert.Equal(t, asIs, h.after)
	assert.Same(t, h.first, h.kept)
	h.after = check.Figure{Verdict: check.Holds, Utilisation: 0.1}
	h.settle()
	assert.Equal(t, 0.1, h.after.Utilisation)
}
