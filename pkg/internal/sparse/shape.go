package sparse

import "encoding/binary"

// shape is the elimination inside a group, by local numbers. Groups whose
// elements hang together in the same way share it.
type shape struct {
	id    int32
	steps []step  // children before parents
	local []int32 // nodes of the group as first met, for the group it was made from
	count []int32 // of the boundary of the last step
}

// step eliminates one cluster.
type step struct {
	pat      *pattern
	children []int32 // steps, or -1 minus the place of an element in the group
	nodes    []int32 // local numbers of the front, the interior ones first
}

// group runs the shape of a group and returns it as a cluster.
func (b *planner) group(elements []int32) cluster {
	local := b.number(elements)
	key := b.shapeKey(elements, local)
	s, ok := b.shapeOf[string(key)]
	if !ok {
		name := string(key)
		s = b.newShape(elements, local)
		b.shapeOf[name] = s
	}
	key = binary.LittleEndian.AppendUint32(b.key[:0], uint32(s.id))
	for _, e := range elements {
		key = binary.LittleEndian.AppendUint32(key, uint32(b.kinds[e]))
	}
	b.key = key
	ids, ok := b.groupOf[string(key)]
	if !ok {
		name := string(key)
		ids = make([]int32, len(s.steps))
		children := make([]int32, 0, 64)
		for i := range s.steps {
			children = children[:0]
			for _, k := range s.steps[i].children {
				if k < 0 {
					children = append(children, -1-b.kinds[elements[-1-k]])
				} else {
					children = append(children, ids[k])
				}
			}
			ids[i] = b.intern(s.steps[i].pat, children)
		}
		b.classes[ids[len(ids)-1]].unit = true
		b.groupOf[name] = ids
	}
	for i := range s.steps {
		b.places = append(b.places, instance{ids[i], len(b.nodes)})
		for _, n := range s.steps[i].nodes {
			b.nodes = append(b.nodes, local[n])
		}
	}
	top := &s.steps[len(s.steps)-1]
	c := cluster{class: ids[len(ids)-1], count: s.count, nodes: make([]int32, 0, top.pat.boundary)}
	for _, n := range top.nodes[top.pat.interior:] {
		c.nodes = append(c.nodes, local[n])
	}
	return c
}

// number lists the nodes of a group as first met.
func (b *planner) number(elements []int32) []int32 {
	b.now++
	local := make([]int32, 0, 4*len(elements)+8)
	for _, e := range elements {
		for _, n := range b.p.Elements[e].Nodes {
			if b.epoch[n] != b.now {
				b.epoch[n] = b.now
				b.stamp[n] = int32(len(local))
				local = append(local, n)
			}
		}
	}
	return local
}

// shapeKey writes how the elements of a group hang together: local node
// numbers, which nodes belong to no other group, which unknowns are held.
func (b *planner) shapeKey(elements []int32, local []int32) []byte {
	key := binary.AppendUvarint(b.key[:0], uint64(len(elements)))
	b.count = b.count[:0]
	for range local {
		b.count = append(b.count, 0)
	}
	for _, e := range elements {
		nodes := b.p.Elements[e].Nodes
		key = binary.AppendUvarint(key, uint64(len(nodes)))
		for _, n := range nodes {
			key = binary.AppendUvarint(key, uint64(b.stamp[n]))
			b.count[b.stamp[n]]++
		}
	}
	for i, n := range local {
		if b.count[i] != b.valence[n] {
			key = append(key, 255)
			continue
		}
		key = append(key, 1)
		for c := range b.p.NodeDof {
			if b.fixed[int(n)*b.p.NodeDof+c] {
				key = append(key, byte(2+c%200))
			}
		}
	}
	b.key = key
	return key
}

// twig is a node of the binary tree inside a group.
type twig struct {
	children []*twig
	item     int32 // place of the element in the group, when there are no children
	part     cluster
	front    int // nodes of its front
	interior int
}

func (b *planner) newShape(elements, local []int32) *shape {
	s := &shape{id: int32(len(b.shapeOf)), local: local}
	boxes := make([]box, len(elements))
	for i, e := range elements {
		boxes[i] = emptyBox()
		for _, n := range b.p.Elements[e].Nodes {
			boxes[i].include(b.p.Coord[n])
		}
	}
	c := b.elementCutter(elements, boxes)
	root := b.grow(c.all(), c, elements)
	if len(root.children) == 0 {
		root = &twig{children: []*twig{root}}
		b.measure(root)
	}
	for _, k := range root.children {
		b.prune(k)
	}
	root.children = b.absorb(root)
	where := make(map[int32]int32, len(local))
	for i, n := range local {
		where[n] = int32(i)
	}
	b.emit(s, root, where)
	return s
}

