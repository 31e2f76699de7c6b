package adhesive

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Wet over dry against minima read elsewhere: class D4 keeps 4 of 10 N/mm² after four
// days in water (10 dry: Šedivka and others, BioResources, abstract; 4 wet: Bomba and others
// 2014, BioResources 9(3), abstract). The ratio of D3 (0.2) is recalled from EN 204 and has no
// second reading; it must lie below D4's. One-part polyurethane is not below D4.
func TestWetStrengthFollowsTheClass(t *testing.T) {
	const dry, wetD4 = 10.0, 4.0 // N/mm²
	ratio := map[string]float64{}
	for _, a := range All() {
		assert.InDelta(t, 1, a.Wet(0), 0, a.Key)
		assert.InDelta(t, a.WetOverDry, a.Wet(96), 1e-12)
		assert.InDelta(t, a.WetOverDry, a.Wet(1000), 1e-12)
		assert.GreaterOrEqual(t, a.Wet(5), a.Wet(6))
		assert.Less(t, a.MCLow, a.MCHigh, a.Key)
		if old, ok := ratio[a.WaterClass]; ok && a.WaterClass != "none" {
			assert.InDelta(t, old, a.WetOverDry, 1e-12, "one class, one minimum: %s", a.Key)
		}
		ratio[a.WaterClass] = a.WetOverDry
	}
	assert.InDelta(t, wetD4/dry, ratio["D4"], 1e-12)
	assert.Less(t, ratio["D3"], ratio["D4"])
	assert.Less(t, ratio["D2"], ratio["D3"])
}

func TestAdhesiveWindowAndNames(t *testing.T) {
	a, err := Find("pva")
	require.NoError(t, err)
	assert.InDelta(t, 1, a.GluedAt(7, 9), 0)
	assert.InDelta(t, 0.8, a.GluedAt(7, 14), 0)
	_, err = Find("pvc")
	var f fault.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, fault.UnknownName, f.Rule)
	assert.Contains(t, f.Nearest, "pva")
}
