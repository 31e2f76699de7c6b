package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// Stress left over from how pieces were glued, by the state looked at.
func TestKept(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`)
	c := Conditions{Air: []NamedRoom{{Name: "sauna", Room: moisture.Room{Humidity: 20, Temperature: 60}}}, Moistures: []float64{6}, Shifts: []float64{3}}
	m, err := Prepare(t.Context(), b, c)
	require.NoError(t, err)
	season := relax.Seasonal(relax.Typical)
	slow := Kept{season, season}
	for state, want := range map[string]Kept{"driest-month": slow, "sauna": slow, "at-6-percent": {1, 0}, "shift-+3": {}, "wash-one-face": slow} {
		got, err := m.KeptAt(c, state, 0)
		require.NoError(t, err)
		assert.InDelta(t, want.Glued, got.Glued, 1e-12, state)
		assert.InDelta(t, want.Air, got.Air, 1e-12, state)
	}
	fresh, err := m.KeptAt(c, "ordinary-use", 24)
	require.NoError(t, err)
	assert.Greater(t, fresh.Glued, 0.8, "a day after gluing little has relaxed")
}
