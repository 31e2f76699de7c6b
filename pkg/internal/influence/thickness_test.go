package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// dries is a bare block of maple end grain that has settled at 10 % and comes into air
// some points of equilibrium moisture drier.
func dries(t *testing.T, thickness, points float64) SurfaceCheck {
	t.Helper()
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"finish":"none","stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":10}},"field":{"grid":{"block":[50,50],"rows":["A"]}}}`, thickness)
	m, err := Prepare(t.Context(), b, Options{Bending: true})
	require.NoError(t, err)
	air, err := moisture.Humidity(20, 10-points)
	require.NoError(t, err)
	face := moisture.Face{Kind: moisture.Air, Room: moisture.Room{Humidity: air, Temperature: 20}}
	h, err := moisture.Simulate(t.Context(), moisture.Column{Species: m.Kinds[0].Species, Along: true, Thickness: thickness, M0: 10},
		[]moisture.Phase{{Hours: 24 * 60, Top: face, Bottom: face}}, moisture.Options{Profiles: true})
	require.NoError(t, err)
	_, c := m.kindHistory(0, h)
	return c.through.check
}

// A small block bears a fall that splits a large one: about five points of the air at
// 40 mm, three at 140, under three at 400 (a trial of another program on real blocks).
// The checks that do not run stay a tenth as deep as the block.
func TestSizeDecidesWhatAFaceBears(t *testing.T) {
	for _, c := range []struct{ thickness, bears, splits float64 }{{40, 3, 5}, {140, 1.5, 3}, {400, 1, 2.5}} {
		small, large := dries(t, c.thickness, c.bears), dries(t, c.thickness, c.splits)
		assert.Equal(t, small.Fine, small.Depth, "%g mm, %g points: nothing runs", c.thickness, c.bears)
		assert.Less(t, small.Fine, 0.1*c.thickness)
		assert.Greater(t, large.Depth, large.Fine+1, "%g mm, %g points: a check runs", c.thickness, c.splits)
	}
}
