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

// rhythm is the distance in each direction at which the groups of a board repeat
// themselves, 0 for none. Cutting at multiples of it puts the same parts of the
// pattern into clusters again and again.
type rhythm struct{ origin, every [2]float64 }

// bisect sorts items by the middles of their boxes along the direction in which
// the cut is shortest and returns how many go to the first half. Along one
// direction, cuts that no box straddles come first; among those, cuts in step
// with the rhythm; among those, the one nearest to half of the columns.
func bisect(items []int32, boxes []box, beat *rhythm) int {
	whole := emptyBox()
	for _, i := range items {
		whole.join(boxes[i])
	}
	best, bestAxis, least := 0, -1, math.Inf(1)
	for _, a := range whole.axes() {
		at, cross := cutAlong(items, boxes, a, &whole, beat)
		length := whole.hi[1-a] - whole.lo[1-a]
		if cross > 0 {
			length *= 1.5 // a cut round the boxes that straddle it is no straight line
		}
		if at > 0 && length < least*(1-1e-6) {
			best, bestAxis, least = at, a, length
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
func cutAlong(items []int32, boxes []box, a int, whole *box, beat *rhythm) (int, int) {
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
		middle := clean[(len(clean)+1)/2-1]
		if inStep := beat.inStep(clean, start, a, slack); len(inStep) > 0 {
			if at := nearest(inStep, middle); 5*at >= n && 5*at <= 4*n {
				return at, 0
			}
		}
		if 5*middle >= n && 5*middle <= 4*n {
			return middle, 0
		}
		// very uneven columns: the clean cut nearest to half of the items
		if at := nearest(clean, n/2); 8*at >= n && 8*at <= 7*n {
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
	gaps = thin(gaps, n)
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

// thin keeps at most 64 of many cuts, spread over the middle half: counting what
// each one straddles takes time.
func thin(cuts []int, n int) []int {
	const most = 64
	if len(cuts) <= 2*most {
		return cuts
	}
	var kept []int
	for i := range most {
		kept = append(kept, nearest(cuts, n/4+i*(n/2)/most))
	}
	return slices.Compact(kept)
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

// inStep keeps the cuts whose place is a whole number of repeats from the origin.
func (r *rhythm) inStep(cuts []int, place []float64, a int, slack float64) []int {
	if r == nil || r.every[a] == 0 {
		return nil
	}
	var kept []int
	for _, c := range cuts {
		t := (place[c] - r.origin[a]) / r.every[a]
		if math.Abs(t-math.Round(t))*r.every[a] <= 4*slack+1e-6*r.every[a] {
			kept = append(kept, c)
		}
	}
	return kept
}

// findRhythm looks for the smallest shift along each direction that carries
// most groups onto groups of the same kind.
func findRhythm(boxes []box, kinds []uint64) *rhythm {
	whole := emptyBox()
	for i := range boxes {
		whole.join(boxes[i])
	}
	beat := &rhythm{origin: whole.lo}
	if len(boxes) < 8 {
		return beat
	}
	size := max(whole.hi[0]-whole.lo[0], whole.hi[1]-whole.lo[1])
	grain := 1e-5 * size
	type spot struct{ x, y int64 }
	at := make(map[spot]uint64, len(boxes))
	spotOf := func(x, y float64) spot {
		return spot{int64(math.Round((x - whole.lo[0]) / grain)), int64(math.Round((y - whole.lo[1]) / grain))}
	}
	for i := range boxes {
		at[spotOf(boxes[i].middle(0), boxes[i].middle(1))] = kinds[i]
	}
	for a := range 2 {
		for _, shift := range shifts(boxes, a, &whole, grain) {
			met, missed, allowed := 0, 0, len(boxes)/4
			for i := range boxes {
				c := [2]float64{boxes[i].middle(0), boxes[i].middle(1)}
				c[a] += shift
				if c[a] > whole.hi[a] {
					continue
				}
				kind, ok := at[spotOf(c[0], c[1])]
				if ok && kind == kinds[i] {
					met++
				} else if missed++; missed > allowed {
					break
				}
			}
			if missed <= allowed && met > 3*missed {
				beat.every[a] = shift
				beat.origin[a] = boxes[0].lo[a]
				break
			}
		}
	}
	return beat
}

// shifts lists the distances from the group in the middle of the board to the
// nearest ones straight ahead of it along a.
func shifts(boxes []box, a int, whole *box, grain float64) []float64 {
	away := func(i int) float64 {
		return math.Hypot(boxes[i].middle(0)-whole.middle(0), boxes[i].middle(1)-whole.middle(1))
	}
	centre := 0
	for i := range boxes {
		if away(i) < away(centre)-grain {
			centre = i
		}
	}
	var ahead []float64
	for i := range boxes {
		d := boxes[i].middle(a) - boxes[centre].middle(a)
		if d > grain && math.Abs(boxes[i].middle(1-a)-boxes[centre].middle(1-a)) <= grain {
			ahead = append(ahead, d)
		}
	}
	slices.Sort(ahead)
	return ahead[:min(len(ahead), 16)]
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
