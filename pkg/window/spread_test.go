package window

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Counted: boards whose pieces were glued as far apart as the window lets them be, drawn
// anew, each a board file of its own, solved and checked once all have come to one
// moisture. About one in twenty goes past the limit: neither none, as where every piece is
// taken to be off to its worst side at once, nor many.
func TestOneBoardInTwentyGoesPastTheWindow(t *testing.T) {
	f := boardtest.Grid(t, 2, 2, 3)
	f.SetMoisture(8)
	list, err := spreadWindows(t.Context(), boardtest.Lay(t, f), uniform())
	require.NoError(t, err)
	require.Len(t, list, 4)
	w := list[1]
	require.Equal(t, []any{belowDoubtful, false}, []any{w.Below, w.Season})
	rng := rand.New(rand.NewPCG(77, 1))
	draws, past := 30, 0
	if boardtest.Long() {
		draws = 300
	}
	for range draws {
		b := boardtest.Lay(t, f)
		for i := range b.Pieces {
			b.Pieces[i].Moisture += (rng.Float64() - 0.5) * w.Spread
		}
		m, err := influence.Prepare(t.Context(), b, uniform().Solving())
		require.NoError(t, err)
		even, err := m.EvenAt(t.Context(), 8, false)
		require.NoError(t, err)
		worst := 0.0
		for _, j := range even.Joints {
			worst = max(worst, j.U)
		}
		if worst >= w.Below {
			past++
		}
	}
	t.Logf("%d of %d past %.2f within %.2f %% MC", past, draws, w.Below, w.Spread)
	assert.Positive(t, past)
	assert.LessOrEqual(t, past, draws/6, "one in twenty, and what the window's own twenty draws and this count scatter")
}

// What is cut from one stick has one moisture, and a stricter word leaves less room.
func TestSticksHaveOneMoisture(t *testing.T) {
	b := boardtest.Named(t, "build-sails")
	s, err := newSpread(t.Context(), b, uniform())
	require.NoError(t, err)
	of := map[[2]int]int{}
	for k, pieces := range s.units {
		for _, i := range pieces {
			key := [2]int{b.Pieces[i].Stick, b.Pieces[i].StickPart}
			if was, known := of[key]; known {
				assert.Equal(t, was, k, b.Pieces[i].ID)
			}
			of[key] = k
			assert.Equal(t, s.m.KindOf[pieces[0]], s.m.KindOf[i], "one kind, so that it moves as one")
		}
	}
	assert.Len(t, s.m.Kinds, len(s.units))
	list, err := spreadWindows(t.Context(), b, uniform())
	require.NoError(t, err)
	require.Len(t, list, 4)
	for _, w := range list {
		assert.NotEmpty(t, w.Worst)
		assert.Positive(t, w.Alternating)
	}
	assert.Less(t, list[0].Spread, list[1].Spread)
	framed, err := spreadWindows(t.Context(), boardtest.Named(t, "checker-long-border"), uniform())
	require.NoError(t, err)
	assert.Zero(t, framed[3].Spread, "it fails in its home with all alike")
	assert.Positive(t, framed[1].Spread)
}

// Where the moisture at gluing is not known a word begins at a smaller figure, and so does
// the limit that a home leaves to sticks of unlike moisture.
func TestUnknownMoistureLeavesLessForUnlikeSticks(t *testing.T) {
	of := func(moisture string) float64 {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0%s}},"field":{"grid":{"block":[40,40],"rows":["MM"]}}}`, moisture)
		at := check.ScaleOf(b).At(belowDoubtful)
		assert.InDelta(t, belowDoubtful, check.ScaleOf(b).AsCrack(at), 1e-9)
		return at
	}
	assert.InDelta(t, belowDoubtful, of(`,"moisture":8`), 1e-9)
	assert.Less(t, of(""), belowDoubtful)
}
