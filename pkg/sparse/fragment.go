package sparse

// fragments lists the elements of each group in up to four parts, by quarters of
// the group's extent, and a cutter of them. Cuts of the board may then go along
// the edges of pieces or through their middles, where a mesh graded towards the
// edges has far fewer nodes.
func (b *planner) fragments() (*cutter, [][]int32) {
	groups := b.groups()
	boxes := make([]box, len(groups))
	kinds := make([]uint64, len(groups)) // alike for groups with alike elements
	for g, elements := range groups {
		boxes[g] = emptyBox()
		for _, e := range elements {
			kinds[g] = mix(kinds[g]^uint64(b.kinds[e]), 0x9e3779b97f4a7c15)
			for _, n := range b.p.Elements[e].Nodes {
				boxes[g].include(b.p.Coord[n])
			}
		}
	}
	c := &cutter{beat: findRhythm(boxes, kinds), met: b.met}
	var fragments [][]int32
	for g, elements := range groups {
		var quarter [4][]int32
		for _, e := range elements {
			q := 0
			if len(elements) >= 8 {
				q = b.quarterOf(e, &boxes[g])
			}
			quarter[q] = append(quarter[q], e)
		}
		for _, part := range quarter {
			if len(part) == 0 {
				continue
			}
			extent := emptyBox()
			for _, e := range part {
				for _, n := range b.p.Elements[e].Nodes {
					extent.include(b.p.Coord[n])
				}
			}
			fragments = append(fragments, part)
			c.boxes = append(c.boxes, extent)
			c.weight = append(c.weight, len(part))
			c.group = append(c.group, int32(g))
		}
	}
	b.outlines(c, fragments)
	return c, fragments
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

// quarterOf tells in which quarter of a box the middle of an element lies; a
// middle on the line counts as below it.
func (b *planner) quarterOf(e int32, whole *box) int {
	extent := emptyBox()
	for _, n := range b.p.Elements[e].Nodes {
		extent.include(b.p.Coord[n])
	}
	q := 0
	for a := range 2 {
		slack := 1e-5 * (whole.hi[a] - whole.lo[a])
		if extent.middle(a) > whole.middle(a)+slack {
			q |= 1 << a
		}
	}
	return q
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
