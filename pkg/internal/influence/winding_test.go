package influence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// winding is a flat-sawn plank of maple that has dried by three per cent, its fibres
// winding round the log; more stands in its stock.
func winding(t *testing.T, slope float64, more string) (*Model, shape) {
	t.Helper()
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":10,"slope":%g%s}},"field":{"grid":{"block":[600,100],"rows":["A"]}}}`, slope, more)
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	return m, m.shapeAt(&Load{Mean: []float64{-3}})
}

// A strip cut from a log whose fibres wind round it follows their free shear by the twist
// ½·curl: (e_L − e_T)·θ/r. With the pith assumed that is the program's own sum. With
// the pith told nothing knows of it: the fibres turn from place to place, and the solver
// of the plate finds the twist from the transverse shear they bring. Turned over a screw
// stays a screw; wound the other way it twists the other way.
func TestWindingFibresTwistAPlank(t *testing.T) {
	const slope, far = 0.05, 400.0
	m, assumed := winding(t, slope, "")
	unit := m.unit[0]
	twist := func(r float64) float64 {
		return -3 * (unit[0] - unit[2]) * slope / (1 + slope*slope) / r * 600 * 100
	}
	r := math.Abs(m.Board.Pieces[0].Heart)
	assert.InEpsilon(t, twist(r), assumed.twist, 1e-6)
	_, other := winding(t, -slope, "")
	assert.InDelta(t, -assumed.twist, other.twist, 1e-9)
	for _, at := range []float64{-far, far} {
		_, told := winding(t, slope, `,"pith":[0,`+map[bool]string{true: "400", false: "-400"}[at > 0]+`]`)
		assert.InEpsilon(t, twist(far), told.twist, 0.03, "pith at %g mm", at)
	}
	_, straight := winding(t, 0, "")
	assert.Zero(t, straight.twist)
}

// Fibres that slope in the face twist a plank whose faces differ: of the free curvature
// of one wetter face, 2·(e_L − e_T)·sin s·cos s is shear.
func TestSlopeInTheFaceTwistsUnderAGradient(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":90,"grain":5,"moisture":10}},"field":{"grid":{"block":[600,100],"rows":["A"]}}}`)
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	const slope = 0.1 // % MC a mm
	s := m.shapeAt(&Load{Mean: []float64{0}, Slope: []float64{slope}})
	sin, cos := math.Sincos(5 * math.Pi / 180)
	u := m.unit[0] // rings upright: across the plank it moves along R
	assert.InEpsilon(t, -slope*(u[0]-u[1])*sin*cos*600*100, s.twist, 1e-6)
}

// The twist of a plank does not know how the drawing lies and grows with its size: turned by
// a right angle it has the other sign, told of the same corner, and twice as large in all it
// is twice as large. With the pith as far off as the fibres are straight it goes.
func TestTwistTurnsAndGrowsWithThePlank(t *testing.T) {
	of := func(k float64, grain int, slope, pith float64) float64 {
		w, h := 600*k, 100*k
		if grain == 90 {
			w, h = h, w
		}
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":"sugar-maple","pith":[0,%g],"grain":%d,"moisture":10,"slope":%g}},"field":{"grid":{"block":[%g,%g],"rows":["A"]}}}`, 20*k, pith*k, grain, slope, w, h)
		m, err := Prepare(t.Context(), b, Options{Bending: true})
		require.NoError(t, err)
		return m.shapeAt(&Load{Mean: []float64{-3}}).twist
	}
	one := of(1, 0, 0.05, -150)
	require.NotZero(t, one)
	assert.InEpsilon(t, -one, of(1, 90, 0.05, -150), 1e-5)
	assert.InEpsilon(t, 2*one, of(2, 0, 0.05, -150), 1e-5)
	assert.InEpsilon(t, -one, of(1, 0, -0.05, -150), 1e-5)
	assert.InDelta(t, 0, of(1, 0, 1e-6, -150), 1e-4*math.Abs(one))
	assert.Less(t, math.Abs(of(1, 0, 0.05, -1500)), 0.2*math.Abs(one))
}
