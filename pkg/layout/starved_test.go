package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// A starved stretch is told from either side of its joint, in the file's units, from the
// left or lower end on; what is left out runs to the end. It comes back as it was written.
func TestStarvedStretches(t *testing.T) {
	const src = `{"tanrad":1,"units":"in","thickness":1,"stock":{"M":{"species":"sugar-maple","ring_angle":0}},"field":{"grid":{"block":[2,2],"rows":["MM","MM"]}},
		"starved":[{"joint":"r1c2|r1c1","from":0.5,"length":0.25,"keeps":0.25},{"joint":"r1c1|r2c1","keeps":0.5}]}`
	f, l := layout.Parse([]byte(src))
	require.Empty(t, l)
	again, l := layout.Parse(f.JSON())
	require.Empty(t, l)
	assert.Equal(t, f, again)
	b, l := f.Board()
	require.Empty(t, l)
	require.Len(t, b.Starved, 2)
	upright, level := &b.Starved[0], &b.Starved[1]
	assert.InDeltaSlice(t, []float64{50.8, 63.5}, upright.From[:], 1e-9, "the upper row is the first")
	assert.InDeltaSlice(t, []float64{50.8, 69.85}, upright.To[:], 1e-9)
	assert.Equal(t, 0.25, upright.Keeps)
	assert.InDelta(t, 50.8, level.Length(), 1e-9)
	assert.InDeltaSlice(t, []float64{0, 50.8}, level.From[:], 1e-9)
	at, on := level.Along(layout.XY{12, 50.8})
	assert.InDelta(t, 12, at, 1e-9)
	assert.True(t, on)
	_, on = level.Along(layout.XY{12, 51})
	assert.False(t, on)
}
