package influence

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// A curved seam bears the same however many chords it is drawn with: a finer drawing is
// no stronger board. Judged chord by chord the figure fell by a third.
func TestACurvedSeamDoesNotKnowItsChords(t *testing.T) {
	last := 0.0
	for _, n := range []int{8, 24} {
		// An arc of 100 mm radius over 120 mm.
		low, high := [][2]float64{{120, 0}, {0, 0}}, [][2]float64{{0, 90}, {120, 90}}
		for i := range n + 1 {
			sin, cos := math.Sincos(math.Asin(0.6) * (2*float64(i)/float64(n) - 1))
			low = append(low, [2]float64{60 + 100*sin, 40 + 100*(cos-0.8)})
		}
		for i := range low[2:] {
			high = append(high, low[len(low)-1-i])
		}
		src, err := json.Marshal(map[string]any{"tanrad": 1, "units": "mm", "thickness": 40,
			"stock": map[string]any{"A": map[string]any{"species": "sugar-maple", "ring_angle": 0, "moisture": 8}, "B": map[string]any{"species": "black-walnut", "ring_angle": 90, "moisture": 8}},
			"field": map[string]any{"pieces": []any{map[string]any{"stock": "A", "outline": low}, map[string]any{"stock": "B", "outline": high}}}})
		require.NoError(t, err)
		m, err := Prepare(t.Context(), boardtest.Text(t, string(src)), Options{})
		require.NoError(t, err)
		require.Len(t, m.Lines, 1)
		sweep := m.newLineSweep()
		_, l := m.LoadOf(&EndState{Moisture: m.same(11), left: 1})
		w, err := sweep.over(t.Context(), []*Load{l}, "swollen", []float64{0}, true)
		require.NoError(t, err)
		t.Logf("%d chords: %.4f over %.0f mm", n, w.Result.V, w.Result.To-w.Result.From)
		if last > 0 {
			assert.InEpsilon(t, last, w.Result.V, 0.01)
		}
		last = w.Result.V
	}
}
