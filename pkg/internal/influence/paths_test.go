package influence

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// turned is a field of 3 × 3 blocks of two woods, rings all different, in free
// pieces turned by an angle, and mirrored when asked.
func turned(deg float64, mirror bool, size float64) string {
	s, c := math.Sincos(deg * math.Pi / 180)
	stock, list := "", ""
	for r := range 3 {
		for k := range 3 {
			ring := float64((37*(3*r+k))%180) + deg
			if mirror {
				ring = 180 - float64((37*(3*r+k))%180) + deg
			}
			ring = math.Mod(math.Mod(ring, 180)+180, 180)
			wood := [2]string{"sugar-maple", "black-walnut"}[(r+k)%2]
			outline := ""
			for i := range 4 {
				q := [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}[i]
				x, y := size*(float64(k)+q[0]), size*(float64(r)+q[1])
				if mirror {
					x = 3*size - x
				}
				if i > 0 {
					outline += ","
				}
				outline += fmt.Sprintf("[%.6f,%.6f]", 500+c*x-s*y, 500+s*x+c*y)
			}
			sep := ","
			if stock == "" {
				sep = ""
			}
			stock += sep + fmt.Sprintf(`"s%d%d":{"species":"%s","ring_angle":%.6f,"moisture":8}`, r, k, wood, ring)
			list += sep + fmt.Sprintf(`{"stock":"s%d%d","outline":[%s]}`, r, k, outline)
		}
	}
	return fmt.Sprintf(`{"tanrad":1,"name":"turned","units":"mm","thickness":40,"stock":{%s},"field":{"pieces":[%s]}}`, stock, list)
}

func worstPath(t *testing.T, src string, refine int, shifts ...float64) (wood, line float64) {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	m, err := Prepare(context.Background(), b, Options{Refine: refine})
	require.NoError(t, err)
	j, err := m.Judge(context.Background(), &Demand{NoHistories: true, Shifts: shifts}, nil)
	require.NoError(t, err)
	require.NotEmpty(t, j.Paths)
	for _, l := range j.Lines {
		line = max(line, l.Result.V)
	}
	return j.Paths[0].Result.V, line
}

// Splits and glue lines are judged alike however the drawing lies.
func TestWoodDoesNotKnowHowTheDrawingLies(t *testing.T) {
	wood, line := worstPath(t, turned(0, false, 40), 0, -4, 4)
	for _, c := range []struct {
		deg    float64
		mirror bool
	}{{90, false}, {15, false}, {37, false}, {61, false}, {0, true}, {22, true}} {
		w, l := worstPath(t, turned(c.deg, c.mirror, 40), 0, -4, 4)
		t.Logf("%v: wood %.4f line %.4f", c, w, l)
		assert.InEpsilon(t, line, l, 1e-3, "line, %+v", c)
		assert.InEpsilon(t, wood, w, 1e-3, "wood, %+v", c)
	}
	// A finer mesh, each path at its own worst; of the lines, those that wetting opens.
	w, _ := worstPath(t, turned(0, false, 40), 1, -4, 4)
	_, coarse := worstPath(t, turned(0, false, 40), 0, 4)
	_, l := worstPath(t, turned(0, false, 40), 1, 4)
	t.Logf("halved: wood %.4f (%.4f) line %.4f (%.4f)", w, wood, l, coarse)
	assert.InEpsilon(t, coarse, l, 0.01, "line, mesh halved")
	assert.InEpsilon(t, wood, w, 0.025, "wood, mesh halved")
}
