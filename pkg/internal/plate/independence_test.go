package plate_test

import (
	"context"
	"math"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// wide names the boards with a joint that changes by more than 3 % when the mesh
// is halved, with how far: the steepest four-piece corners of random rings, and
// rings that turn about a pith inside a block.
var wide = map[string]float64{"pith-in-strip": 0.04}

// TestMeshIndependence: halving every element changes utilisations above 0.2 by
// less than 3 % at nineteen joints of twenty and by less than 6 % at any, on every
// board file there is, after a change of 3 % MC. Past 3 % are single joints barely
// above 0.2, and blocks with a pith inside, where the direction of the rings has
// no bound to its turning.
func TestMeshIndependence(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	var all []float64
	for _, name := range boardtest.Names(t) {
		b := boardtest.Named(t, name)
		var rep [2]*check.Report
		for k := range rep {
			var err error
			rep[k], err = check.Board(context.Background(), b, check.Conditions{Shifts: []float64{3}, NoHistories: true, Refine: k, ByStress: true})
			require.NoError(t, err)
		}
		worst, at := 0.0, ""
		for j := range rep[0].Joints {
			u0, u1 := rep[0].Joints[j].Stress, rep[1].Joints[j].Stress
			if math.Max(u0, u1) < 0.2 || rep[0].Joints[j].State != rep[1].Joints[j].State { // told at another moment
				continue
			}
			d := math.Abs(u0/u1 - 1)
			all = append(all, d)
			if d > worst {
				worst, at = d, rep[0].Joints[j].ID
			}
		}
		if limit, ok := wide[name]; ok {
			assert.Less(t, worst, limit, "%s at %s", name, at)
			assert.Greater(t, worst, 0.03, "%s: this exception is no longer needed", name)
		} else {
			assert.Less(t, worst, 0.03, "%s at %s", name, at)
		}
		t.Logf("%-28s %.2f %% at %s; board %.4f %.4f", name, 100*worst, at, rep[0].Utilisation, rep[1].Utilisation)
	}
	sort.Float64s(all)
	n := len(all)
	require.Greater(t, n, 500)
	t.Logf("%d joints above 0.2: median %.2f %%, nineteen of twenty below %.2f %%, all below %.2f %%", n, 100*all[n/2], 100*all[n*19/20], 100*all[n-1])
	assert.Less(t, all[n*19/20], 0.02)
}
