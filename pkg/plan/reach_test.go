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
		return breakdown(b, told{reach: map[string]float64{"M": reach}}, &ledger{}, 2)
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

// What is left of a panel is its length less its slices and a cut for each, and nothing
// is listed where nothing is left.
func TestOffcutsOfPanelsAddUp(t *testing.T) {
	left := func(f *layout.File, s Shop) map[string]float64 {
		m, p := begun(t, f, s)
		out := map[string]float64{}
		for _, o := range p.CutList.Offcuts {
			if assert.Positive(t, o.Length, o.From); strings.HasPrefix(o.From, "panel") {
				out[o.From] += o.Length * float64(o.Count)
			}
		}
		for _, panel := range m.w.panels {
			used := float64(panel.Slices) * (m.w.slice + m.w.kerf)
			assert.InDelta(t, float64(panel.Made)*panel.Length-used, out["panel "+panel.Name], 1e-9, panel.Name)
		}
		return out
	}
	// panels of 140, 60 and 120 mm; two slices, one and two of 39 mm and 3 mm of kerf
	sails := left(file(t, "ok/build-sails.json"), Shop{})
	assert.InDeltaMapValues(t, map[string]float64{"panel A": 140 - 2*42, "panel B": 60 - 42, "panel E": 120 - 2*42}, sails, 1e-9)
	none, longest := 0.0, 200.0
	assert.Empty(t, left(file(t, "ok/slices-end-for-end.json"), Shop{Trim: &none}))
	divided := left(file(t, "ok/slices-end-for-end.json"), Shop{Longest: &longest}) // three of 159.6 mm: 3, 2 and 2 slices
	assert.InDelta(t, 3*30+2*43.2, divided["panel A"], 1e-9)
}

// A slice is as thick as the file saws it, also where that is the board's own thickness;
// too little for flattening is told, and so is more than the board keeps.
func TestTheFileSaysHowThickSlicesAreSawn(t *testing.T) {
	f := file(t, "ok/build-sails.json") // 36 mm
	slice := func(thickness, sawn layout.Length) (float64, string) {
		f.Thickness, f.Field.Build.Sawn = thickness, sawn
		m, p := begun(t, f, Shop{})
		return p.CutList.Slice, strings.Join(m.w.notes, "\n")
	}
	for _, c := range []struct {
		thickness, sawn layout.Length
		want            float64
		note            string
	}{{36, 0, 38, ""}, {36, 36, 36, "0 mm thicker than the board; the flattening worked out here takes 2 mm"},
		{36, 39, 39, ""}, {1, 39, 39, "more wood is planed off than stays"}} {
		got, notes := slice(c.thickness, c.sawn)
		assert.InDelta(t, c.want, got, 1e-9)
		if c.note == "" {
			assert.NotContains(t, notes, "The file saws")
		} else {
			assert.Contains(t, notes, c.note)
		}
	}
}
