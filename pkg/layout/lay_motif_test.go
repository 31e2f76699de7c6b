package layout

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A copy's rings, fibres and pith lie where the copy's outline does: two of the
// triangle's sides, as they come to lie, carry them along as a second opinion.
func TestCopiesCarryTheirWood(t *testing.T) {
	triangle := []XY{{0, 0}, {20, 0}, {20, 30}}
	_, centre := areaAndCentre(triangle)
	long := Grain{Angle: 0}
	pith := &XY{9, -25}
	told, _ := ringFromPith(pith, false)
	for _, a := range []Again{
		{Count: 3, Step: [2]Length{60, 5}, Turn: 90, About: &[2]Length{10, 12}},
		{Count: 4, Step: [2]Length{60, 0}, Turn: -35},
		{Count: 2, Step: [2]Length{70, 0}, Mirror: "left-right"},
		{Count: 3, Step: [2]Length{70, 0}, Turn: 20, Mirror: "upside-down", About: &[2]Length{3, 4}},
	} {
		r := &layer{file: &File{}, limits: Limits{}.orDefault(), scale: 1}
		copies, ok := (&outlined{layer: r}).copies("", &a)
		require.True(t, ok)
		require.Len(t, copies, a.Count)
		for k, c := range copies {
			p := c.piece(Piece{Grain: Grain{Up: true}, RingAngle: 17, Pith: &XY{7, -40}, Outline: triangle})
			o, u, v := cornersOf(t, p.Outline)
			want := XY{o[0] + u[0]*(20-7)/20 + v[0]*-40/30, o[1] + u[1]*(20-7)/20 + v[1]*-40/30}
			assert.InDelta(t, want[0], p.Pith[0], 1e-9)
			assert.InDelta(t, want[1], p.Pith[1], 1e-9)
			s, cs := math.Sincos(17 * math.Pi / 180)
			axis := XY{-cs*u[0]/20 + s*v[0]/30, -cs*u[1]/20 + s*v[1]/30}
			s, cs = math.Sincos(p.RingAngle * math.Pi / 180)
			assert.InDelta(t, 0, axis[0]*s-axis[1]*cs, 1e-9)
			area, _ := areaAndCentre(p.Outline)
			assert.InDelta(t, 300, area, 1e-9, "counter-clockwise")
			if k == 0 {
				assert.Equal(t, triangle, p.Outline, "the motif itself")
			}

			q := c.piece(Piece{Grain: long, RingAngle: told, Pith: absolute(pith, long, centre), Outline: triangle})
			s, cs = math.Sincos(q.Grain.Angle * math.Pi / 180)
			assert.InDelta(t, 0, cs*u[1]-s*u[0], 1e-9, "fibres run along the short side")
			_, is := areaAndCentre(q.Outline)
			rel := XY{q.Pith[0] - dot(is, acrossFibres(q.Grain.Angle)), q.Pith[1]}
			ring, _ := ringFromPith(&rel, false)
			assert.InDelta(t, 0, math.Remainder(ring-told, 180), 1e-9, "told from the face, it is an axis")
			assert.InDelta(t, math.Hypot(9, 25), math.Hypot(rel[0], rel[1]), 1e-9)
			if turned := (a.Mirror != "") && k%2 == 1; turned {
				assert.InDelta(t, 25, rel[1], 1e-9, "turned over, the pith is above")
			} else {
				assert.InDelta(t, -25, rel[1], 1e-9)
			}
		}
	}
}

// cornersOf gives the right-angled corner of the triangle, the way to the corner 20 mm
// away and to the one 30 mm away.
func cornersOf(t *testing.T, of []XY) (o, u, v XY) {
	for i, p := range of {
		a, b := sub(of[(i+1)%3], p), sub(of[(i+2)%3], p)
		da, db := math.Hypot(a[0], a[1]), math.Hypot(b[0], b[1])
		switch {
		case math.Abs(da-20) < 1e-6 && math.Abs(db-30) < 1e-6:
			return p, a, b
		case math.Abs(da-30) < 1e-6 && math.Abs(db-20) < 1e-6:
			return p, b, a
		}
	}
	require.Fail(t, "no such triangle")
	return o, u, v
}
