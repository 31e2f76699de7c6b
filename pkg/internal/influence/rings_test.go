package influence

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Rings curved about a pith bend under an even change by (ε_R − ε_T)·b²/(4r) over
// a width b at a distance r, however the strip is cut.
func TestCupOfCurvedRingsInOnePiece(t *testing.T) {
	const change, b, r = -3.5, 100.0, 200.0
	at := func(nx, ny int) (cup, rate float64) {
		row := `"` + strings.Repeat("A", nx) + `"`
		board := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","moisture":8,"grain":0,"ring_angle":0,"pith":[0,-200]}},
			"field":{"grid":{"block":[%g,%g],"rows":[%s]}}}`, 300/float64(nx), b/float64(ny), strings.TrimSuffix(strings.Repeat(row+",", ny), ","))
		for i := range board.Pieces { // one strip cut lengthwise keeps its pith
			board.Pieces[i].Pith = &layout.XY{b / 2, -r}
		}
		m, err := Prepare(t.Context(), board, Options{Bending: true})
		require.NoError(t, err)
		_, er, et := m.Kinds[0].Species.Swelling(8, 8+change)
		return m.shapeAt(&Load{Mean: []float64{change}}).cup, er - et
	}
	whole, rate := at(1, 1)
	assert.InEpsilon(t, math.Abs(rate)*b*b/(4*r), math.Abs(whole), 0.03)
	for _, n := range [][2]int{{3, 1}, {1, 3}, {3, 3}, {6, 6}} {
		cup, _ := at(n[0], n[1])
		assert.InEpsilon(t, whole, cup, 1e-3, "%v", n)
	}
}
