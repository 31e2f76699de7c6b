package check

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// How a board stands and what each face wears decide whether it stays flat: alike
// faces in free air do; a covered bottom and a tight film below an oiled top do not.
func TestUnlikeFacesBend(t *testing.T) {
	flat := func(keys string) *Mode {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"finish":"mineral-oil-wax"%s,"stock":{"A":{"species":"sugar-maple","ring_angle":90,"grain":0,"moisture":8}},
			"field":{"grid":{"block":[200,180],"rows":["A"]}},"exposures":[{"name":"ordinary-use","washes":2}]}`, keys)
		return modeOf(t, reportOf(t, b, Conditions{NoCauses: true, NoChance: true}), OutOfFlat)
	}
	free := flat("")
	assert.Less(t, *free.Figure, 0.01)
	assert.InDelta(t, *free.Figure, *flat(`,"stands":"feet"`).Figure, 1e-9)
	lying, film := flat(`,"stands":"flat"`), flat(`,"bottom_finish":"urethane-varnish-3"`)
	assert.Greater(t, *lying.Figure, 0.2)
	assert.Greater(t, *film.Figure, 0.05)
	assert.Contains(t, lying.Why, "face holds more water")
	assert.InDelta(t, *free.Figure, *flat(`,"bottom_finish":"mineral-oil-wax"`).Figure, 1e-9)
}

// A wrong word of the new keys is one fault at its place.
func TestFaultsOfHowABoardStands(t *testing.T) {
	for pointer, keys := range map[string]string{"/stands": `"stands":"upright",`, "/bottom_finish": `"bottom_finish":"chrome",`} {
		_, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,` + keys + `"stock":{"A":{"species":"sugar-maple","ring_angle":0}},"field":{"grid":{"block":[40,40],"rows":["A"]}}}`))
		require.Error(t, err)
		assert.ErrorContains(t, err, pointer)
	}
	_, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"heart":"left"}},"field":{"grid":{"block":[40,40],"rows":["A"]}}}`))
	assert.ErrorContains(t, err, "/stock/A/heart")
}

// A face that was wetted for a moment is crushed against the wood below and ends up short:
// the board is hollow on it, and is not told to be wetter there.
func TestAFaceThatWasCrushedIsShort(t *testing.T) {
	for face, rise := range map[string]float64{"top": 1, "bottom": -1} {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"northern-red-oak","ring_angle":90,"grain":0,"moisture":10}},
			"field":{"grid":{"block":[600,200],"rows":["A"]}},"home":"maritime-temperate","exposures":[{"name":"wash-one-face","minutes":2,"water":0.01,"dry_hours":168,"month":7,"face":"%s"}]}`, face)
		r := reportOf(t, b, Conditions{NoCauses: true, NoChance: true, NoCracks: true, Events: b.Exposures})
		o := modeOf(t, r, OutOfFlat)
		assert.Contains(t, o.Why, "The "+face+" face swelled, was crushed")
		assert.Equal(t, map[float64]bool{1: true, -1: false}[rise], strings.Contains(o.Why, "its edges rise"))
		assert.Positive(t, rise*r.Exposures[0].Cup)
	}
}
