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
	period *period

	met   *meetings
	onCut []int32 // nodes on the cut before each item, as differences
	right []bool  // items that go to the second half
	aside []int32
}

// meetings notes by node where it was met last in the list at hand. Cutters that
// work one after the other share it.
type meetings struct {
	last []meeting
	now  int32
}

type meeting struct{ epoch, at int32 }

func newMeetings(nodes int) *meetings { return &meetings{last: make([]meeting, nodes)} }

// part is a list of items, once in the order of each direction: by middle, items
// with the same middle as they were given.
type part struct{ by [2][]int32 }

// all is the part of all items. Middles closer than rounding can tell apart
// count as the same.
func (c *cutter) all() part {
	whole := emptyBox()
	for i := range c.boxes {
		whole.join(c.boxes[i])
	}
	var p part
	rank := make([]int32, len(c.boxes))
	for a := range 2 {
		list := make([]int32, len(c.boxes))
		for i := range list {
			list[i] = int32(i)
		}
		slices.SortFunc(list, func(x, y int32) int { return cmp.Compare(c.boxes[x].middle(a), c.boxes[y].middle(a)) })
		same := 1e-7 * (whole.hi[a] - whole.lo[a])
		for k, i := range list {
			rank[i] = 0
			if k > 0 {
				rank[i] = rank[list[k-1]]
				if c.boxes[i].middle(a)-c.boxes[list[k-1]].middle(a) > same {
					rank[i]++
				}
			}
		}
		slices.SortFunc(list, func(x, y int32) int {
			return cmp.Or(cmp.Compare(rank[x], rank[y]), cmp.Compare(x, y))
		})
		p.by[a] = list
	}
	c.right = make([]bool, len(c.boxes))
	return p
}

// A cut is worth its nodes, times these factors.
const (
	unevenness = 1.5 // times the square of how uneven the halves are, plus 1
	outOfStep  = 2.0 // when it is out of step with the period of the board
)

// halve cuts a part where it is cheapest. All that counts is the list itself,
// not what lies round it: congruent lists are cut alike.
func (c *cutter) halve(p part) (part, part) {
	whole := emptyBox()
	for _, i := range p.by[0] {
		whole.join(c.boxes[i])
	}
	best, bestAxis, least, place := 0, -1, math.Inf(1), 0.0
	for _, a := range whole.axes() {
		if bestAxis >= 0 && whole.hi[a]-whole.lo[a] < 0.75*(whole.hi[1-a]-whole.lo[1-a]) {
			break // a cut the long way is hardly ever the shorter one
		}
		at, cost, where := c.along(p.by[a], a, whole.hi[a]-whole.lo[a])
		if at > 0 && cost < least*(1-1e-9) {
			best, bestAxis, least, place = at, a, cost, where
		}
	}
	if bestAxis < 0 { // all middles coincide: halve the list as it stands
		best, bestAxis = len(p.by[0])/2, 0
	} else {
		c.period.start(bestAxis, place)
	}
	return c.divide(p, bestAxis, best)
}

// divide puts the first n items by direction a into one part and the rest into
// another, each in both orders.
func (c *cutter) divide(p part, a, n int) (left, right part) {
	left.by[a], right.by[a] = p.by[a][:n], p.by[a][n:]
	for _, i := range right.by[a] {
		c.right[i] = true
	}
	other, aside := p.by[1-a], c.aside[:0]
	k := 0
	for _, i := range other {
		if c.right[i] {
			aside = append(aside, i)
			c.right[i] = false
		} else {
			other[k] = i
			k++
		}
	}
	copy(other[k:], aside)
	c.aside = aside
	left.by[1-a], right.by[1-a] = other[:k], other[k:]
	return left, right
}

// along finds the best cut across one direction: the items before it, its cost
// and its place. 0 items: there is no cut.
func (c *cutter) along(sorted []int32, a int, length float64) (at int, cost, place float64) {
	total := c.count(sorted)
	cost = math.Inf(1)
	before, onCut, last := 0, int32(0), 0.0
	for g, i := range sorted {
		onCut += c.onCut[g]
		m := c.boxes[i].middle(a)
		if g > 0 && m-last > 1e-4*length {
			uneven := math.Abs(2*float64(before)/float64(total) - 1)
			if uneven < 0.7 || math.IsInf(cost, 1) {
				v := (float64(onCut) + 1) * (1 + unevenness*uneven*uneven)
				if !c.period.inStep(a, (m+last)/2) {
					v *= outOfStep
				}
				if v < cost*(1-1e-9) {
					at, cost, place = g, v, (m+last)/2
				}
			}
		}
		last = m
		before += c.weight[i]
	}
	return at, cost, place
}

// count fills onCut, as differences from one cut to the next, and returns the
// weight of all items: a node is on every cut between its first and last item.
func (c *cutter) count(sorted []int32) int {
	c.onCut = slices.Grow(c.onCut[:0], len(sorted)+1)[:len(sorted)+1]
	clear(c.onCut)
	c.met.now++
	now, met := c.met.now, c.met.last
	total := 0
	for g, i := range sorted {
		total += c.weight[i]
		for _, n := range c.nodes[i] {
			if met[n].epoch == now {
				c.onCut[met[n].at+1]++
				c.onCut[g+1]--
			}
			met[n] = meeting{now, int32(g)}
		}
	}
	return total
}
