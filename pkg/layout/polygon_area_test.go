package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What two outlines share, against the overlay of simplefeatures: stars of random
// points, hollow and full, near and far.
func TestSharedAreaAgainstAnOverlay(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	star := func() []XY {
		n := 3 + rng.IntN(9)
		x, y := 20*rng.Float64(), 20*rng.Float64()
		p := make([]XY, n)
		for i := range p {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := 2 + 20*rng.Float64()
			p[i] = XY{x + r*cos, y + r*sin}
		}
		return p
	}
	polygon := func(p []XY) geom.Geometry {
		var flat []float64
		for i := 0; i <= len(p); i++ {
			flat = append(flat, p[i%len(p)][0], p[i%len(p)][1])
		}
		g := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))})
		require.NoError(t, g.Validate())
		return g.AsGeometry()
	}
	for range 500 {
		a, b := star(), star()
		common, err := geom.Intersection(polygon(a), polygon(b))
		require.NoError(t, err)
		got, ok := sharedArea(a, b)
		require.True(t, ok)
		assert.InDelta(t, common.Area(), got, 1e-6, "mm²: the overlay snaps")
	}
	_, ok := sharedArea(make([]XY, 1000), make([]XY, 1000))
	assert.False(t, ok, "no million of triangles for a word in a fault")
}
