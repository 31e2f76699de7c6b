package plan

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// begun is a plan as far as its glue-ups, of a board whose flattening takes 2 mm. The
// board is not checked.
func begun(t testing.TB, f *layout.File, s Shop) (*maker, *Plan) {
	t.Helper()
	b, faults := f.Board()
	require.Empty(t, faults)
	home := moisture.Climates()[0]
	room, err := s.air(b, home)
	require.NoError(t, err)
	m, p := &maker{ctx: context.Background(), b: b, f: f, shop: room, home: home, s: &s, session: check.NewSession(mostHeld)}, &Plan{Units: s.units(b), Width: b.Width, Height: b.Height, Thickness: b.Thickness}
	p.Flattening.Leave = 2
	for _, step := range []func(*Plan) error{m.cutList, m.stock, m.glueUps} {
		require.NoError(t, step(p))
	}
	return m, p
}

// glueUp is the one of a name.
func (g *GlueUps) named(t testing.TB, name string) *GlueUp {
	for i := range g.GlueUps {
		if g.GlueUps[i].Name == name {
			return &g.GlueUps[i]
		}
	}
	require.Fail(t, "no glue-up "+name)
	return nil
}

// In a damp shop the work is kept in drier air, and "the days below are for that air":
// the water of the glue leaves the lines of a panel in it, by the line's own law.
func TestLinesSettleInTheAirTheWorkIsKeptIn(t *testing.T) {
	m, p := begun(t, small(), Shop{Air: &moisture.Room{Humidity: 80, Temperature: 12}})
	require.False(t, p.Stock.InReach)
	require.Contains(t, p.Stock.Advice, "The days below are for that air")
	air := moisture.Room{Humidity: p.Stock.Air, Temperature: 12}
	balance, err := air.EMC()
	require.NoError(t, err)
	assert.InDelta(t, p.Stock.Target, balance, 1e-6)
	want := 0.0
	for _, key := range []string{"M", "W"} {
		h, err := moisture.Line{Species: m.w.species(key), Thickness: 35 + 2*1, Spacing: 70.0 / 2, Water: 0.180 * 0.5, Air: air}.Wait(t.Context(), 0.1)
		require.NoError(t, err)
		want = max(want, h)
	}
	require.Positive(t, want)
	assert.InEpsilon(t, want, p.GlueUps.named(t, "panel A").Wait, 1e-9)
}

// A rest of the file that names its air is waited out in that air.
func TestLinesSettleInTheAirTheFileNames(t *testing.T) {
	f := file(t, "ok/build-sails.json")
	f.GlueUp = &moisture.Room{Humidity: 80, Temperature: 12}
	waits := func(r *layout.Rest) (stick, panel float64) {
		f.Field.Build.StickRest, f.Field.Build.Rest = nil, r
		_, p := begun(t, f, Shop{})
		return p.GlueUps.named(t, "stick sail").Wait, p.GlueUps.named(t, "panel A").Wait
	}
	stick, panel := waits(&layout.Rest{Days: 9})
	warmStick, warmPanel := waits(&layout.Rest{Days: 9, Air: &moisture.Room{Humidity: 40, Temperature: 30}})
	assert.Equal(t, stick, warmStick, "sticks rest where they did")
	assert.Less(t, warmPanel, panel/2, "warm wood passes water on faster")
}

// Wood that arrives damper than the glue takes is dried first; the plan does not tell to
// send back what it counts as kept.
func TestDampStockIsDriedAndNotRefused(t *testing.T) {
	_, p := begun(t, small(), Shop{Arrival: map[string]float64{"M": 14, "W": 9}})
	assert.NotContains(t, p.Stock.Refuse, "any above")
	assert.Contains(t, p.Stock.Refuse, "Glue nothing above 12 %")
	assert.Contains(t, p.Stock.Refuse, "(M at 14 %) is counted here as kept")
	require.NotNil(t, p.Stock.Woods[0].Ripped)
	assert.Greater(t, *p.Stock.Woods[0].Ripped, *p.Stock.Woods[1].Ripped)
	_, p = begun(t, small(), Shop{})
	assert.NotContains(t, p.Stock.Refuse, "counted here")
}
