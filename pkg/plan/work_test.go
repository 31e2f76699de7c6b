package plan

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

func file(t testing.TB, name string) *layout.File {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("../../testdata/boards", name))
	require.NoError(t, err)
	return boardtest.Parse(t, src)
}

// taken apart with 2 mm left for flattening.
func takenApart(t testing.TB, name string) *work {
	t.Helper()
	f := file(t, name)
	return breakdown(boardtest.Lay(t, f), toldBy(f, f.Units), &ledger{}, 2)
}

// The panel of slices-end-for-end by hand: 7 slices of 38 + 2 mm and a kerf of 3.2 mm,
// and 15 mm off each end; the stick of maple 42 × 38 mm with 1.5 mm on each edge, and
// 1.5 mm and the panel's 1 mm on each face.
func TestCutListByHand(t *testing.T) {
	w := takenApart(t, "ok/slices-end-for-end.json")
	require.Len(t, w.panels, 1)
	p := w.panels[0]
	assert.Equal(t, []any{5, 7, 3}, []any{p.Sticks, p.Slices, p.Turned})
	assert.InDelta(t, 7*(38+2+3.2)+2*15, p.Length, 1e-9)
	require.Len(t, w.sticks, 5)
	s := w.sticks[0]
	assert.Equal(t, "M", s.Stock)
	assert.InDeltaSlice(t, []float64{45, 43, p.Length}, []float64{s.RoughWidth, s.RoughThickness, s.RoughLength}, 1e-9)
	assert.InDelta(t, 45*43*p.Length, s.rough(), 1e-6)
	assert.Equal(t, "35°: between, rift-sawn", s.Rings)
	require.Len(t, w.gluings, 2)
	assert.InDelta(t, p.Length*40, w.gluings[0].joints[0].area, 1e-9) // the panel is 38 + 2 × 1 mm thick when it is glued
	assert.InDelta(t, 130*40, w.gluings[1].joints[0].area, 1e-9)      // a slice is 38 + 2 mm thick
}

// Wood is neither lost nor made: what the sticks give to the board is its volume. And
// between rows and round borders there is as much joint as the board has.
func TestNothingIsLost(t *testing.T) {
	names, err := filepath.Glob("../../testdata/boards/[os][kh]*/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, path := range names {
		name, err := filepath.Rel("../../testdata/boards", path)
		require.NoError(t, err)
		w := takenApart(t, name)
		net, want := 0.0, 0.0
		for i := range w.sticks {
			s := &w.sticks[i]
			net += s.net
			assert.Greater(t, s.rough(), s.net, "%s %s", name, s.ID)
			assert.GreaterOrEqual(t, s.RoughLength, s.Length, name)
			assert.NotEmpty(t, s.Rings)
		}
		glued, joints := 0.0, 0.0
		for i := range w.b.Pieces {
			want += w.b.Pieces[i].Area * w.b.Thickness
		}
		assert.InEpsilon(t, want, net, 1e-9, name)
		for i := range w.b.Joints {
			j := &w.b.Joints[i]
			a, b := &w.b.Pieces[j.A], &w.b.Pieces[j.B]
			between := a.Border >= 0 || b.Border >= 0 || a.Row < 0 || a.Row != b.Row
			if w.b.Build != nil {
				kind := w.b.GlueUps[j.GlueUp].Kind
				between = kind == layout.StageField || kind == layout.StageBorder
			}
			if between {
				joints += j.Length
			}
		}
		for _, g := range w.gluings {
			for _, s := range g.joints {
				assert.Contains(t, w.b.Stock, s.stocks[0], "%s %s", name, g.name)
				assert.Contains(t, w.b.Stock, s.stocks[1], "%s %s", name, g.name)
				assert.Positive(t, s.area, "%s %s", name, g.name)
			}
			if g.kind == "field" || g.border >= 0 {
				for _, s := range g.joints {
					glued += s.area / w.slice
				}
			}
		}
		if w.panels == nil && len(w.b.Borders) == 0 || name == "ok/brick-stagger.json" {
			continue // loose pieces count their joints below; rows that stick out share less than their width
		}
		assert.InEpsilon(t, joints+1, glued+1, 1e-6, name)
	}
}

// A checker of an even number of columns is one panel whose every second slice is
// turned end for end; of an odd number it is two. Rows that hardly repeat are no
// slices at all.
func TestRowsThatTurnIntoEachOtherShareAPanel(t *testing.T) {
	board := func(rows ...string) *work {
		f := &layout.File{Units: "mm", Thickness: 38, Stock: map[string]layout.Material{
			"M": {Species: "sugar-maple", Ring: layout.RingAt(90)}, "W": {Species: "black-walnut", Ring: layout.RingAt(0)}},
			Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{40, 40}, Rows: layout.Rows(rows...)}}}
		b, faults := f.Board()
		require.Empty(t, faults)
		return breakdown(b, told{}, &ledger{}, 2)
	}
	even := board("MWMW", "WMWM", "MWMW", "WMWM")
	require.Len(t, even.panels, 1)
	assert.Equal(t, 2, even.panels[0].Turned)
	assert.Len(t, board("MWM", "WMW", "MWM", "WMW").panels, 2)
	loose := board("MMW", "MWW", "WMM", "WWW")
	assert.Empty(t, loose.panels)
	require.Len(t, loose.sticks, 2, "one lot a wood")
	assert.NotEmpty(t, loose.notes)
	assert.Equal(t, "90°: level, flat-sawn on the wide face", even.sticks[0].Rings)
	assert.Equal(t, "0°: upright, quarter-sawn on the wide face", even.sticks[1].Rings)
}

// Tiles are sticks sawn along diagonals: the blank is wider by what the saw takes, and
// one joint as long as the diagonal puts a stick of two woods together again.
func TestCutSticksOfTiles(t *testing.T) {
	w := takenApart(t, "ok/tiles.json")
	var cut []joinery
	for _, g := range w.gluings {
		if g.kind == "stick" {
			cut = append(cut, g)
		}
	}
	require.NotEmpty(t, cut)
	var triangle *Stick
	for i := range w.sticks {
		if w.sticks[i].Shape == "triangle" && triangle == nil {
			triangle = &w.sticks[i]
		}
	}
	require.NotNil(t, triangle)
	const root2 = 1.4142135623730951
	assert.InDelta(t, 45+w.kerf*root2+2*1.5, triangle.RoughWidth, 1e-9)
	assert.InDelta(t, 45*root2*triangle.Length, cut[0].joints[0].area, 1e-6)
}

// Borders come in the order of the file, sides that face each other together.
func TestBordersInStages(t *testing.T) {
	var names []string
	w := takenApart(t, "ok/border-two-stage.json")
	for _, g := range w.gluings {
		if g.kind == "border" {
			names = append(names, g.name)
		}
	}
	assert.Equal(t, []string{"border 1, left and right", "border 2, top and bottom", "border 3, left and right"}, names)
	last := w.gluings[len(w.gluings)-1]
	assert.InDelta(t, 144, last.run, 1e-6) // the field's 120 mm and twice the 12 mm of border 2
	assert.InDelta(t, 160+2*12+2*25, last.stack, 1e-6)
	require.Len(t, last.joints, 2)
	assert.InDelta(t, 144*42, last.joints[0].area, 1e-6)
	mitre := takenApart(t, "ok/border-mitre.json")
	ring := mitre.gluings[len(mitre.gluings)-1]
	assert.Len(t, ring.joints, 8, "four sides and four mitres at once")
}
