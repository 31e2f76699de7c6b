package sparse

import (
	"math"
	"slices"
)

// fragments divides the groups along a few lines across the whole board and
// returns the elements of each fragment and a cutter of them. The lines go where
// few nodes lie: along the edges of pieces, or through pieces where a mesh graded
// towards the edges has far fewer nodes inside.
func (b *planner) fragments() (*cutter, [][]int32) {
	groups := b.groups()
	boxes := make([]box, len(groups))
	kinds := make([]uint64, len(groups)) // alike for groups with alike elements
	middle := make([][2]float64, len(b.p.Elements))
	groupOf := make([]int32, len(b.p.Elements))
	for g, elements := range groups {
		boxes[g] = emptyBox()
		for _, e := range elements {
			kinds[g] = mix(kinds[g]^uint64(b.kinds[e]), 0x9e3779b97f4a7c15)
			extent := emptyBox()
			for _, n := range b.p.Elements[e].Nodes {
				extent.include(b.p.Coord[n])
			}
			boxes[g].join(extent)
			middle[e] = [2]float64{extent.middle(0), extent.middle(1)}
			groupOf[e] = int32(g)
		}
	}
	var lines [2][]float64
	for a := range 2 {
		b.heed()
		lines[a] = b.lines(a, boxes, middle, groupOf)
	}
	b.heed()
	c := &cutter{period: findPeriod(boxes, kinds), met: b.met}
	var fragments [][]int32
	var cells [][2]int // between which lines each fragment of the group lies
	for g, elements := range groups {
		b.heed()
		first := len(fragments)
		cells = cells[:0]
		for _, e := range elements {
			var at [2]int
			for a := range 2 {
				at[a], _ = slices.BinarySearch(lines[a], middle[e][a])
			}
			f := first + slices.Index(cells, at)
			if f < first {
				f = len(fragments)
				cells = append(cells, at)
				fragments = append(fragments, make([]int32, 0, min(len(elements), 32)))
				c.boxes = append(c.boxes, emptyBox())
				c.weight = append(c.weight, 0)
				c.group = append(c.group, int32(g))
			}
			fragments[f] = append(fragments[f], e)
			c.weight[f]++
			c.boxes[f].include(middle[e])
		}
	}
	b.outlines(c, fragments)
	return c, fragments
}

// throughPieces is how many times fewer nodes a line through pieces must have
// than one between them: whole pieces recur more often than parts.
const throughPieces = 1.15

// lines chooses places along direction a at which cuts may go: in each stretch as
// long as a common piece, the one with the fewest nodes on it.
func (b *planner) lines(a int, boxes []box, middle [][2]float64, groupOf []int32) []float64 {
	whole := emptyBox()
	widths := make([]float64, len(boxes))
	for g := range boxes {
		whole.join(boxes[g])
		widths[g] = boxes[g].hi[a] - boxes[g].lo[a]
	}
	slices.Sort(widths)
	pitch, length := widths[len(widths)/2], whole.hi[a]-whole.lo[a]
	if !(pitch > 1e-3*length) {
		return nil
	}
	sorted := sortedBy(middle, a, whole.lo[a], length)
	nodes, straddled := b.onLines(sorted, groupOf)
	same := 1e-6 * length
	var lines []float64
	least, stretch := math.Inf(1), -1
	for g := 1; g < len(sorted); g++ {
		last, next := middle[sorted[g-1]][a], middle[sorted[g]][a]
		if next-last <= same {
			continue
		}
		v := float64(nodes[g])
		if straddled[g] > 0 {
			v *= throughPieces
		}
		place := (last + next) / 2
		// stretches are centred on the edges of the first piece and its repeats
		s := int(math.Round((place - whole.lo[a]) / pitch))
		switch {
		case s != stretch:
			stretch, least = s, v
			lines = append(lines, place)
		case v < least:
			least = v
			lines[len(lines)-1] = place
		}
	}
	return lines
}

// sortedBy lists the elements by their middles, which lie between low and low
// plus length, to 1e-10 of the length.
func sortedBy(middle [][2]float64, a int, low, length float64) []int32 {
	keys := make([]uint64, len(middle))
	for e := range middle {
		keys[e] = uint64((middle[e][a]-low)/length*(1<<33))<<31 | uint64(e)
	}
	slices.Sort(keys)
	sorted := make([]int32, len(keys))
	for k, v := range keys {
		sorted[k] = int32(v & (1<<31 - 1))
	}
	return sorted
}

// onLines counts for each line before an element of the sorted list the nodes on
// it and the groups on both sides of it.
func (b *planner) onLines(sorted, groupOf []int32) (nodes, straddled []int32) {
	nodes, straddled = make([]int32, len(sorted)+1), make([]int32, len(sorted)+1)
	lastOf := make([]int32, len(sorted)) // by group, plus one
	b.met.now++
	now, met := b.met.now, b.met.last
	for k, e := range sorted {
		for _, n := range b.p.Elements[e].Nodes {
			if met[n].epoch == now {
				nodes[met[n].at+1]++
				nodes[k+1]--
			}
			met[n] = meeting{now, int32(k)}
		}
		g := groupOf[e]
		if l := lastOf[g]; l > 0 {
			straddled[l]++
			straddled[k+1]--
		}
		lastOf[g] = int32(k) + 1
	}
	for k := 1; k < len(nodes); k++ {
		nodes[k] += nodes[k-1]
		straddled[k] += straddled[k-1]
	}
	return nodes, straddled
}

// groups lists the elements of each group, groups as first met.
func (b *planner) groups() [][]int32 {
	index := map[int32]int32{}
	var groups [][]int32
	last, at := int32(0), int32(-1)
	for e := range b.p.Elements {
		g := b.p.Elements[e].Group
		if at < 0 || g != last {
			i, ok := index[g]
			if !ok {
				i = int32(len(groups))
				index[g] = i
				groups = append(groups, nil)
			}
			last, at = g, i
		}
		groups[at] = append(groups[at], int32(e))
	}
	return groups
}

// outlines gives the cutter the nodes of each fragment that another fragment
// touches as well: no other can lie on a cut.
func (b *planner) outlines(c *cutter, fragments [][]int32) {
	touch := make([]int32, len(b.p.Coord)) // fragment that met a node last, plus one; then -1 once a second has
	for f, elements := range fragments {
		for _, e := range elements {
			for _, n := range b.p.Elements[e].Nodes {
				if touch[n] == 0 {
					touch[n] = int32(f) + 1
				} else if touch[n] != int32(f)+1 {
					touch[n] = -1
				}
			}
		}
	}
	c.nodes = make([][]int32, len(fragments))
	shared := int32(0) // such nodes so far; they are numbered as met
	number := b.stamp
	for f, elements := range fragments {
		b.now++
		for _, e := range elements {
			for _, n := range b.p.Elements[e].Nodes {
				if touch[n] >= 0 || b.epoch[n] == b.now {
					continue
				}
				b.epoch[n] = b.now
				if touch[n] == -1 {
					touch[n] = -2
					number[n] = shared
					shared++
				}
				c.nodes[f] = append(c.nodes[f], number[n])
			}
		}
	}
}
