package layout_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A path cuts the pieces it passes in two and nothing else: areas, woods and rings
// stay, and the path is one straight line from rim to rim.
func TestCleaveCutsWhatItPasses(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 30], "rows": ["MWMW", "WMWM", "MWMW"]}}`))
	for _, deg := range []float64{0, 25, 61, 90, 118, 170} {
		s, c := math.Sincos(deg * math.Pi / 180)
		cut, ok := b.Cleave([2]float64{57, 41}, [2]float64{c, s}, func(int) bool { return true })
		require.True(t, ok, "%g°", deg)
		area := make([]float64, len(b.Pieces))
		for i, of := range cut.Of {
			area[of] += cut.Pieces[i].Area
			assert.Equal(t, b.Pieces[of].Species, cut.Pieces[i].Species)
			assert.Equal(t, b.Pieces[of].RingAngle, cut.Pieces[i].RingAngle)
		}
		for i := range b.Pieces {
			assert.InDelta(t, b.Pieces[i].Area, area[i], 1e-6)
		}
		l := cut.Line
		for k, p := range [2][2]float64{l.From, l.To} {
			rim := min(p[0], p[1], b.Width-p[0], b.Height-p[1])
			assert.InDelta(t, 0, rim, 0.06, "%g°, end %d", deg, k)
		}
		assert.InDelta(t, 0, math.Abs(((l.To[0]-l.From[0])*s-(l.To[1]-l.From[1])*c)/l.Length), 1e-3, "along the direction asked for")
		assert.Len(t, b.Pieces, 12, "the board itself is not touched")
	}
}

// A path ends at the flank of a piece that it must not enter.
func TestCleaveEndsWhereItMustNotRun(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 40], "rows": ["MWM", "WMW", "MWM"]}}`))
	cut, ok := b.Cleave([2]float64{60, 60}, [2]float64{1, 0.1}, func(i int) bool { return i == 4 || b.Pieces[i].Centre[0] < 40 })
	require.True(t, ok)
	assert.InDelta(t, 80, cut.Line.To[0], 1e-6)
	assert.InDelta(t, 0, cut.Line.From[0], 1e-6)
	assert.Len(t, cut.Pieces, 11)
}

// A path that would meet a corner is laid beside it.
func TestCleaveKeepsClearOfCorners(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 40], "rows": ["MWM", "WMW", "MWM"]}}`))
	cut, ok := b.Cleave([2]float64{60, 60}, [2]float64{1, 1}, func(int) bool { return true })
	require.True(t, ok)
	for _, v := range b.Partition.Vertices {
		d := math.Abs((v[0]-cut.Line.From[0])-(v[1]-cut.Line.From[1])) / math.Sqrt2
		assert.Greater(t, d, 1.0, "%v", v)
	}
	_, ok = b.Cleave([2]float64{-5, 60}, [2]float64{1, 0}, func(int) bool { return true })
	assert.False(t, ok, "off the board")
}
