package sparse

import (
	"context"
	"slices"
	"sync"
	"unsafe"
)

// plan is the order of elimination: which clusters there are, where they lie,
// and which of them are alike.
type plan struct {
	patterns []*pattern
	classes  []class    // children before parents
	places   []instance // children before parents
	nodes    []int32    // front nodes of all instances, the interior ones first

	upOnce sync.Once
	up     *upward // see there
}

// bytes is what a plan takes; several factors may share one.
func (p *plan) bytes() int64 {
	sum := int64(cap(p.nodes))*4 + int64(cap(p.places))*int64(unsafe.Sizeof(instance{})) + int64(cap(p.classes))*int64(unsafe.Sizeof(class{}))
	for _, pat := range p.patterns {
		sum += int64(unsafe.Sizeof(*pat)) + 4*int64(cap(pat.touched)+cap(pat.fixed))
		for i := range pat.children {
			c := &pat.children[i]
			entries := cap(c.early.write) + cap(c.early.add) + cap(c.late.write) + cap(c.late.add)
			sum += int64(unsafe.Sizeof(*c)) + int64(unsafe.Sizeof(run{}))*int64(cap(c.runs)) + int64(unsafe.Sizeof(move{}))*int64(entries) + 4*int64(cap(c.diag))
		}
	}
	return sum
}

// class is one cluster up to congruence: equal classes have equal matrices.
type class struct {
	pat      *pattern
	children []int32 // classes, or -1 minus an element kind
	unit     bool    // a whole group, or several
}

// instance is one place where a class occurs.
type instance struct {
	class int32
	first int // start of its front in plan.nodes
}

// cluster is what a merge needs to know of a part: its boundary, how many of
// the elements at each boundary node lie inside, its class.
type cluster struct {
	class int32
	nodes []int32
	count []int32
}

// planner builds a plan.
type planner struct {
	ctx     context.Context
	p       *Problem
	kinds   []int32 // kind of each element
	valence []int32 // elements at each node
	fixed   []bool

	plan
	patternOf map[string]*pattern
	slots     []int32 // hash table of classes: number plus one, 0 for none
	children  []int32 // room for the children of classes to come
	room      []int32 // room for the boundaries of clusters to come
	shapeOf   map[string]*shape
	groupOf   map[string][]int32
	key       []byte

	stamp      []int32 // where a node stands in the front being made
	epoch      []int32
	now        int32
	front      []int32
	count      []int32
	maps       []int32
	isInterior []bool
	held       []int32
	shapes     []childShape

	met *meetings
}

func newPlanner(ctx context.Context, p *Problem, kinds []int32) *planner {
	b := &planner{
		ctx: ctx, p: p, kinds: kinds,
		valence:   make([]int32, len(p.Coord)),
		fixed:     p.fixedMask(),
		patternOf: map[string]*pattern{}, slots: make([]int32, 1024),
		shapeOf: map[string]*shape{}, groupOf: map[string][]int32{},
		stamp: make([]int32, len(p.Coord)), epoch: make([]int32, len(p.Coord)),
		met: newMeetings(len(p.Coord)),
	}
	for e := range p.Elements {
		for _, n := range p.Elements[e].Nodes {
			b.valence[n]++
		}
	}
	return b
}

// ended carries the error of a context out of the recursion of a planner.
type ended struct{ error }

// heed leaves the planner when its context has ended.
func (b *planner) heed() {
	if err := b.ctx.Err(); err != nil {
		panic(ended{err}) // caught in run
	}
}

// run builds the whole tree and returns the plan. The error is that of the context.
func (b *planner) run() (_ *plan, err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case ended:
			err = r.error
		default:
			panic(r)
		}
	}()
	b.nodes = make([]int32, 0, 24*len(b.p.Elements))
	c, fragments := b.fragments()
	b.split(c.all(), c, fragments)
	return &b.plan, nil
}

// split halves a list of fragments until what is left belongs to one group,
// eliminates that by its shape, and merges on the way back.
func (b *planner) split(p part, c *cutter, fragments [][]int32) cluster {
	b.heed()
	items := p.by[0]
	one := true
	for _, i := range items {
		one = one && c.group[i] == c.group[items[0]]
	}
	if one {
		var all []int32
		for _, i := range items {
			all = append(all, fragments[i]...)
		}
		if len(items) > 1 {
			slices.Sort(all) // the order the group was given in
		}
		return b.group(all)
	}
	first, second := c.halve(p)
	left, right := b.split(first, c, fragments), b.split(second, c, fragments)
	pat := b.merge([]cluster{left, right}, nil)
	id := b.intern(pat, []int32{left.class, right.class})
	b.classes[id].unit = true
	b.place(id, pat)
	return b.remaining(id)
}

