package sparse

import (
	"cmp"
	"math"
	"slices"
)

// box is the extent of something in the plane.
type box struct{ lo, hi [2]float64 }

func emptyBox() box {
	inf := math.Inf(1)
	return box{[2]float64{inf, inf}, [2]float64{-inf, -inf}}
}

func (b *box) include(c [2]float64) {
	for a, v := range c {
		if v < b.lo[a] {
			b.lo[a] = v
		}
		if v > b.hi[a] {
			b.hi[a] = v
		}
	}
}

func (b *box) join(o box) { b.include(o.lo); b.include(o.hi) }

func (b *box) middle(a int) float64 { return (b.lo[a] + b.hi[a]) / 2 }

// axes gives the longer direction first. Nearly square counts as square, so
// that round-off never makes congruent parts split differently.
func (b *box) axes() [2]int {
	if b.hi[1]-b.lo[1] > (b.hi[0]-b.lo[0])*(1+1e-6) {
		return [2]int{1, 0}
	}
	return [2]int{0, 1}
}

// cutter halves lists of items: elements, or fragments of groups. It knows the
// nodes of each item, so it knows how many nodes each cut has on it.
type cutter struct {
	boxes  []box
	nodes  [][]int32 // of each item
	weight []int     // elements in each item
	group  []int32   // of each item; nil when all are of one
	beat   *rhythm

	met   *meetings
	onCut []int32 // nodes on the cut before each item, as differences
}

// meetings notes by node where it was met last in the list at hand. Cutters that
// work one after the other share it.
type meetings struct {
	at, epoch []int32
	now       int32
}

func newMeetings(nodes int) *meetings {
	return &meetings{at: make([]int32, nodes), epoch: make([]int32, nodes)}
}

// A cut is worth its nodes, times these factors.
const (
	unevenness = 1.5  // times the square of how uneven the halves are, plus 1
	throughOne = 1.15 // when it goes through a group: whole groups recur more often
	outOfStep  = 2.0  // when it is out of step with the rhythm of the board
)

// halve sorts items along the direction of the best cut and returns how many
// come before it. All that counts is the list itself, not what lies round it:
// congruent lists are cut alike.
func (c *cutter) halve(items []int32) int {
	whole := emptyBox()
	for _, i := range items {
		whole.join(c.boxes[i])
	}
	best, bestAxis, least, place := 0, -1, math.Inf(1), 0.0
	for _, a := range whole.axes() {
		if bestAxis >= 0 && whole.hi[a]-whole.lo[a] < 0.4*(whole.hi[1-a]-whole.lo[1-a]) {
			break // a cut along a strip is never the shorter one
		}
		at, cost, where := c.along(items, a, &whole)
		if at > 0 && cost < least*(1-1e-9) {
			best, bestAxis, least, place = at, a, cost, where
		}
	}
	if bestAxis < 0 { // all middles coincide: halve the list as it stands
		return len(items) / 2
	}
	c.beat.start(bestAxis, place)
	sortAlong(items, c.boxes, bestAxis, &whole)
	return best
}

// sortAlong orders by middle, and keeps the given order among equal middles.
func sortAlong(items []int32, boxes []box, a int, whole *box) {
	grain := 1e-5 * (whole.hi[a] - whole.lo[a])
	slices.SortStableFunc(items, func(x, y int32) int {
		return cmp.Compare(math.Round((boxes[x].middle(a)-whole.lo[a])/grain), math.Round((boxes[y].middle(a)-whole.lo[a])/grain))
	})
}

// along finds the best cut across one direction: the items before it, its cost
// and its place. 0 items: there is no cut.
func (c *cutter) along(items []int32, a int, whole *box) (at int, cost, place float64) {
	length := whole.hi[a] - whole.lo[a]
	if !(length > 0) {
		return 0, 0, 0
	}
	sorted := slices.Clone(items)
	sortAlong(sorted, c.boxes, a, whole)
	total := c.count(sorted)
	cost = math.Inf(1)
	before, onCut := 0, int32(0)
	for g, i := range sorted {
		onCut += c.onCut[g]
		m := c.boxes[i].middle(a)
		if g > 0 {
			last := c.boxes[sorted[g-1]].middle(a)
			uneven := math.Abs(2*float64(before)/float64(total) - 1)
			if m-last > 1e-4*length && (uneven < 0.7 || math.IsInf(cost, 1)) {
				v := (float64(onCut) + 1) * (1 + unevenness*uneven*uneven)
				if c.group != nil && c.group[i] == c.group[sorted[g-1]] {
					v *= throughOne
				}
				if !c.beat.inStep(a, (m+last)/2) {
					v *= outOfStep
				}
				if v < cost*(1-1e-9) {
					at, cost, place = g, v, (m+last)/2
				}
			}
		}
		before += c.weight[i]
	}
	return at, cost, place
}

// count fills onCut, as differences from one cut to the next, and returns the
// weight of all items: a node is on every cut between its first and last item.
func (c *cutter) count(sorted []int32) int {
	c.onCut = slices.Grow(c.onCut[:0], len(sorted)+1)[:len(sorted)+1]
	clear(c.onCut)
	met := c.met
	met.now++
	total := 0
	for g, i := range sorted {
		total += c.weight[i]
		for _, n := range c.nodes[i] {
			if met.epoch[n] == met.now {
				c.onCut[met.at[n]+1]++
				c.onCut[g+1]--
			}
			met.epoch[n] = met.now
			met.at[n] = int32(g)
		}
	}
	return total
}
