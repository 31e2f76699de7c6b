package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/wood"
)

const (
	psi = 6.894757e-3 // MPa
	lbf = 4.448222e-3 // kN
)

// A printed example (WOOD magazine, September 2021): a joint 1 in × 25 in at 150 lb/in²
// wants 3,750 lb, nine clamps of 420 lb or eight of 470.
func TestClampsOfAPrintedExample(t *testing.T) {
	force := 150 * psi * 25 * 25.4 * 25.4 / 1000
	assert.InEpsilon(t, 3750*lbf, force, 1e-6)
	assert.Equal(t, 9, clamps(force, 420*lbf, 635, 1000))
	assert.Equal(t, 8, clamps(force, 470*lbf, 635, 1000))
	assert.Equal(t, 13, clamps(force, 470*lbf, 635, 50), "no further apart than 50 mm")
}

// Published gluing pressures: 100 to 150 lb/in² for softwoods and 175 to 250 for
// hardwoods (a glue maker, quoted by WOOD magazine); 150 to 200 for birch (Forest
// Service, quoted).
func TestPressureIsWhatIsPublished(t *testing.T) {
	for _, c := range []struct {
		wood      string
		low, high float64
	}{{"eastern-white-pine", 100, 150}, {"ponderosa-pine", 100, 150}, {"sitka-spruce", 100, 150}, {"yellow-birch", 150, 200},
		{"sugar-maple", 175, 250}, {"white-oak", 175, 250}, {"american-beech", 175, 250}, {"shagbark-hickory", 175, 250}} {
		s, err := wood.Find(c.wood)
		require.NoError(t, err)
		p := pressure(s.SG12.V, &ledger{}) / psi
		assert.GreaterOrEqual(t, p, c.low*0.99, c.wood)
		assert.LessOrEqual(t, p, c.high*1.01, c.wood)
	}
}

// Ten joints of which four close at a time: in three parts of at most three joints
// each, which two more join; every joint is glued once.
func TestPartsOfAGlueUp(t *testing.T) {
	assert.Equal(t, 3, parts(10, 4))
	assert.Equal(t, 2, parts(5, 2))
	for joints := 2; joints < 60; joints++ {
		for closable := 1; closable < joints; closable++ {
			n := parts(joints, closable)
			inner := joints - (n - 1)
			assert.LessOrEqual(t, (inner+n-1)/n, closable, "%d joints, %d at a time", joints, closable)
			assert.GreaterOrEqual(t, inner, 0)
		}
	}
}

// Every class of glue says how it is used.
func TestEveryGlueHasItsUse(t *testing.T) {
	for _, c := range adhesive.All() {
		u, ok := adhesive.UseOf(c.Key)
		if assert.True(t, ok, c.Key) {
			assert.Less(t, u.OpenLo, u.OpenHi, c.Key)
			assert.Less(t, u.ClampLo, u.ClampHi, c.Key)
			assert.LessOrEqual(t, u.Water, 0.7, c.Key)
		}
	}
	assert.InDelta(t, 4, adhesive.Slower(0, 2), 1e-12)
}
