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
	d := &Demand{Air: []moisture.NamedRoom{{Name: "sauna", Room: moisture.Room{Humidity: 20, Temperature: 60}}}, Moistures: []float64{6}, Shifts: []float64{3}}
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	j, err := m.Judge(t.Context(), d, nil)
	require.NoError(t, err)
	season := relax.Seasonal(0, relax.Typical)
	slow := Residual{season, season}
	want := map[string]Residual{"driest-month": slow, "sauna": slow, "at-6-percent": {1, 0}, "shift-+3": {}}
	for _, v := range j.States {
		if w, ok := want[v.Name]; ok {
			assert.InDelta(t, w.Glued, v.Load.Residual.Glued, 1e-12, v.Name)
			assert.InDelta(t, w.Air, v.Load.Residual.Air, 1e-12, v.Name)
			delete(want, v.Name)
		}
	}
	assert.Empty(t, want)
	for _, h := range j.Histories {
		l := m.At(h.LoadHistory, h.LoadHistory.Stress, 0, nil)
		switch h.LoadHistory.ID() {
		case "wash-one-face":
			assert.Equal(t, slow, l.Residual)
		case "ordinary-use":
			assert.Equal(t, Residual{1, 1}, l.Residual, "just glued")
			last := m.At(h.LoadHistory, h.LoadHistory.Stress, len(h.LoadHistory.Times)-1, nil).Residual
			assert.Less(t, last.Glued, 0.7)
			assert.Equal(t, last.Glued, last.Air)
		}
	}
}
