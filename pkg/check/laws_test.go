package check

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// The unrelaxed figure of a state does not ask which wood stands first, even when
// that one does not change at all.
func TestUnrelaxedFigureDoesNotDependOnTheOrderOfStocks(t *testing.T) {
	at := func(rows string) State {
		return reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"home":"none","glue_up":{"humidity":45,"temperature":20},
			"stock":{"A":{"species":"sugar-maple","ring_angle":0},"B":{"species":"black-walnut","ring_angle":0,"moisture":12}},
			"field":{"grid":{"block":[40,40],"rows":[%s]}}}`, rows), Conditions{NoHistories: true, NoCracks: true, NoChance: true}).States[0]
	}
	ab, ba := at(`"AB","BA"`), at(`"BA","AB"`)
	assert.InEpsilon(t, ab.Utilisation, ba.Utilisation, 1e-9)
	assert.InEpsilon(t, ab.Elastic, ba.Elastic, 1e-9)
	assert.InEpsilon(t, ab.Utilisation/relax.Seasonal(0, relax.Typical), ab.Elastic, 1e-9)
}

// Two exposures of one kind, and two states of one name, are told apart, and each is
// found again by the name it is told under.
func TestNamesAreToldOnce(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"exposures":[{"name":"wash-one-face","minutes":1},{"name":"wash-one-face","minutes":240,"water":5}]}`)
	c := Conditions{NoCracks: true, NoChance: true, Events: b.Exposures, Shifts: []float64{1, 1},
		Air: []moisture.NamedRoom{{Name: "driest-month", Room: moisture.Room{Humidity: 90, Temperature: 20}}, {Name: "a", Room: moisture.Room{Humidity: 45, Temperature: 20}}, {Name: "a", Room: moisture.Room{Humidity: 50, Temperature: 20}}}}
	r := reportOf(t, b, c)
	seen := map[string]bool{}
	for _, s := range r.States {
		assert.False(t, seen[s.Name], s.Name)
		seen[s.Name] = true
	}
	assert.True(t, seen["driest-month-2"] && seen["a-2"] && seen["shift-+1-2"])
	require.Len(t, r.Exposures, 2)
	assert.Equal(t, "wash-one-face", r.Exposures[0].Name)
	assert.Equal(t, "wash-one-face-2", r.Exposures[1].Name)
	p, err := Prepare(t.Context(), b, c)
	require.NoError(t, err)
	at := func(name string) float64 { // % MC of the top face four hours on: dry again after a minute of water, not after four hours of it
		profiles, err := p.Profiles(t.Context(), c, name, []float64{4})
		require.NoError(t, err)
		mc := profiles[0].MC
		return mc[len(mc)-1]
	}
	assert.Less(t, at("wash-one-face"), 12.0)
	assert.Greater(t, at("wash-one-face-2"), 20.0)
}

// Wood inside a piece is judged over time as it is settled: an end-grain disc round its pith,
// with no joint at all, is told as bad by the years that end in a dry home as by that
// home's air.
func TestWoodInsideAPieceIsJudgedOverTime(t *testing.T) {
	r := reportOf(t, boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":10,"stock":{"A":{"species":"white-oak","pith":[0,0],"moisture":12}},"field":{"grid":{"block":[150,150],"rows":["A"]}},
		"home":{"months":[`+strings.TrimSuffix(strings.Repeat(`{"humidity":20,"temperature":20},`, 12), ",")+`]},"exposures":[{"name":"year-at-home","years":10}]}`), Conditions{NoCracks: true, NoChance: true, NoCauses: true, Series: 200, Explain: WhyElastic + "@year-at-home"})
	state, years := r.States[0], r.Exposures[0]
	require.Greater(t, state.Elastic, 0.5)
	assert.GreaterOrEqual(t, years.Utilisation, 0.95*state.Utilisation)
	assert.Greater(t, years.Elastic, years.Utilisation)
	assert.InEpsilon(t, state.Elastic, years.Elastic, 0.2)
	assert.InEpsilon(t, years.Utilisation, slices.Max(years.Series.Utilisation), 1e-6)
	d := r.Derivation
	require.NotNil(t, d)
	assert.InDelta(t, years.Elastic, d.Steps[len(d.Steps)-1].Result.Value, 1e-9)
}

// Relaxation never leaves more than all: in every home, settled in its dry and in its damp
// month, and in one whose year is all alike but for a month that hardly differs.
func TestRelaxationNeverAdds(t *testing.T) {
	homes := []string{`{"months":[` + strings.Repeat(`{"humidity":27,"temperature":21},`, 11) + `{"humidity":29,"temperature":21}]}`}
	for _, c := range moisture.Climates() {
		homes = append(homes, strconv.Quote(c.Key))
	}
	var steady float64
	for i, home := range append([]string{`{"months":[` + strings.TrimSuffix(strings.Repeat(`{"humidity":27,"temperature":21},`, 12), ",") + `]}`}, homes...) {
		r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"home":%s,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"field":{"grid":{"block":[40,40],"rows":["AB"]}}}`, home), Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true, ByStress: true})
		for _, s := range r.States {
			assert.LessOrEqual(t, s.Utilisation, s.Elastic*(1+1e-9), "%s: %s", home, s.Name)
		}
		switch i {
		case 0:
			steady = r.States[0].Utilisation
		case 1:
			assert.InEpsilon(t, steady, r.States[0].Utilisation, 0.1, "a month 2 %% damper is hardly a season")
		}
	}
}
