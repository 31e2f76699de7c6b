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

// bisect sorts items by the middles of their boxes along the direction that
// cuts them best and returns how many go to the first half. Cuts that no box
// straddles come first; among those, cuts near the middle of the row of
// columns, at a multiple of a power of two when aligned is set: a pattern that
// repeats with period 2, 4, 8... is then cut at the same place in each copy.
func bisect(items []int32, boxes []box, aligned bool) int {
	whole := emptyBox()
	for _, i := range items {
		whole.join(boxes[i])
	}
	best, bestAxis, bestCross := 0, -1, math.MaxInt
	for _, a := range whole.axes() {
		at, cross := cutAlong(items, boxes, a, &whole, aligned)
		if at > 0 && cross < bestCross {
			best, bestAxis, bestCross = at, a, cross
		}
		if bestCross == 0 {
			break
		}
	}
	if bestAxis < 0 { // all middles coincide: halve the list as it stands
		return len(items) / 2
	}
	sortAlong(items, boxes, bestAxis, &whole)
	return best
}

// sortAlong orders by middle, and keeps the given order among equal middles.
func sortAlong(items []int32, boxes []box, a int, whole *box) {
	slack := 1e-7 * (whole.hi[a] - whole.lo[a])
	slices.SortStableFunc(items, func(x, y int32) int {
		return cmp.Compare(math.Round((boxes[x].middle(a)-whole.lo[a])/slack/16), math.Round((boxes[y].middle(a)-whole.lo[a])/slack/16))
	})
}

// cutAlong finds the best cut across one direction: the number of items before
// it, and how many boxes straddle it. 0 items: there is no cut.
func cutAlong(items []int32, boxes []box, a int, whole *box, aligned bool) (int, int) {
	sorted := slices.Clone(items)
	sortAlong(sorted, boxes, a, whole)
	length := whole.hi[a] - whole.lo[a]
	slack := 1e-6 * length
	if !(length > 0) {
		return 0, 0
	}
	n := len(sorted)
	// reach[i]: how far the first i items go; start[i]: where the rest begins.
	reach, start := make([]float64, n+1), make([]float64, n+1)
	reach[0], start[n] = math.Inf(-1), math.Inf(1)
	for i, s := range sorted {
		reach[i+1] = max(reach[i], boxes[s].hi[a])
	}
	for i := n - 1; i >= 0; i-- {
		start[i] = min(start[i+1], boxes[sorted[i]].lo[a])
	}
	var clean []int
	for i := 1; i < n; i++ {
		if reach[i] <= start[i]+slack {
			clean = append(clean, i)
		}
	}
	if len(clean) > 0 {
		columns := len(clean) + 1
		k := columns / 2
		if aligned {
			k = alignedHalf(columns)
		}
		at := clean[k-1]
		if 5*at >= n && 5*at <= 4*n {
			return at, 0
		}
		// very uneven columns: the clean cut nearest to half of the items
		at = nearest(clean, n/2)
		if 8*at >= n && 8*at <= 7*n {
			return at, 0
		}
	}
	var gaps []int
	for i := 1; i < n; i++ {
		if boxes[sorted[i]].middle(a)-boxes[sorted[i-1]].middle(a) > slack {
			gaps = append(gaps, i)
		}
	}
	if len(gaps) == 0 {
		return 0, 0
	}
	best, least := 0, math.MaxInt
	for _, g := range gaps {
		if n >= 8 && (4*g < n || 4*g > 3*n) && len(gaps) > 3 {
			continue
		}
		if c := straddling(sorted, boxes, a, g, reach[g], start[g], slack); c < least || (c == least && abs(2*g-n) < abs(2*best-n)) {
			best, least = g, c
		}
	}
	if best == 0 {
		best = nearest(gaps, n/2)
		least = straddling(sorted, boxes, a, best, reach[best], start[best], slack)
	}
	return best, least
}

// straddling counts the boxes on either side of a cut that overlap the other side.
func straddling(sorted []int32, boxes []box, a, g int, reach, start, slack float64) int {
	c := 0
	for i, s := range sorted {
		if i < g && boxes[s].hi[a] > start+slack || i >= g && boxes[s].lo[a] < reach-slack {
			c++
		}
	}
	return c
}

// alignedHalf is the multiple of a power of two nearest to half of n, the power
// being about a quarter of n.
func alignedHalf(n int) int {
	q := 1
	for 4*q <= n {
		q *= 2
	}
	k := (n/2 + q/2) / q * q
	if k <= 0 || k >= n {
		k = n / 2
	}
	return k
}

func nearest(sorted []int, want int) int {
	best := sorted[0]
	for _, v := range sorted {
		if abs(v-want) < abs(best-want) {
			best = v
		}
	}
	return best
}

func abs(x int) int { return max(x, -x) }
