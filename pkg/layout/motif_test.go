package layout_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Twenty cubes of rhombs are a motif of three: a file of thirty lines, a board without
// gaps or overlaps (sound looks at it with a library's overlay).
func TestAMotifOfRhombs(t *testing.T) {
	f := boardtest.File(t, "rhombs")
	twenty := f.Clone()
	a, h := 25.981, 45.0
	twenty.Field.Pieces = []layout.FreePiece{{Motif: f.Field.Pieces[:3], Repeat: []layout.Again{
		{Count: 5, Step: [2]layout.Length{layout.Length(2 * a), 0}}, {Count: 2, Step: [2]layout.Length{layout.Length(a), layout.Length(h)}}, {Count: 2, Step: [2]layout.Length{0, layout.Length(2 * h)}}}}}
	assert.LessOrEqual(t, strings.Count(string(twenty.JSON()), "\n"), 30)
	b := read(t, string(twenty.JSON()))
	assert.Len(t, b.Pieces, 60)
	assert.Equal(t, "p1.3.20", b.Pieces[59].ID)
	assert.Equal(t, twenty.JSON(), parsed(t, string(twenty.JSON())).JSON())
	area := 0.0
	for _, p := range b.Pieces {
		area += p.Area
	}
	assert.InDelta(t, 60*30*a, area, 0.1)
}

// Unknown rings of a motif are drawn copy by copy.
func TestCopiesDrawTheirOwnRings(t *testing.T) {
	f := parsed(t, file(`"field": {"pieces": [{"motif": [{"stock": "M", "outline": [[0, 0], [20, 0], [20, 20], [0, 20]], "ring_angle": "unknown"}], "repeat": [{"count": 3, "step": [20, 0]}]}]}`))
	var rings []float64
	for _, p := range laid(t, f.Draw(5)).Pieces {
		assert.False(t, p.RingUnknown)
		rings = append(rings, p.RingAngle)
	}
	slices.Sort(rings)
	assert.Len(t, slices.Compact(rings), 3)
}
