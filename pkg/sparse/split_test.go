package sparse

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// cells lays out cols×rows boxes with a border of another width and kind.
func cells(cols, rows int, border float64, kind func(c, r int) uint64) ([]box, []uint64) {
	var boxes []box
	var kinds []uint64
	for r := range rows {
		for c := range cols {
			lo := [2]float64{border + 40*float64(c), border + 30*float64(r)}
			boxes = append(boxes, box{lo, [2]float64{lo[0] + 40, lo[1] + 30}})
			kinds = append(kinds, kind(c, r))
		}
	}
	if border > 0 {
		w, h := 2*border+40*float64(cols), 2*border+30*float64(rows)
		for i, b := range []box{
			{[2]float64{0, 0}, [2]float64{border, h}}, {[2]float64{w - border, 0}, [2]float64{w, h}},
			{[2]float64{border, 0}, [2]float64{w - border, border}}, {[2]float64{border, h - border}, [2]float64{w - border, h}},
		} {
			boxes, kinds = append(boxes, b), append(kinds, uint64(100+i))
		}
	}
	return boxes, kinds
}

func TestRhythmIsFound(t *testing.T) {
	for _, border := range []float64{0, 23} {
		for _, period := range [][2]int{{1, 1}, {2, 1}, {4, 2}, {3, 5}} {
			boxes, kinds := cells(16, 14, border, func(c, r int) uint64 {
				return uint64(c%period[0] + 7*(r%period[1]))
			})
			beat := findRhythm(boxes, kinds)
			assert.InDelta(t, 40*float64(period[0]), beat.every[0], 1e-9, "border %g, period %v", border, period)
			assert.InDelta(t, 30*float64(period[1]), beat.every[1], 1e-9, "border %g, period %v", border, period)
		}
	}
}

func TestNoRhythmInDisorder(t *testing.T) {
	rng := random(3)
	boxes, kinds := cells(16, 12, 0, func(c, r int) uint64 { return rng.Uint64N(8) })
	assert.Equal(t, [2]float64{}, findRhythm(boxes, kinds).every)
}

// Cuts fall between columns, in step with the rhythm, and a cut along the
// shorter direction is taken only when the longer one cannot be cut clean.
func TestBisect(t *testing.T) {
	boxes, kinds := cells(12, 4, 0, func(c, r int) uint64 { return uint64(c % 4) })
	items := func() []int32 {
		all := make([]int32, len(boxes))
		for i := range all {
			all[i] = int32(i)
		}
		return all
	}
	got := items()
	assert.Equal(t, 6*4, bisect(got, boxes, nil))
	for _, i := range got[:24] {
		assert.Less(t, boxes[i].hi[0], 240.1)
	}
	at := bisect(items(), boxes, findRhythm(boxes, kinds))
	assert.Contains(t, []int{4 * 4, 8 * 4}, at)

	// a brick pattern has no clean cut across its courses: 3 by 4 bricks are cut
	// between two courses, 10 by 4 across
	var bricks []box
	for r := range 4 {
		for c := range 3 {
			lo := [2]float64{40*float64(c) + 20*float64(r%2), 30 * float64(r)}
			bricks = append(bricks, box{lo, [2]float64{lo[0] + 40, lo[1] + 30}})
		}
	}
	got = items()[:12]
	assert.Equal(t, 6, bisect(got, bricks, nil))
	for _, i := range got[:6] {
		assert.Less(t, bricks[i].hi[1], 60.1)
	}
	for r := range 4 {
		for c := 3; c < 10; c++ {
			lo := [2]float64{40*float64(c) + 20*float64(r%2), 30 * float64(r)}
			bricks = append(bricks, box{lo, [2]float64{lo[0] + 40, lo[1] + 30}})
		}
	}
	got = items()[:40]
	at = bisect(got, bricks, nil)
	assert.InDelta(t, 20, at, 2)
	for _, i := range got[:at] {
		assert.Less(t, bricks[i].middle(0), 210.1)
	}
	same := []box{bricks[0], bricks[0], bricks[0]}
	assert.Equal(t, 1, bisect([]int32{0, 1, 2}, same, nil))
}
