package window

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Where nobody has looked at rings the windows are those of the two draws that a check
// judges, as far as both bear them; of the air told for a care card too.
func TestUnknownRingsInWindows(t *testing.T) {
	f := boardtest.Unlooked(t)
	w, err := Of(t.Context(), f, uniform())
	require.NoError(t, err)
	now, d, err := check.FigureOfFile(t.Context(), f, uniform())
	require.NoError(t, err)
	require.NotNil(t, d.Unlucky)
	assert.Equal(t, now, w.Now)
	assert.Contains(t, w.Notes, drawnNote)
	var one, two Windows
	require.NoError(t, one.draw(t.Context(), &d.Typical, uniform()))
	require.NoError(t, two.draw(t.Context(), d.Unlucky, uniform()))
	narrower := 0
	for i, h := range w.Humidity {
		for _, o := range []HumidityWindow{one.Humidity[i], two.Humidity[i]} {
			if !h.None {
				assert.GreaterOrEqual(t, h.Low, o.Low)
				assert.LessOrEqual(t, h.High, o.High)
			}
			if h.High-h.Low < o.High-o.Low {
				narrower++
			}
		}
		assert.Equal(t, one.Humidity[i].None || two.Humidity[i].None, h.None)
		assert.LessOrEqual(t, w.Spread[i].Spread, min(one.Spread[i].Spread, two.Spread[i].Spread))
		assert.LessOrEqual(t, w.Shifts[i].Wetting, min(one.Shifts[i].Wetting, two.Shifts[i].Wetting))
	}
	assert.Positive(t, narrower, "one of the draws bears more")
	air, err := Air(t.Context(), d, uniform())
	require.NoError(t, err)
	assert.Equal(t, w.Humidity[3], air, "over a season, below doubtful")
}

// Of two sizes the smaller largest one is kept, and the least that was found too large.
func TestSizesNarrow(t *testing.T) {
	w := &SizeWindow{Largest: 30, Utilisation: 0.6, Next: 48}
	w.narrow(&SizeWindow{Largest: 20, Utilisation: 0.7, Next: 31})
	assert.Equal(t, SizeWindow{Largest: 20, Utilisation: 0.7, Next: 31}, *w)
	w.narrow(&SizeWindow{Largest: 25})
	assert.Equal(t, SizeWindow{Largest: 20, Utilisation: 0.7, Next: 31}, *w)
	w.narrow(nil)
	w.narrow(&SizeWindow{Next: 5})
	assert.Equal(t, SizeWindow{Next: 5}, *w)
}
