package plan

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A plank without a joint is not glued, nothing of it stands past anything, and no end
// grain is warned of; as thick as a board may be thin.
func TestAPlankIsNotGlued(t *testing.T) {
	along, thickness := 0.0, layout.Length(1)
	f := &layout.File{Units: "mm", Thickness: thickness, Stock: map[string]layout.Material{"M": {Species: "sugar-maple", Ring: layout.RingAt(90), Grain: layout.Fibres{Angle: &along}, Length: 210}},
		Field: layout.Field{Pieces: []layout.FreePiece{{Stock: "M", Outline: [][2]layout.Length{{0, 0}, {200, 0}, {200, 90}, {0, 90}}}}}}
	p, err := Make(context.Background(), f, Shop{}, check.Conditions{NoHistories: true})
	require.NoError(t, err)
	assert.Empty(t, p.GlueUps.GlueUps)
	assert.Empty(t, p.Card.Glue)
	assert.Contains(t, p.Stock.AtGluing, "Nothing is glued")
	assert.Zero(t, p.Flattening.Saw+p.Flattening.Slip)
	assert.NotContains(t, p.Flattening.Safety, "End grain")
	assert.Zero(t, p.Surface.WaterRise)
	for _, task := range p.Calendar.Tasks {
		assert.NotContains(t, task.What, "Glue")
	}
	require.Len(t, p.CutList.Sticks, 1)
	s := p.CutList.Sticks[0]
	assert.Equal(t, []float64{210, 210}, []float64{s.Length, s.RoughLength}, "no longer than the stock, with less to trim")
	assert.Contains(t, strings.Join(p.Notes, "\n"), "10 mm are left to trim off it, 5 mm of them from each end")
}

// No rough length is longer than the stock it is cut from, wherever trim and overhang
// come from.
func TestRoughLengthsKeepToTheStock(t *testing.T) {
	for name, length := range map[string]layout.Length{"build-sails": 140, "border-mitre": 0, "border-two-stage": 0, "slices-over": 0, "brick-stagger": 0} {
		f := file(t, "ok/"+name+".json")
		b, faults := f.Board()
		require.Empty(t, faults)
		for key, m := range f.Stock {
			if m.Length = length; length == 0 { // just as long as it must be
				m.Length = f.MM(max(b.Thickness, b.Width, b.Height))
			}
			f.Stock[key] = m
		}
		m, _ := begun(t, f, Shop{})
		for _, s := range m.w.sticks {
			assert.LessOrEqual(t, s.RoughLength, m.w.reach[s.Stock]+snap, "%s: %s", name, s.ID)
			assert.GreaterOrEqual(t, s.RoughLength, s.Length-snap)
		}
	}
}

// What hangs over the ends of a border's strip is sawn off and told.
func TestOverhangIsLeftOver(t *testing.T) {
	f := file(t, "shop/harbour-lanterns.json")
	m, p := begun(t, f, Shop{})
	assert.Contains(t, strings.Join(m.w.notes, "\n"), "panel A, B, C. Plane them by hand", "200 mm long")
	rests := map[string]float64{}
	for _, o := range p.CutList.Offcuts {
		if strings.HasPrefix(o.From, "border") {
			rests[o.From] = o.Length
			assert.Equal(t, 2, o.Count)
		}
	}
	// Field 324 × 216; border 1 of slices 360 long and 14 wide, border 2 of 396 and 22: sides
	// in the order left, right, top, bottom; the last two of border 2 come out even.
	assert.InDeltaMapValues(t, map[string]float64{
		"border 1, left": (360 - 216.) / 2, "border 1, right": (360 - 216.) / 2, "border 1, top": (360 - 352.) / 2, "border 1, bottom": (360 - 352.) / 2,
		"border 2, left": (396 - 244.) / 2, "border 2, right": (396 - 244.) / 2}, rests, 1e-9)
	assert.Equal(t, 244.0+2*22, m.b.Height)

	// Sticks of the borders are thinner than those of the field and settle sooner.
	for _, a := range p.Stock.Woods {
		thick := map[string]float64{"B": 19, "C": 36 + 3.2*math.Sqrt2 + 3, "M": 19, "P": 7, "W": 27}[a.Stock]
		got, _ := m.thickest(a.Stock, func(s *Stick) bool { return s.edge || a.Stock == "C" || a.Stock == "P" })
		assert.InDelta(t, thick, got, 1e-9, a.Stock)
		if a.Stock == "M" {
			assert.Less(t, *a.edge, *a.Ripped/2)
		}
	}
}
