package field

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// oneWood is a board of four like blocks, 80 × 60 mm: it moves freely.
const oneWood = `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
"field":{"grid":{"block":[40,30],"rows":["MM","MM"]}},"exposures":[{"name":"wash-one-face"}]}`

func prepared(t *testing.T, src string, d *influence.Demand) Board {
	t.Helper()
	b := boardtest.Text(t, src)
	m, err := influence.Prepare(t.Context(), b, influence.Options{Bending: !d.NoHistories})
	require.NoError(t, err)
	return Board{m}
}

// TestOutlinesMoveFreely: a board of one wood with rings alike grows by its free
// swelling, every point of every outline in proportion to its place.
func TestOutlinesMoveFreely(t *testing.T) {
	c := &influence.Demand{Shifts: []float64{3}}
	m := prepared(t, oneWood, c)
	i, err := m.Instant(t.Context(), c, "shift-+3", 0)
	require.NoError(t, err)
	from, to := m.Outlines(i)
	require.Len(t, from, 4)
	u := m.Wood[0].Unit
	for p := range from {
		require.Equal(t, len(from[p]), len(to[p]))
		require.GreaterOrEqual(t, len(from[p]), 4)
		for k := range from[p] {
			for a := range from[p][k] {
				move := (to[p][k][a] - from[p][k][a]) - (to[0][0][a] - from[0][0][a])
				// 1e-9 mm: round-off of a solve with movements of 0.1 mm.
				assert.InDelta(t, 3*u[a]*(from[p][k][a]-from[0][0][a]), move, 1e-9)
			}
		}
	}
}

// TestDeflectionIsTheFreeCurvature: a gradient g [% MC a mm] in one wood bends it
// to the curvatures g·α along both axes, so z = −g(αx·x² + αy·y²)/2 from the
// middle: the wetter top face grows and the edges go down.
func TestDeflectionIsTheFreeCurvature(t *testing.T) {
	m := prepared(t, oneWood, &influence.Demand{})
	const g = 0.2
	i := &Instant{swelling: &influence.Load{Mean: []float64{0}, Slope: []float64{g}}}
	h := m.Deflection(i, 25)
	require.Len(t, h.X, 25)
	require.Len(t, h.Y, 19)
	require.False(t, h.Filled)
	at := func(j, i int) float64 { return h.Z[j][i] }
	u := m.Wood[0].Unit
	rise := (at(0, 0)+at(len(h.Y)-1, len(h.X)-1))/2 - at(len(h.Y)/2, len(h.X)/2)
	want := -g * (u[0]*40*40 + u[1]*30*30) / 2
	// 1e-3 relative: the grid's middle stands on nodes, triangles are linear.
	assert.InEpsilon(t, want, rise, 1e-3)
	mean := 0.0
	for j := range h.Z {
		for _, z := range h.Z[j] {
			mean += z
		}
	}
	assert.InDelta(t, 0, mean, 1e-9, "the mean plane is taken out")
}

// TestProfilesHoldTheWetFace: few profiles in the order of time, the washed face
// wetter than the other.
func TestProfilesHoldTheWetFace(t *testing.T) {
	c := &influence.Demand{}
	m := prepared(t, oneWood, c)
	list, err := m.Profiles(t.Context(), c, "wash-one-face", nil)
	require.NoError(t, err)
	require.NotEmpty(t, list)
	assert.LessOrEqual(t, len(list), 7)
	for n, p := range list {
		require.Equal(t, len(p.Z), len(p.MC))
		assert.InDelta(t, -15, p.Z[0], 3, "mm, the bottom face")
		if n > 0 {
			assert.Greater(t, p.Hour, list[n-1].Hour)
		}
		for _, v := range p.MC {
			assert.False(t, math.IsNaN(v))
		}
	}
	wet := list[1]
	assert.Greater(t, wet.MC[len(wet.MC)-1], wet.MC[0]+1, "% MC: the washed face is wetter")
}

func TestUnknownMomentsAreTold(t *testing.T) {
	c := &influence.Demand{}
	m := prepared(t, oneWood, c)
	_, err := m.Instant(t.Context(), c, "wash-one-fase", 0)
	assert.ErrorContains(t, err, "wash-one-face")
	_, err = m.Profiles(t.Context(), c, "driest-munth", nil)
	assert.Error(t, err)
	i, err := m.Instant(t.Context(), c, "wash-one-face", 1)
	require.NoError(t, err)
	assert.InDelta(t, 1, i.Hour, 0.5)
	assert.Contains(t, i.When, "washed")
}

// TestTellingHours: few times, rising, the first and the last among them.
func TestTellingHours(t *testing.T) {
	for _, n := range []int{1, 2, 3, 12, 60} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			phases := make([]moisture.Phase, n)
			for i := range phases {
				phases[i].Hours = 2
			}
			hours := tellingHours(phases)
			assert.Zero(t, hours[0])
			assert.Equal(t, 2*float64(n), hours[len(hours)-1])
			assert.LessOrEqual(t, len(hours), 7)
			for i := range hours[1:] {
				assert.Greater(t, hours[i+1], hours[i])
			}
		})
	}
}
