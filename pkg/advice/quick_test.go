package advice

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// crossed is a small board that fails, by its rings alone.
const crossed = `{"tanrad":1,"units":"mm","thickness":38,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}}}`

// Two changes at most, each with the figure of a fresh check of its board, the best
// word first; what is told helps.
func TestQuickFiguresAreFreshChecks(t *testing.T) {
	f := boardtest.Parse(t, []byte(crossed))
	c := uniform()
	c.Shifts = []float64{12}
	now, err := check.FigureOf(context.Background(), boardtest.Lay(t, f), c)
	require.NoError(t, err)
	require.Equal(t, check.Fails, now.Verdict)
	a, err := Quick(context.Background(), f, boardtest.Lay(t, f), c, now)
	require.NoError(t, err)
	require.NotEmpty(t, a.Moves)
	require.LessOrEqual(t, len(a.Moves), quickTold)
	assert.Contains(t, a.Moves[0].Name, "turn-many", "a board of one wood with rings alike bears anything")
	for _, m := range a.Moves {
		made, err := check.FigureOf(context.Background(), boardtest.Lay(t, boardtest.Parse(t, m.Board)), c)
		require.NoError(t, err)
		assert.InDelta(t, made.Utilisation, m.Utilisation, 1e-9, m.Text)
		assert.LessOrEqual(t, m.Utilisation, (1-leastGain)*now.Utilisation, m.Text)
	}
}

// A board that holds needs no advice, and a large one is not kept waiting for.
func TestQuickLeavesSomeBoardsAlone(t *testing.T) {
	f := boardtest.Parse(t, []byte(crossed))
	a, err := Quick(context.Background(), f, boardtest.Lay(t, f), uniform(), check.Figure{Verdict: check.Holds})
	require.NoError(t, err)
	assert.Empty(t, a.Moves)
	assert.Empty(t, a.Skipped)
	b := *boardtest.Lay(t, f)
	b.Pieces = make([]layout.Piece, QuickPieces+1)
	a, err = Quick(context.Background(), f, &b, uniform(), check.Figure{Verdict: check.Fails})
	require.NoError(t, err)
	assert.Empty(t, a.Moves)
	assert.NotEmpty(t, a.Skipped)
}

// Of a board that lies out of flat no change is told that eases its cracks alone: what is
// told betters the word or what gives it. By its rings this one has cracks to ease.
func TestChangesHelpAgainstWhatGivesTheWord(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	f := boardtest.Parse(t, []byte(strings.Replace(crossed, `"field"`, `"glue":"pva-crosslinking","exposures":[{"name":"flat-on-wet-counter"}],"field"`, 1)))
	var c check.Conditions
	now, err := check.FigureOf(context.Background(), boardtest.Lay(t, f), c)
	require.NoError(t, err)
	require.Equal(t, check.OutOfFlat, now.Mode)
	require.Greater(t, now.Utilisation, 0.05)
	quick, err := Quick(context.Background(), f, boardtest.Lay(t, f), c, now)
	require.NoError(t, err)
	all, err := Moves(context.Background(), f, c, Options{Seed: 1})
	require.NoError(t, err)
	require.NotEmpty(t, all.Moves, "sealing the faces")
	for _, m := range slices.Concat(quick.Moves, all.Moves) {
		assert.True(t, m.Verdict.Severity() < now.Verdict.Severity() || m.Verdict == now.Verdict && m.Of(m.Mode) <= (1-leastGain)*now.Of(now.Mode), m.Text)
	}
}
