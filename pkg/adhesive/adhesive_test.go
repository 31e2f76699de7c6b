package adhesive

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// EN 204 asks 10 N/mm² dry of classes D2 to D4, and after four days in water 2
// of D3 and 4 of D4 (figures from memory).
func TestWetStrengthFollowsTheClass(t *testing.T) {
	for _, a := range All() {
		assert.InDelta(t, 1, a.Wet(0), 0, a.Key)
		assert.InDelta(t, a.WetOverDry, a.Wet(96), 1e-12)
		assert.InDelta(t, a.WetOverDry, a.Wet(1000), 1e-12)
		assert.GreaterOrEqual(t, a.Wet(5), a.Wet(6))
		switch a.WaterClass {
		case "D3":
			assert.InDelta(t, 0.2, a.WetOverDry, 1e-12)
		case "D4":
			assert.InDelta(t, 0.4, a.WetOverDry, 1e-12)
		}
		assert.Less(t, a.MCLow, a.MCHigh, a.Key)
	}
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
