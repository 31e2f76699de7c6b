package layout_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// slicesOf builds two slices of strips M (30 wide, pith up and to the right of
// its centre) and W (10 wide, rings at 25°), the second one turned.
func slicesOf(t *testing.T, turn string) *layout.Board {
	return read(t, file(`"stock": {"M": {"species": "sugar-maple", "pith": [6, 50], "moisture": 8},
		"W": {"species": "black-walnut", "ring_angle": 25, "moisture": 8}}`,
		`"field": {"slices": {"strips": [["M", 30], ["W", 10]], "height": 20, "count": 2, "turn": "`+turn+`"}}`))
}

// TestSlicesTurnedByHand follows one slice through each turn with a pencil: the
// M strip's pith lies at (6, 50) from its centre, W's rings stand at 25°.
func TestSlicesTurnedByHand(t *testing.T) {
	for turn, want := range map[string]struct {
		order string
		mBox  []layout.XY
		pith  layout.XY // absolute: centre of M in row 2 plus the turned offset
		wRing float64
	}{
		"none":        {"MW", rect(0, 0, 30, 20), layout.XY{15 + 6, 10 + 50}, 25},
		"end-for-end": {"WM", rect(10, 0, 40, 20), layout.XY{25 - 6, 10 - 50}, 25},
		"over":        {"MW", rect(0, 0, 30, 20), layout.XY{15 + 6, 10 - 50}, -25},
		"both":        {"WM", rect(10, 0, 40, 20), layout.XY{25 - 6, 10 + 50}, -25},
	} {
		t.Run(turn, func(t *testing.T) {
			b := slicesOf(t, turn)
			require.Len(t, b.Pieces, 4)
			first, _ := piece(t, b, "r1c1"), piece(t, b, "r1c2")
			assert.Equal(t, "M", first.Stock, "row 1 is the top slice and is never turned")
			near(t, rect(0, 20, 30, 40), first.Outline)
			assert.Equal(t, layout.XY{21, 80}, *first.Pith)
			order := piece(t, b, "r2c1").Stock + piece(t, b, "r2c2").Stock
			require.Equal(t, want.order, order)
			m, w := piece(t, b, "r2c1"), piece(t, b, "r2c2")
			if order == "WM" {
				m, w = w, m
			}
			near(t, want.mBox, m.Outline)
			assert.InDelta(t, want.pith[0], m.Pith[0], rounding)
			assert.InDelta(t, want.pith[1], m.Pith[1], rounding)
			assert.InDelta(t, want.wRing, w.RingAngle, rounding)
			assert.Nil(t, w.Pith)
			// A pith's ring angle points from the pith to the centre.
			dir := math.Atan2(m.Centre[1]-m.Pith[1], m.Centre[0]-m.Pith[0]) * 180 / math.Pi
			assert.InDelta(t, dir, m.RingAngle, 1e-9)
		})
	}
}

// TestTurnsAreHalfTurnsOfTheSlice turns the points of a slice in space, as a
// hand would, and compares: nothing of the reader is used but its result.
func TestTurnsAreHalfTurnsOfTheSlice(t *testing.T) {
	type space [3]float64
	for turn, rotate := range map[string]func(space) space{
		"none":        func(p space) space { return p },
		"end-for-end": func(p space) space { return space{-p[0], -p[1], p[2]} }, // about the vertical
		"over":        func(p space) space { return space{p[0], -p[1], -p[2]} }, // about the long edge, x
		"both":        func(p space) space { return space{-p[0], p[1], -p[2]} }, // one after the other
	} {
		b := slicesOf(t, turn)
		mid1, mid2 := space{20, 30, 0}, space{20, 10, 0} // middles of slices 1 and 2 (40 wide, 20 high)
		for _, p := range b.Pieces {
			if p.Row != 0 {
				continue
			}
			move := func(x, y float64) layout.XY {
				q := rotate(space{x - mid1[0], y - mid1[1], 0})
				return layout.XY{q[0] + mid2[0], q[1] + mid2[1]}
			}
			c := move(p.Centre[0], p.Centre[1])
			found := false
			for _, q := range b.Pieces {
				if q.Row == 1 && math.Hypot(q.Centre[0]-c[0], q.Centre[1]-c[1]) < rounding {
					found = true
					assert.Equal(t, p.Stock, q.Stock, turn)
					s, k := math.Sincos(p.RingAngle * math.Pi / 180)
					r := rotate(space{k, s, 0})
					want := math.Atan2(r[1], r[0]) * 180 / math.Pi
					assert.InDelta(t, 0, math.Remainder(want-q.RingAngle, 180), 1e-9, fmt.Sprint(turn, p.ID))
					if p.Pith != nil {
						near(t, []layout.XY{move(p.Pith[0], p.Pith[1])}, []layout.XY{*q.Pith})
					}
				}
			}
			assert.True(t, found, "%s: nothing where %s went", turn, p.ID)
		}
	}
}

// A slice turned end for end is as long as the others, and without gaps, also where
// the panel has an odd number of strips and its middle one is off the middle.
func TestTurnedSlicesOfUnevenPanelsAreWhole(t *testing.T) {
	f := &layout.File{Units: "mm", Thickness: 30, Stock: map[string]layout.Material{"M": {Species: "sugar-maple", Ring: layout.RingAt(30)}},
		Field: layout.Field{Slices: &layout.Slices{Strips: []layout.Strip{{Stock: "M", Width: 42}, {Stock: "M", Width: 18}, {Stock: "M", Width: 12}}, Height: 30, Count: 2, Turn: "end-for-end"}}}
	b, faults := f.Board()
	require.Empty(t, faults)
	assert.InDelta(t, 72, b.Width, 1e-9)
	between := 0.0
	for _, j := range b.Joints {
		if b.Pieces[j.A].Row != b.Pieces[j.B].Row {
			between += j.Length
		}
	}
	assert.InDelta(t, 72, between, 1e-6)
}
