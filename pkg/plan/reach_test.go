package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// No stick is ripped longer than its stock is, and none that has to be is passed over:
// panels are divided, and what is too short for the machines, or too long for the stock,
// is told.
func TestNoStickIsLongerThanItsStock(t *testing.T) {
	apart := func(f *layout.File, reach float64) *work {
		b, faults := f.Board()
		require.Empty(t, faults)
		return breakdown(b, map[string]float64{"M": reach}, &ledger{}, 2)
	}
	within := func(w *work) (longest float64) {
		for _, s := range w.sticks {
			if s.Stock == "M" {
				longest = max(longest, s.RoughLength)
			}
		}
		return longest
	}
	told := func(w *work, text string) bool { return strings.Contains(strings.Join(w.notes, "\n"), text) }

	sails := file(t, "ok/build-sails.json") // a stick of maple 140 mm long, once
	w := apart(sails, 200)
	assert.Equal(t, 200.0, within(w))
	assert.True(t, told(w, "300 mm is the shortest that goes over a jointer"), w.notes)
	w = apart(sails, 100)
	assert.True(t, told(w, "140 mm long, and the longest of stock M is 100 mm"), w.notes)

	rows := file(t, "ok/slices-end-for-end.json") // 7 slices, 332.4 mm in one panel
	w = apart(rows, 200)
	require.Len(t, w.panels, 1)
	assert.Equal(t, 3, w.panels[0].Made, "(200 − 2·15)/(38 + 2 + 3.2) is less than 4")
	assert.InDelta(t, 3*(38+2+3.2)+2*15, w.panels[0].Length, 1e-9)
	assert.True(t, told(w, "make 3, of 3 slices or fewer each"), w.notes)
	w = apart(rows, 900)
	assert.Equal(t, 1, w.panels[0].Made)
	assert.False(t, told(w, "longest of stock"))
}
