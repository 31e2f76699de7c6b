package influence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/flatness"
)

// A slab of one wood with a straight gradient of moisture bends to two
// curvatures, unit strain times gradient, in any cut: a bilayer's limit
// (Timoshenko 1925). Hollow down it stands on its corners with the sum of both
// rises below its middle, and does not rock; the other way up it does.
func TestBentSlabStandsAsItsClosedForm(t *testing.T) {
	const slope, w, h = 0.05, 300.0, 200.0 // % MC per mm: wetter at the top, so edges go down
	for _, rows := range []string{`"block":[300,200],"rows":["A"]`, `"block":[100,50],"rows":["AAA","AAA","AAA","AAA"]`} {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":30,"moisture":8}},"field":{"grid":{%s}}}`, rows)
		m, err := Prepare(t.Context(), b, Options{Bending: true})
		require.NoError(t, err)
		stand := func(slope float64) (flatness.Stand, shape) {
			l := &Load{Mean: []float64{0}, Slope: []float64{slope}}
			return m.StandsAt(l), m.shapeAt(l)
		}
		down, s := stand(slope)
		u := m.Wood[0].Unit
		kx, ky, kxy := slope*u[0], slope*u[1], slope*u[2]/2
		middle := kx*w*w/8 + ky*h*h/8 + math.Abs(kxy)*w*h/4 // over the two corners it stands on
		assert.InEpsilon(t, ky*h*h/8, math.Abs(s.cup), 1e-3)
		assert.InDelta(t, middle, down.Gap, 0.02*middle, "mm")
		up, _ := stand(-slope)
		assert.Greater(t, up.Rocks, 1.5*down.Rocks, "a hump rolls")
	}
}

// The index is one at the printed limit, whatever the way the board is turned.
func TestIndexIsOneAtTheLimit(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[300,200],"rows":["A"]}}}`)
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	limit := flatness.Default().Gap
	assert.InDelta(t, 1, m.index(&shape{cup: limit * 200}), 1e-12)
	assert.InDelta(t, 1, m.index(&shape{bow: -limit * 300}), 1e-12)
	assert.InDelta(t, 1, m.index(&shape{twist: limit * math.Hypot(200, 300)}), 1e-12)
}

// What is wet on one face only lies out of flat and comes back; what dries alike
// on both faces never leaves the top.
func TestOneWetFaceLeavesTheTopAndComesBack(t *testing.T) {
	board := func(exposure string) *ExposureResult {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[50,50],"rows":["AAAAAA","AAAAAA","AAAAAA"]}},"exposures":[{"name":"%s"}]}`, exposure)
		m, err := Prepare(t.Context(), b, Options{Bending: true})
		require.NoError(t, err)
		j, err := m.Judge(t.Context(), &Demand{}, nil)
		require.NoError(t, err)
		return j.Histories[0]
	}
	wet := board("flat-on-wet-counter").Stands
	assert.Greater(t, wet.Index, 1.0)
	assert.Greater(t, wet.Gap, 1.0, "mm")
	assert.Less(t, wet.End, 0.1*wet.Index, "dried")
	dry := board("dry-spell").Stands
	assert.Zero(t, dry.Index)
	assert.Zero(t, dry.Stand)
}

// The mass of a board is that of its wood with the water in it: sugar maple has 0.63 dry
// over its volume at 12 %.
func TestMassOfABoard(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":50,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[100,100],"rows":["AA","AA"]}}}`)
	in, err := (&Demand{}).Setting(b)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.63*1.08*2, in.Mass, 1e-9, "2 litres")
}

// A board that stands on its edges does not rock, by no round-off either.
func TestWhatStandsDoesNotRock(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":37,"moisture":8}},"field":{"grid":{"block":[91,67],"rows":["AA","AA"]}}}`)
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	s := m.StandsAt(&Load{Mean: []float64{0}, Slope: []float64{0.05}})
	assert.Positive(t, s.Gap)
	assert.True(t, s.Rocks == 0 || s.Rocks >= Flat, "%g mm", s.Rocks)
}
