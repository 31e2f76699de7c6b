package window

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/edit"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// At the ends of a window the check itself must say so: below the limit inside,
// at or above it a step further out.
func TestHumidityWindowEndsAtTheLimit(t *testing.T) {
	b := file(t, "checker-random.json")
	w, err := Of(context.Background(), b, check.Conditions{})
	require.NoError(t, err)
	require.Len(t, w.Humidity, 4)
	at := func(rh float64) float64 {
		c := uniform()
		c.Air = []check.NamedRoom{{Name: "card", Room: moisture.Room{Humidity: rh, Temperature: 20}}}
		r, err := check.Board(context.Background(), b, c)
		require.NoError(t, err)
		for _, s := range r.States {
			if s.Name == "card" {
				return s.Utilisation
			}
		}
		t.Fatal("no such state")
		return 0
	}
	for _, h := range w.Humidity {
		require.False(t, h.None)
		require.Less(t, h.Low, h.High)
		if !h.Season {
			continue // in the check, air comes with the season
		}
		assert.Less(t, at(h.Low), h.Below)
		assert.Less(t, at(h.High), h.Below)
		assert.GreaterOrEqual(t, at(h.Low-0.3), h.Below)
		assert.GreaterOrEqual(t, at(h.High+0.3), h.Below)
	}
	assert.Less(t, w.Humidity[1].Low, w.Humidity[0].Low, "a wider window for the higher limit")
	assert.Less(t, w.Humidity[2].Low, w.Humidity[0].Low, "and for a slow change")
}

func TestShiftWindowEndsAtTheLimit(t *testing.T) {
	b := file(t, "border-mitre.json")
	m, err := influence.Prepare(context.Background(), b, uniform())
	require.NoError(t, err)
	for _, season := range []bool{false, true} {
		w := shiftWindow(m, b, belowDoubtful, season)
		assert.Less(t, w.Drying, 0.0)
		assert.Greater(t, w.Wetting, 0.0)
		assert.Less(t, m.WorstShift(w.Drying, season), belowDoubtful)
		assert.Less(t, m.WorstShift(w.Wetting, season), belowDoubtful)
		assert.GreaterOrEqual(t, m.WorstShift(w.Drying-0.03, season), belowDoubtful)
		assert.GreaterOrEqual(t, m.WorstShift(w.Wetting+0.03, season), belowDoubtful)
	}
}

// A board of one wood and one ring direction moves freely: nothing limits it.
func TestFreeBoardHasNoLimits(t *testing.T) {
	b := read(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"white-oak","ring_angle":30,"moisture":8}},
		"field":{"grid":{"block":[50,40],"rows":["AAA","AAA"]}}}`))
	w, err := Of(context.Background(), b, check.Conditions{})
	require.NoError(t, err)
	for _, h := range w.Humidity {
		assert.True(t, h.OpenLow && h.OpenHigh)
	}
	for _, s := range w.Shifts {
		assert.True(t, s.DryBounded && s.WetBounded)
	}
	require.NotNil(t, w.Field)
	assert.Zero(t, w.Field.Next)
	assert.Greater(t, w.Field.Columns*w.Field.Rows, 200)
	assert.NotEmpty(t, w.Spread, "unlike moisture at gluing still pulls")
}

// Windows of size against boards built by hand.
func TestBorderWindowIsRecomputed(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	// A home that hardly changes: a frame of long grain lives there if it is narrow.
	b, _, err := edit.Board(file(t, "checker-long-border.json"), func(f edit.Tree) {
		months := make([]tree, 12)
		for i := range months {
			months[i] = tree{"humidity": 34.5 + 8*float64(i%2), "temperature": 20}
		}
		f["home"] = tree{"months": months}
	})
	require.NoError(t, err)
	w, err := Of(context.Background(), b, check.Conditions{})
	require.NoError(t, err)
	require.NotNil(t, w.Border)
	require.Positive(t, w.Border.Largest)
	require.Positive(t, w.Border.Next)
	require.LessOrEqual(t, w.Border.Next-w.Border.Largest, borderStep)
	v, _, err := edit.Board(b, func(f edit.Tree) {
		for _, br := range edit.List(f, "borders") {
			br["width"] = w.Border.Largest
		}
	})
	require.NoError(t, err)
	u, err := worstOf(context.Background(), v, uniform())
	require.NoError(t, err)
	assert.InDelta(t, w.Border.Utilisation, u, 0.01, "dimensionless; the width is told to a tenth of a millimetre")
	assert.Less(t, u, belowDoubtful+0.01)
}

func TestLongGrainFrameIsTooWideWhateverItsWidth(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := file(t, "border-mitre.json")
	w, err := borderWindow(context.Background(), b, uniform())
	require.NoError(t, err)
	assert.Zero(t, w.Largest)
	assert.Equal(t, leastBorder, w.Next)
}

func TestRepeatedFieldKeepsItsPattern(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := read(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","ring_angle":0,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}`))
	v, _, err := edit.Board(b, func(f edit.Tree) { repeat(f, 3, 5) })
	require.NoError(t, err)
	require.Equal(t, 3, v.Rows)
	require.Equal(t, 5, v.Cols)
	for i := range v.Pieces {
		want := "M"
		if (v.Pieces[i].Row+v.Pieces[i].Col)%2 == 1 {
			want = "W"
		}
		assert.Equal(t, want, v.Pieces[i].Stock)
	}
}

// The least there is must pass through everything.
func TestOneBlock(t *testing.T) {
	w, err := Of(context.Background(), grid(t, 1, 1, 1), check.Conditions{})
	require.NoError(t, err)
	assert.Empty(t, w.Spread)
}
