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

func TestPeriodIsFound(t *testing.T) {
	for _, border := range []float64{0, 23} {
		for _, period := range [][2]int{{1, 1}, {2, 1}, {4, 2}, {3, 5}} {
			boxes, kinds := cells(16, 14, border, func(c, r int) uint64 {
				return uint64(c%period[0] + 7*(r%period[1]))
			})
			found := findPeriod(boxes, kinds)
			assert.InDelta(t, 40*float64(period[0]), found.every[0], 1e-9, "border %g, period %v", border, period)
			assert.InDelta(t, 30*float64(period[1]), found.every[1], 1e-9, "border %g, period %v", border, period)
		}
	}
}

func TestNoRhythmInDisorder(t *testing.T) {
	rng := random(3)
	boxes, kinds := cells(16, 12, 0, func(c, r int) uint64 { return rng.Uint64N(8) })
	assert.Equal(t, [2]float64{}, findPeriod(boxes, kinds).every)
}

// lattice gives each box the nodes of a fine lattice that lie in it, edges
// included.
func lattice(boxes []box, step float64) *cutter {
	ids := map[[2]int]int32{}
	c := &cutter{boxes: boxes}
	for g, b := range boxes {
		var nodes []int32
		for x := b.lo[0]; x < b.hi[0]+step/2; x += step {
			for y := b.lo[1]; y < b.hi[1]+step/2; y += step {
				key := [2]int{int(x/step + 0.5), int(y/step + 0.5)}
				if _, ok := ids[key]; !ok {
					ids[key] = int32(len(ids))
				}
				nodes = append(nodes, ids[key])
			}
		}
		c.nodes = append(c.nodes, nodes)
		c.weight = append(c.weight, 1)
		c.group = append(c.group, int32(g))
	}
	c.met = newMeetings(len(ids))
	return c
}

func TestHalve(t *testing.T) {
	boxes, _ := cells(12, 4, 0, func(c, r int) uint64 { return 0 })
	c := lattice(boxes, 10)
	left, right := c.halve(c.all())
	for a := range 2 {
		assert.Len(t, left.by[a], 24)
		assert.Len(t, right.by[a], 24)
		assert.ElementsMatch(t, left.by[0], left.by[a])
		for k, i := range left.by[a] {
			assert.Less(t, boxes[i].hi[0], 240.1)
			if k > 0 {
				assert.GreaterOrEqual(t, boxes[i].lo[a], boxes[left.by[a][k-1]].lo[a])
			}
		}
	}

	// a second cut keeps in step with the first: 6 columns of period 4 are cut
	// two from one end, not in halves
	c.period = &period{every: [2]float64{160, 0}}
	left, _ = c.halve(c.all())
	assert.Len(t, left.by[0], 24)
	left, _ = c.halve(left)
	assert.Contains(t, []int{2 * 4, 4 * 4}, len(left.by[0]))

	// 3 by 4 bricks are cut between two courses, 10 by 4 across
	for _, n := range []int{3, 10} {
		var bricks []box
		for r := range 4 {
			for k := range n {
				lo := [2]float64{40*float64(k) + 20*float64(r%2), 30 * float64(r)}
				bricks = append(bricks, box{lo, [2]float64{lo[0] + 40, lo[1] + 30}})
			}
		}
		c := lattice(bricks, 10)
		left, _ := c.halve(c.all())
		assert.InDelta(t, 2*n, len(left.by[0]), 2)
		for _, i := range left.by[0] {
			if n == 3 {
				assert.Less(t, bricks[i].hi[1], 60.1)
			} else {
				assert.Less(t, bricks[i].middle(0), 230.1)
			}
		}
	}
	same := lattice([]box{boxes[0], boxes[0], boxes[0]}, 10)
	left, right = same.halve(same.all())
	assert.Len(t, left.by[1], 1)
	assert.Len(t, right.by[1], 2)
}

// A cut goes where few nodes lie, within reason.
func TestCutsGoWhereNodesAreFew(t *testing.T) {
	boxes, _ := cells(8, 1, 0, func(c, r int) uint64 { return 0 })
	c := lattice(boxes, 10)
	kept := c.nodes[5][:0] // columns 0 to 4 meet columns 5 to 7 in one node only
	for n, x := range c.nodes[5] {
		if n >= 4 || n == 0 {
			kept = append(kept, x)
		}
	}
	c.nodes[5] = kept
	left, _ := c.halve(c.all())
	assert.Len(t, left.by[0], 5)
}
