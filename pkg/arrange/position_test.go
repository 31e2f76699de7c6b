package arrange

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

func endGrain(ring float64, pith *layout.XY, outline ...layout.XY) *layout.Piece {
	var c layout.XY
	for _, q := range outline {
		c[0] += q[0] / float64(len(outline))
		c[1] += q[1] / float64(len(outline))
	}
	return &layout.Piece{Grain: layout.Grain{Up: true}, RingAngle: ring, Pith: pith, Outline: outline, Centre: c}
}

func rings(p *layout.Piece) []float64 {
	var out []float64
	for _, c := range positionsOf(p) {
		out = append(out, math.Mod(c.ring(p.RingAngle)+360, 180))
	}
	return out
}

// What the cut faces allow: a square takes a ring axis θ to θ, 90+θ, −θ and
// 90−θ; a rectangle to θ and −θ; a right-angled triangle with legs along the
// axes is mirrored in its own axis at 45°, which takes θ to 90−θ.
func TestPositionsKeepTheCutFaces(t *testing.T) {
	square := endGrain(17, nil, layout.XY{3, 5}, layout.XY{43, 5}, layout.XY{43, 45}, layout.XY{3, 45})
	assert.ElementsMatch(t, []float64{17, 107, 163, 73}, rings(square))
	rectangle := endGrain(17, nil, layout.XY{3, 5}, layout.XY{63, 5}, layout.XY{63, 45}, layout.XY{3, 45})
	assert.ElementsMatch(t, []float64{17, 163}, rings(rectangle))
	triangle := endGrain(17, nil, layout.XY{0, 0}, layout.XY{40, 0}, layout.XY{0, 40})
	assert.ElementsMatch(t, []float64{17, 73}, rings(triangle))
	scalene := endGrain(17, nil, layout.XY{0, 0}, layout.XY{50, 0}, layout.XY{0, 40})
	assert.Equal(t, []float64{17}, rings(scalene))
}

func TestPositionsOfRingsAlongAFaceAreTwo(t *testing.T) {
	square := endGrain(0, nil, layout.XY{0, 0}, layout.XY{40, 0}, layout.XY{40, 40}, layout.XY{0, 40})
	assert.ElementsMatch(t, []float64{0, 90}, rings(square))
	diagonal := endGrain(45, nil, layout.XY{0, 0}, layout.XY{40, 0}, layout.XY{40, 40}, layout.XY{0, 40})
	assert.ElementsMatch(t, []float64{45, 135}, rings(diagonal))
}

func TestHexagonHasTwelvePositionsSixForStraightRings(t *testing.T) {
	var out []layout.XY
	for k := 0; k < 6; k++ {
		s, c := math.Sincos(float64(k) * math.Pi / 3)
		out = append(out, layout.XY{30 * c, 30 * s})
	}
	assert.Len(t, positionsOf(endGrain(7, nil, out...)), 6)
	assert.Len(t, positionsOf(endGrain(7, &layout.XY{11, 4}, out...)), 12)
}

func TestLongGrainStays(t *testing.T) {
	p := endGrain(17, nil, layout.XY{0, 0}, layout.XY{40, 0}, layout.XY{40, 40}, layout.XY{0, 40})
	p.Grain = layout.Grain{Angle: 0}
	assert.Equal(t, []position{{}}, positionsOf(p))
}

// The axis of the rings and the pith must be moved alike: the ring angle of a
// curved piece is the direction from its pith to its centre.
func TestRingsAndPithMoveTogether(t *testing.T) {
	pith := layout.XY{-31, 12}
	p := endGrain(0, &pith, layout.XY{0, 0}, layout.XY{40, 0}, layout.XY{40, 40}, layout.XY{0, 40})
	p.RingAngle = math.Atan2(p.Centre[1]-pith[1], p.Centre[0]-pith[0]) * 180 / math.Pi
	ways := positionsOf(p)
	require.Len(t, ways, 8)
	for _, c := range ways {
		q := c.of(layout.XY{pith[0] - 20, pith[1] - 20})
		from := math.Atan2(-q[1], -q[0]) * 180 / math.Pi
		assert.InDelta(t, 0, math.Remainder(c.ring(p.RingAngle)-from, 360), 1e-9, "degrees, %s", c.words())
		assert.InDelta(t, math.Hypot(pith[0]-20, pith[1]-20), math.Hypot(q[0], q[1]), 1e-9)
	}
}

func TestWordsOfAMaker(t *testing.T) {
	assert.Equal(t, "as it is", position{}.words())
	assert.Equal(t, "a quarter turn", position{turn: -90}.words())
	assert.Equal(t, "turned over", position{over: true}.words())
	assert.Equal(t, "turned over, then a quarter turn", position{over: true, turn: 90}.words())
	assert.Equal(t, "turned by 60°", position{turn: 60}.words())
}
