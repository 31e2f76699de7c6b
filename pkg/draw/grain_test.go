package draw

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var chevron = []xy{{0, 0}, {40, 30}, {80, 0}, {80, 30}, {40, 60}, {0, 30}} // not convex

// Every growth line stays inside its piece: sampled along its length, no point
// lies outside the outline by more than the tenth that coordinates are written to.
func TestGrowthLinesStayInside(t *testing.T) {
	outlines := map[string][]xy{
		"square": {{0, 0}, {40, 0}, {40, 40}, {0, 40}}, "triangle": {{0, 0}, {40, 0}, {13, 31}}, "chevron": chevron,
	}
	piths := []*xy{nil, {20, 20}, {-30, 11}, {500, -300}}
	for name, o := range outlines {
		for _, pith := range piths {
			for ring := -90.0; ring < 180; ring += 23 {
				for _, up := range []bool{true, false} {
					k := look{id: fmt.Sprint(name, ring), outline: o, up: up, ring: ring, angle: 1.7 * ring, gap: 4}
					if up {
						k.pith = pith
					}
					lines := grainLines(k)
					require.NotEmpty(t, lines)
					for _, a := range lines {
						for _, p := range sampled(a, func(q xy) xy { return q }) {
							require.True(t, inside(o, p) || rim(o, p) < 0.1, "%s, ring %g, up %v: %v is outside", name, ring, up, p)
						}
					}
				}
			}
		}
	}
}

func rim(o []xy, p xy) float64 {
	best := math.Inf(1)
	for i, a := range o {
		best = math.Min(best, toSegment(p, a, o[(i+1)%len(o)]))
	}
	return best
}

// Rings lie across the radial axis, which has the ring angle from +x with y up.
func TestRingsLieAcrossTheRadialAxis(t *testing.T) {
	for _, ring := range []float64{0, 37, 90, -20} {
		s, c := math.Sincos(ring * math.Pi / 180)
		for _, a := range grainLines(look{id: "x", outline: []xy{{0, 0}, {50, 0}, {50, 50}, {0, 50}}, up: true, ring: ring, gap: 4}) {
			dx, dy := a.to[0]-a.from[0], -(a.to[1] - a.from[1])
			assert.InDelta(t, 0, dx*c+dy*s, 1e-9)
		}
	}
}

func TestFibresRunAlongTheGrain(t *testing.T) {
	s, c := math.Sincos(25 * math.Pi / 180)
	for _, a := range grainLines(look{id: "x", outline: []xy{{0, 0}, {150, 0}, {150, 50}, {0, 50}}, angle: 25, ring: 90, gap: 4}) {
		dx, dy := a.to[0]-a.from[0], -(a.to[1] - a.from[1])
		assert.InDelta(t, 0, dx*s-dy*c, 1e-9)
	}
}

// Flat-sawn faces have fewer lines than quarter-sawn ones, and curved.
func TestFlatAndQuarterSawnDiffer(t *testing.T) {
	o := []xy{{0, 0}, {300, 0}, {300, 60}, {0, 60}}
	flat := grainLines(look{id: "x", outline: o, ring: 0, gap: 4})
	quarter := grainLines(look{id: "x", outline: o, ring: 90, gap: 4})
	assert.Less(t, len(flat), len(quarter))
	curved := 0
	for _, a := range flat {
		if a.r > 0 {
			curved++
		}
	}
	assert.Greater(t, curved, len(flat)/2)
	for _, a := range quarter {
		assert.Zero(t, a.r)
	}
}

func TestRingsGoRoundThePith(t *testing.T) {
	pith := xy{20, 20}
	lines := grainLines(look{id: "x", outline: []xy{{0, 0}, {40, 0}, {40, 40}, {0, 40}}, up: true, pith: &pith, gap: 4})
	for _, a := range lines {
		for _, p := range sampled(a, func(q xy) xy { return q }) {
			assert.InDelta(t, a.r, math.Hypot(p[0]-20, p[1]-20), 1e-6)
		}
	}
}

func TestRingSpacingIsNearTheGap(t *testing.T) {
	n := len(grainLines(look{id: "y", outline: []xy{{0, 0}, {400, 0}, {400, 40}, {0, 40}}, up: true, ring: 0, gap: 4}))
	assert.InDelta(t, 100, n, 12) // 400 over 4; the jitter has a mean of 1 and averages out to a few lines
}

func TestClipLineOfANotchedPiece(t *testing.T) {
	lines := clipLine(chevron, xy{0, 10}, xy{1, 0}) // crosses both arms
	require.Len(t, lines, 2)
	assert.InDelta(t, 0, lines[0].from[0], 1e-12)
	assert.InDelta(t, 40.0/3, lines[0].to[0], 1e-12)
	assert.InDelta(t, 80-40.0/3, lines[1].from[0], 1e-12)
	assert.InDelta(t, 80, lines[1].to[0], 1e-12)
}

func TestDegenerateOutlinesGiveNoLines(t *testing.T) {
	for _, o := range [][]xy{nil, {{1, 1}}, {{0, 0}, {1, 1}}, {{5, 5}, {5, 5}, {5, 5}}} {
		assert.Empty(t, grainLines(look{outline: o, up: true, gap: 4}))
		assert.Empty(t, grainLines(look{outline: o, gap: 4}))
	}
}
