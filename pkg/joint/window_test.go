package joint

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A straight line keeps its mean over every window, however the stations lie.
func TestWindowsAverageAStraightLineExactly(t *testing.T) {
	st := []float64{0, 2.3, 2.3, 7.1, 7.1, 19, 19, 33.7, 33.7, 37.5, 37.5, 40}
	v := make([]float64, len(st))
	for i := range st {
		v[i] = 3 - 0.17*st[i]
	}
	ws := Windows(st, 40, 4.86)
	assert.Equal(t, 0.0, ws[0].From)
	assert.InDelta(t, 40, ws[len(ws)-1].To, 1e-12, "mm, round-off")
	for _, w := range ws {
		sum := 0.0
		for _, c := range w.Weight {
			sum += c
		}
		assert.InDelta(t, 1, sum, 1e-12, "weights are a mean")
		assert.InDelta(t, 3-0.17*(w.From+w.To)/2, w.Mean(v), 1e-12, "MPa, round-off")
		assert.InDelta(t, 4.86, w.To-w.From, 1e-12)
	}
}

// A traction that jumps between element sides is integrated side by side.
func TestWindowKeepsJumps(t *testing.T) {
	w := window([]float64{0, 1, 1, 3}, 0.5, 2)
	assert.InDelta(t, (0.5*10+1*4)/1.5, w.Mean([]float64{10, 10, 4, 4}), 1e-12)
}

func TestAShortJointHasOneWindow(t *testing.T) {
	ws := Windows([]float64{0, 1, 1, 3}, 3, 5)
	assert.Len(t, ws, 1)
	assert.InDelta(t, 3, ws[0].To, 0)
}

// Common practice and the handbook's own figures: flatter is stronger.
func TestScarfEfficiency(t *testing.T) {
	for k, want := range map[float64]float64{12: 0.90, 10: 0.85, 8: 0.80, 5: 0.65, 0: 0.10, 20: 0.90} {
		assert.InDelta(t, want, ScarfEfficiency(k), 1e-12, "slope 1 in %g", k)
	}
	for k := 0.0; k < 14; k += 0.37 {
		assert.GreaterOrEqual(t, ScarfEfficiency(k+0.37), ScarfEfficiency(k))
	}
}
