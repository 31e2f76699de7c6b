package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// The quick answer and the long one are one law: what stress remembers of the driest and
// of the dampest month, told as settled states, is the least and the most that it remembers
// in a steady year followed through, on a board that follows the air at once and was glued
// at the mean of its home's year.
func TestEndStatesAreTheSteadyYear(t *testing.T) {
	for _, climate := range []string{"continental-heated", "central-europe-heated", "maritime-temperate", "tropical-open", "continental-humidified"} {
		home, err := moisture.FindClimate(climate)
		require.NoError(t, err)
		mean := 0.0
		for _, r := range home.Months {
			mc, err := r.EMC()
			require.NoError(t, err)
			mean += mc / 12
		}
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":2,"home":%q,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":%.10f},
			"B":{"species":"black-walnut","ring_angle":90,"moisture":%.10f}},"field":{"grid":{"block":[40,40],"rows":["ABA","BAB"]}},"exposures":[{"name":"year-at-home","years":6}]}`, climate, mean, mean)
		m, err := Prepare(t.Context(), b, Options{Bending: true})
		require.NoError(t, err)
		d := &Demand{}
		ends, err := m.EndStates(d)
		require.NoError(t, err)
		in, err := d.Setting(b)
		require.NoError(t, err)
		c, err := m.Follow(t.Context(), b.Exposures[0], in)
		require.NoError(t, err)
		for k := range m.Kinds {
			dry, damp := 0.0, 0.0
			for i, h := range c.Times {
				if h > 5*moisture.HoursPerYear {
					dry, damp = min(dry, c.Stress[k].mean[i]), max(damp, c.Stress[k].mean[i])
				}
			}
			_, driest := m.LoadOf(&ends[0])
			_, dampest := m.LoadOf(&ends[1])
			t.Logf("%-24s %s: states %.3f, %.3f; steady year %.3f, %.3f", climate, m.Kinds[k].Species.ID, driest.Mean[k], dampest.Mean[k], dry, damp)
			// Weekly samples cut the corners of a year that runs straight from month to month,
			// and the slow member of the chain of moisture has not come to rest after five
			// years, which shifts both alike: differences are held against the year's swing.
			swing := damp - dry
			assert.InDelta(t, driest.Mean[k], dry, 0.04*swing, climate)
			assert.InDelta(t, dampest.Mean[k], damp, 0.04*swing, climate)
			assert.GreaterOrEqual(t, dampest.Mean[k]-driest.Mean[k], 0.99*swing, climate)
		}
	}
}
