package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Every wood glued at every moisture that a board file takes dries to the bone as
// the movement of a single piece says: one glued above its fibre saturation
// shrinks as one glued at it; glued at nothing it swells as that piece does. (In end grain with rings at 0 degrees x is R, y is T.)
func TestWoodGluedWetShrinksFromSaturation(t *testing.T) {
	for _, s := range wood.All() {
		if _, err := s.Elastic(12); err != nil {
			continue
		}
		for mc := range 31 {
			b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":%q,"ring_angle":0,"moisture":%d}},
				"field":{"grid":{"block":[40,40],"rows":["AA"]}}}`, s.ID, mc)
			p, err := translate(t.Context(), b, nil)
			require.NoError(t, err)
			from, to := float64(mc), 0.0
			if mc == 0 {
				to = 30
			}
			for across, cut := range map[int]string{0: "quarter-sawn", 1: "flat-sawn"} {
				want, err := movement.Change(movement.Request{Species: s.ID, Size: 1, Cut: cut, FromMC: &from, ToMC: &to})
				require.NoError(t, err)
				require.Equal(t, mc > 0, want.Change < 0, "%s at %d %%", s.ID, mc)
				require.NotZero(t, want.Change)
				assert.InDelta(t, want.Change, p.Wood[0].Unit[across]*p.Kinds[0].change(to), 1e-12, "%s glued at %d %%", s.ID, mc)
			}
		}
	}
}
