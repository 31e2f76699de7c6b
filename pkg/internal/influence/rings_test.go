package influence

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/plate"
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

// A wide slab near the pith: 330 mm of maple, the pith 100 mm below, 2.4 % drier. With
// φ = atan(x/r) from the pith its rings, which shrink by δ less across than round,
// raise a place x from the middle by δ·x·φ, exactly; over a narrow plank that is
// δ·b²/(4r), which here would be 1.6 times too much. However it is cut.
func TestWideSlabCupsAsItsRingsTurn(t *testing.T) {
	const change, b, r, h = -2.4, 330.0, 100.0, 25.0
	for _, ny := range []int{1, 6} {
		board := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":"sugar-maple","moisture":8,"grain":0,"pith":[0,-100]}},
			"field":{"grid":{"block":[600,%g],"rows":[%s]}}}`, h, b/float64(ny), strings.TrimSuffix(strings.Repeat(`"A",`, ny), ","))
		for i := range board.Pieces {
			board.Pieces[i].Pith = &layout.XY{b / 2, -r}
		}
		m, err := Prepare(t.Context(), board, Options{Bending: true})
		require.NoError(t, err)
		_, er, et := m.Kinds[0].Species.Swelling(8, 8+change)
		delta := er - et // above 0: less shrinkage across
		l := &Load{Mean: []float64{change}}
		x := m.Deflected(l)
		rise := func(y float64) float64 { // at mid-length, over the middle
			at := func(y float64) float64 {
				best, far := 0, math.Inf(1)
				for n, q := range m.Mesh.Nodes {
					if d := math.Hypot(q[0]-300, q[1]-y); d < far {
						best, far = n, d
					}
				}
				return x[plate.Deflection(best)]
			}
			return at(y) - at(b/2)
		}
		exact := delta * b / 2 * math.Atan(b/2/r)
		assert.InEpsilon(t, exact, rise(0), 0.05, "%d pieces, mm", ny)
		assert.InEpsilon(t, exact, rise(b), 0.05)
	}
}

// What is taken of the pith of a flat-sawn plank bends it as a told pith there would,
// either side down, along any fibres; planks that lie one up, one down keep their panel flat.
func TestAssumedPithBendsAsATold(t *testing.T) {
	cup := func(grain float64, stock string, rows string, w, hgt float64) float64 {
		board := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","moisture":8,"grain":%g,%s}},
			"field":{"grid":{"block":[%g,%g],"rows":[%s]}}}`, grain, stock, w, hgt, rows)
		m, err := Prepare(t.Context(), board, Options{Bending: true})
		require.NoError(t, err)
		return m.shapeAt(&Load{Mean: []float64{-3}}).cup
	}
	told := cup(0, `"pith":[0,-100]`, `"A"`, 300, 50)
	assert.Greater(t, told, 0.02, "mm; heart below, the edges of a drying plank rise")
	assert.InEpsilon(t, told, cup(0, `"ring_angle":0,"heart":"down"`, `"A"`, 300, 50), 0.05)
	assert.InEpsilon(t, told, cup(90, `"ring_angle":0,"heart":"down"`, `"A"`, 50, 300), 0.05)
	assert.InEpsilon(t, -told, cup(0, `"ring_angle":0,"heart":"up"`, `"A"`, 300, 50), 0.05)
	alike := cup(0, `"ring_angle":0,"heart":"down"`, `"A","A","A","A"`, 300, 50)
	assert.InEpsilon(t, 16*told, alike, 0.05, "one log's worth over four planks")
	assert.Less(t, math.Abs(cup(0, `"ring_angle":0`, `"A","A","A","A"`, 300, 50)), 0.05*alike)
	assert.InDelta(t, 0, cup(0, `"ring_angle":90`, `"A"`, 300, 50), 1e-6, "quarter-sawn")
}