// place records an instance of a class on the front just merged.
func (b *planner) place(id int32, pat *pattern) {
	b.places = append(b.places, instance{id, len(b.nodes)})
	for i, n := range b.front {
		if b.isInterior[i] {
			b.nodes = append(b.nodes, n)
		}
	}
	for i, n := range b.front {
		if !b.isInterior[i] {
			b.nodes = append(b.nodes, n)
		}
	}
}

// remaining is the cluster just merged as a part of the next.
func (b *planner) remaining(id int32) cluster {
	boundary := 0
	for _, l := range b.isInterior {
		if !l {
			boundary++
		}
	}
	if len(b.room) < 2*boundary {
		b.room = make([]int32, 1<<14+2*boundary)
	}
	c := cluster{class: id, nodes: b.room[:0:boundary], count: b.room[boundary : boundary : 2*boundary]}
	b.room = b.room[2*boundary:]
	for i, n := range b.front {
		if !b.isInterior[i] {
			c.nodes = append(c.nodes, n)
			c.count = append(c.count, b.count[i])
		}
	}
	return c
}

// merge puts the boundaries of the children together. isElement marks children that are
// single elements; nil means none is.
func (b *planner) merge(children []cluster, isElement []bool) *pattern {
	b.unite(children)
	b.shapes, b.held = b.shapes[:0], b.held[:0]
	for i := range children {
		b.shapes = append(b.shapes, childShape{len(children[i].nodes), isElement != nil && isElement[i]})
	}
	t := 0
	for i, l := range b.isInterior {
		if !l {
			continue
		}
		for c := range b.p.NodeDof {
			if b.fixed[int(b.front[i])*b.p.NodeDof+c] {
				b.held = append(b.held, int32(t))
			}
			t++
		}
	}
	b.key = patternKey(b.key[:0], b.p.NodeDof, b.shapes, b.maps, b.isInterior, b.held)
	if pat, ok := b.patternOf[string(b.key)]; ok {
		return pat
	}
	pat := newPattern(int32(len(b.patterns)), b.p.NodeDof, b.shapes, b.maps, b.isInterior, slices.Clone(b.held))
	pat.name = contentOfBytes(b.key)
	b.patterns = append(b.patterns, pat)
	b.patternOf[string(b.key)] = pat
	return pat
}

// unite fills front, count, maps and isInterior from the children.
func (b *planner) unite(children []cluster) {
	b.now++
	b.front, b.count, b.maps, b.isInterior = b.front[:0], b.count[:0], b.maps[:0], b.isInterior[:0]
	for i := range children {
		for j, n := range children[i].nodes {
			if b.epoch[n] != b.now {
				b.epoch[n] = b.now
				b.stamp[n] = int32(len(b.front))
				b.front = append(b.front, n)
				b.count = append(b.count, 0)
			}
			at := b.stamp[n]
			b.count[at] += children[i].count[j]
			b.maps = append(b.maps, at)
		}
	}
	for i, n := range b.front {
		b.isInterior = append(b.isInterior, b.count[i] == b.valence[n])
	}
}

// intern gives the class of a pattern and its children.
func (b *planner) intern(pat *pattern, children []int32) int32 {
	mask := uint64(len(b.slots) - 1)
	at := classHash(pat, children) & mask
	for b.slots[at] != 0 {
		id := b.slots[at] - 1
		if b.classes[id].pat == pat && slices.Equal(b.classes[id].children, children) {
			return id
		}
		at = (at + 1) & mask
	}
	if len(b.children) < len(children) {
		b.children = make([]int32, 4096+len(children))
	}
	own := b.children[:len(children):len(children)]
	b.children = b.children[len(children):]
	copy(own, children)
	id := int32(len(b.classes))
	b.classes = append(b.classes, class{pat: pat, children: own})
	b.slots[at] = id + 1
	if 2*len(b.classes) > len(b.slots) {
		b.rehash()
	}
	return id
}

func classHash(pat *pattern, children []int32) uint64 {
	h := uint64(pat.id) + 1
	for _, k := range children {
		h = mix(h^uint64(uint32(k)), 0x9e3779b97f4a7c15)
	}
	return h
}

func (b *planner) rehash() {
	b.slots = make([]int32, 4*len(b.slots))
	mask := uint64(len(b.slots) - 1)
	for id := range b.classes {
		at := classHash(b.classes[id].pat, b.classes[id].children) & mask
		for b.slots[at] != 0 {
			at = (at + 1) & mask
		}
		b.slots[at] = int32(id) + 1
	}
}