// elementCutter halves lists of the elements of one group.
func (b *planner) elementCutter(elements []int32, boxes []box) *cutter {
	c := &cutter{boxes: boxes, met: b.met}
	for _, e := range elements {
		c.nodes = append(c.nodes, b.p.Elements[e].Nodes)
		c.weight = append(c.weight, 1)
	}
	return c
}

// grow bisects the elements of a group down to single ones.
func (b *planner) grow(p part, c *cutter, elements []int32) *twig {
	items := p.by[0]
	if len(items) == 1 {
		nodes := b.p.Elements[elements[items[0]]].Nodes
		t := &twig{item: items[0], part: cluster{nodes: nodes, count: make([]int32, len(nodes))}}
		for i := range t.part.count {
			t.part.count[i] = 1
		}
		return t
	}
	b.heed()
	first, second := c.halve(p)
	t := &twig{children: []*twig{b.grow(first, c, elements), b.grow(second, c, elements)}}
	b.measure(t)
	return t
}

// measure merges the children of a twig to learn the size of its front.
func (b *planner) measure(t *twig) {
	children := make([]cluster, len(t.children))
	for i, k := range t.children {
		children[i] = k.part
	}
	b.unite(children)
	t.part = b.remaining(-1)
	t.front = len(b.front)
	t.interior = t.front - len(t.part.nodes)
}

// prune decides below a twig, from the leaves up, which steps are worth a step
// of their own.
func (b *planner) prune(t *twig) {
	for _, k := range t.children {
		if len(k.children) > 0 {
			b.prune(k)
		}
	}
	if len(t.children) > 0 {
		t.children = b.absorb(t)
	}
}

// absorb takes into t the children whose elimination is cheaper together with that
// of t: few unknowns are eliminated there, so moving their matrix costs more than the
// larger front.
func (b *planner) absorb(t *twig) []*twig {
	dof := b.p.NodeDof
	var kept []*twig
	for _, k := range t.children {
		if len(k.children) == 0 {
			kept = append(kept, k)
			continue
		}
		apart := stepCost(t.interior*dof, t.front*dof) + stepCost(k.interior*dof, k.front*dof) + moveCost((k.front-k.interior)*dof)
		if k.interior == 0 || stepCost((t.interior+k.interior)*dof, (t.front+k.interior)*dof) < apart {
			t.interior += k.interior
			t.front += k.interior
			kept = append(kept, k.children...)
		} else {
			kept = append(kept, k)
		}
	}
	return kept
}

// stepCost estimates the time of one step in ns from measured rates of the
// kernels: whole blocks of 8 columns, rows in blocks of 8.
func stepCost(interior, front int) float64 {
	e8, stay8 := float64((interior+7)&^7), float64((front-interior+7)&^7)
	e := float64(interior)
	work := e*stay8*stay8 + e8*e8*stay8 + e8*e8*e8/3
	return 250 + 25*e8 + work/stepRate + 0.25*(stay8*stay8/2+e8*(stay8+e8))
}

// moveCost estimates the time to add a Schur complement into a front, ns.
func moveCost(n int) float64 { return 100 + 0.35*float64(n)*float64(n)/2 }

const stepRate = 25.0 // operations per ns

// emit turns the twigs into steps.
func (b *planner) emit(s *shape, t *twig, where map[int32]int32) (int32, cluster) {
	ids := make([]int32, len(t.children))
	parts := make([]cluster, len(t.children))
	single := make([]bool, len(t.children))
	for i, k := range t.children {
		if len(k.children) == 0 {
			ids[i], parts[i], single[i] = -1-k.item, k.part, true
			continue
		}
		ids[i], parts[i] = b.emit(s, k, where)
	}
	b.heed()
	pat := b.merge(parts, single)
	st := step{pat: pat, children: ids, nodes: make([]int32, 0, len(b.front))}
	for i, n := range b.front {
		if b.isInterior[i] {
			st.nodes = append(st.nodes, where[n])
		}
	}
	for i, n := range b.front {
		if !b.isInterior[i] {
			st.nodes = append(st.nodes, where[n])
		}
	}
	id := int32(len(s.steps))
	s.steps = append(s.steps, st)
	rest := b.remaining(id)
	s.count = rest.count
	return id, rest
}
