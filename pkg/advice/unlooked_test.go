package advice

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Rings that nobody has looked at are taken as a check takes them: of the board as it
// stands and of every change that is told.
func TestUnknownRingsInAdvice(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	a, err := Moves(t.Context(), boardtest.Unlooked(t), uniform(), Options{Seed: 1, Have: []string{"black-cherry"}})
	require.NoError(t, err)
	now, _, err := check.FigureOfFile(t.Context(), boardtest.Unlooked(t), uniform())
	require.NoError(t, err)
	require.NotNil(t, now.Rings)
	assert.Equal(t, now, a.Now)
	require.NotEmpty(t, a.Moves)
	m := &a.Moves[0]
	f, faults := layout.Parse(m.Board)
	require.Empty(t, faults)
	fresh, _, err := check.FigureOfFile(t.Context(), f, m.cond)
	require.NoError(t, err)
	assert.Equal(t, fresh, m.Figure, m.Text)
}
