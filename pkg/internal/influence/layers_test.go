package influence

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// The cells of a history fill the thickness, each of them some of it, alike from
// both faces; a straight profile comes back as it is.
func TestLayersAreThoseOfTheHistory(t *testing.T) {
	maple, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	for _, h := range []float64{3, 20, 100} {
		hist, err := moisture.Simulate(context.Background(), moisture.Column{Species: maple, Thickness: h, M0: 8},
			[]moisture.Phase{{Hours: 5, Top: moisture.Face{Kind: moisture.Water, Room: moisture.Room{Humidity: 50, Temperature: 20}},
				Bottom: moisture.Face{Kind: moisture.Air, Room: moisture.Room{Humidity: 30, Temperature: 20}}}}, moisture.Options{Profiles: true})
		require.NoError(t, err)
		l := newStack(hist.Z, h/2, h/10)
		sum := 0.0
		straight := make([]float64, len(hist.Z))
		for i, w := range l.width {
			assert.Positive(t, w, "cell %d of %g mm", i, h)
			assert.InDelta(t, w, l.width[len(l.width)-1-i], 1e-12*h)
			sum += w
			straight[i] = 7 + 0.3*hist.Z[i]
		}
		assert.InDelta(t, h, sum, 1e-12*h)
		mean, slope := l.moments(straight, 30)
		assert.InDelta(t, 7, mean, 1e-12)
		assert.InDelta(t, 0.3, slope, 1e-12)
		for i := range hist.Times {
			mean, slope := l.moments(hist.Profiles[i], 1000)
			assert.InDelta(t, hist.Mean[i], mean, 1e-12, "the simulation's own")
			assert.InDelta(t, hist.Slope[i], slope, 1e-12)
		}
	}
}

// The coupled criterion for a surface crack, worked out here with the factors of
// an edge crack in a half plane under even, linear and squared stress (1.1215,
// 0.6820, 0.5255: Tada, Paris and Irwin's handbook, from memory), against the mean
// over the face layer.
func TestFaceLayerMeetsTheCoupledCriterion(t *testing.T) {
	intensity := func(a float64) float64 { // over s·√h, at depth a·h, under the parabola
		return math.Sqrt(math.Pi*a) * (1.1215 - 6*0.6820*a + 6*0.5255*a*a)
	}
	mean := func(a float64) float64 { return 1 - 3*a + 2*a*a }
	for _, h := range []float64{1, 1.5, 2, 3, 4, 6, 8, 10, 20, 100} { // over d
		const n = 20000
		least, energy := math.Inf(1), 0.0
		for i := 1; i < n; i++ {
			k := intensity((float64(i) - 0.5) / (2 * n))
			energy += k * k / (2 * n) * h / (math.Pi / 2)
			a := float64(i) / (2 * n)
			least = min(least, max(1/mean(a), 1/math.Sqrt(energy/a)))
		}
		got := 1 / mean(faceLayer(1, h)/h)
		assert.InEpsilon(t, least, got, 0.07, "thickness of %g d", h)
	}
}
