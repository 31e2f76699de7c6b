package check

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// The whole answer of the smallest board of a wood that saturates at 22 %: glued
// wetter than that it moves by as much as glued at 22 %, settled or over time, and
// every number of it is one.
func TestMahoganyGluedAbove22Percent(t *testing.T) {
	at := func(mc float64) *Report {
		return reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"honduran-mahogany","ring_angle":0,"moisture":%g,"grain":0}},
			"field":{"grid":{"block":[300,200],"rows":["A"]}}}`, mc), Conditions{ByStress: true, NoCracks: true, NoChance: true, Series: 50})
	}
	dry := at(22)
	require.Less(t, dry.States[0].Height, -5.0, "mm")
	end := func(r *Report) float64 { s := r.Exposures[0].Series.Height; return s[len(s)-1] }
	for _, mc := range []float64{22.5, 22.9, 23, 25, 30} {
		r := at(mc)
		_, err := json.Marshal(r)
		require.NoError(t, err, "glued at %g %%", mc)
		assert.InDelta(t, dry.States[0].Height, r.States[0].Height, 1e-9, "glued at %g %%", mc)
		assert.InDelta(t, end(dry), end(r), 0.02*-end(dry), "a year at home, glued at %g %%", mc)
		require.NotNil(t, r.Check)
		assert.Less(t, r.Check.Height, 1e-9)
	}
}

// A state tells the moisture that the wood has, not the part of it that swells.
func TestStatesTellAllTheMoisture(t *testing.T) {
	r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"honduran-mahogany","ring_angle":0,"moisture":12}},
		"field":{"grid":{"block":[40,40],"rows":["A"]}}}`), Conditions{Moistures: []float64{25.7, 22}, NoHistories: true, ByStress: true, NoCracks: true, NoChance: true})
	wet, full := r.States[2], r.States[3]
	assert.Equal(t, 25.7, wet.Moisture["A"])
	assert.InDelta(t, full.Height, wet.Height, 1e-12)
}
