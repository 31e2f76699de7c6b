package sparse

import "encoding/binary"

// A pattern is the index work of one elimination step, free of numbers and of
// places: how the boundaries of the children go together, which nodes are interior.
// Clusters that differ only in stiffness, or only in place, share a pattern.
//
// The nodes of a front are numbered as first met, child after child. Interior
// ones come first in the front, then those of the boundary; both keep their order.
type pattern struct {
	id       int32
	name     content // of the pattern, whatever the problem
	children []childMap
	interior int     // nodes eliminated
	boundary int     // nodes of the boundary that is left
	ne, nr   int     // unknowns eliminated, unknowns left
	ne8, nr8 int     // the same rounded up to whole blocks of 8
	ld       int     // distance of the columns of the Schur complement
	panels   int     // row blocks of 8 in the kept columns of L
	touched  []int32 // of each column block of the Schur complement: row blocks that any child reaches
	fixed    []int32 // places among the interior unknowns of those held at zero
	flops    int64
	nonZeros int64
}

// childMap sends the boundary unknowns of a child into the front.
type childMap struct {
	nodes   int     // nodes of the child
	element bool    // an element matrix rather than a Schur complement
	ld      int     // distance of the columns of the child's matrix
	runs    []run   // of a Schur complement
	early   moves   // of an element: lower entries that go to the columns to eliminate
	late    moves   // of an element: lower entries that go to the Schur complement
	diag    []int32 // of an element: place of each unknown, minus one minus it if it is on the boundary

	// Unknowns met first in this child are neighbours in the front: from interior[0]
	// to interior[1] among the interior ones, from boundary[0] to boundary[1] among the rest.
	// Entries between two of them come from this child first: they are written,
	// the others added.
	interior, boundary [2]int
	unknowns           int // of the child
}

// run is a stretch of child unknowns that stays a stretch in the front.
type run struct {
	from, to, n int32
	isInterior  bool // to counts among the interior ones, else among those of the boundary
	fresh       bool // met first in this child
}

// move sends entry from of an element matrix to place to.
type move struct{ from, to int32 }

// moves come in two lists: entries to write and entries to add.
type moves struct{ write, add []move }

func (m *moves) list(fresh bool, from, to int) {
	if fresh {
		m.write = append(m.write, move{int32(from), int32(to)})
	} else {
		m.add = append(m.add, move{int32(from), int32(to)})
	}
}

// Interior rows are stored in strips of three row blocks, each strip as wide
// as its longest row needs: a triangle with steps instead of a square. Rows that
// the boundary follow, all of the same width.
const strip = 3

// panelAt tells where row block q of L starts and how far the next block of the
// same strip is.
func (p *pattern) panelAt(q int) (at, stride int) {
	top := p.ne8 / 8
	if q >= top {
		s, rest := top/strip, top%strip
		return 32*strip*strip*s*(s+1) + (rest+q-top)*8*p.ne8, 8 * p.ne8
	}
	s := q / strip
	width := min(8*strip*(s+1), p.ne8)
	return 32*strip*strip*s*(s+1) + q%strip*8*width, 8 * width
}

// uniform ends the run of row blocks from q on that lie at equal distances.
func (p *pattern) uniform(q int) int {
	top := p.ne8 / 8
	if q >= top || q/strip == top/strip || top == strip {
		return p.panels // the last strip is as wide as the rows of the boundary
	}
	return (q/strip + 1) * strip
}

// panelLen is the room for the kept columns of L.
func (p *pattern) panelLen() int {
	at, _ := p.panelAt(p.panels)
	return at
}

// schurLen is the room for the Schur complement.
func (p *pattern) schurLen() int { return p.ld * p.nr8 }

// scratchLen is the room for the columns to eliminate before they are packed.
func (p *pattern) scratchLen() int { return p.panels * 8 * p.ne8 }

// patternKey writes the content of a pattern in a form that can be compared.
// maps holds, child after child, the front number of each child node.
func patternKey(key []byte, dof int, children []childShape, maps []int32, isInterior []bool, fixed []int32) []byte {
	word := func(v int) { key = binary.AppendUvarint(key, uint64(v)) }
	word(dof)
	word(len(children))
	for _, c := range children {
		v := c.nodes << 1
		if c.element {
			v |= 1
		}
		word(v)
	}
	for _, m := range maps {
		word(int(m))
	}
	for _, l := range isInterior {
		b := byte(0)
		if l {
			b = 1
		}
		key = append(key, b)
	}
	for _, f := range fixed {
		word(int(f))
	}
	return key
}

// childShape is what a pattern must know of a child.
type childShape struct {
	nodes   int
	element bool
}

// newPattern works out the index lists. fixed holds the places, among the
// interior unknowns, of those held at zero.
func newPattern(id int32, dof int, children []childShape, maps []int32, isInterior []bool, fixed []int32) *pattern {
	p := &pattern{id: id, fixed: fixed}
	place := make([]int32, len(isInterior))
	for i, l := range isInterior {
		if l {
			place[i] = int32(p.interior)
			p.interior++
		} else {
			place[i] = int32(p.boundary)
			p.boundary++
		}
	}
	p.ne, p.nr = p.interior*dof, p.boundary*dof
	p.ne8, p.nr8 = (p.ne+7)&^7, (p.nr+7)&^7
	p.ld = schurStride(p.nr8)
	p.panels = (p.ne8 + p.nr8) / 8
	for i := range int64(p.ne) {
		c := int64(p.ne+p.nr) - i
		p.flops += c * c
		p.nonZeros += c
	}
	p.touched = make([]int32, p.nr8/8)
	seen, interior, boundary := int32(0), 0, 0
	for _, c := range children {
		m := maps[:c.nodes]
		maps = maps[c.nodes:]
		f := frontOf{p, dof, m, place, isInterior, seen}
		var cm childMap
		if c.element {
			cm = f.elementMap()
		} else {
			cm = f.schurMap()
		}
		p.touch(&f)
		cm.interior[0], cm.boundary[0] = interior, boundary
		for _, x := range m {
			if x >= seen {
				seen = x + 1
				if isInterior[x] {
					interior += dof
				} else {
					boundary += dof
				}
			}
		}
		cm.interior[1], cm.boundary[1] = interior, boundary
		p.children = append(p.children, cm)
	}
	return p
}

// schurStride keeps columns off the distance at which they would all compete
// for the same cache lines.
func schurStride(nr8 int) int {
	if nr8%64 == 0 && nr8 > 0 {
		return nr8 + 8
	}
	return nr8
}

// frontOf is a child seen from the front of p: m gives the front number of each
// of its nodes; those from seen on are met first in this child.
type frontOf struct {
	p          *pattern
	dof        int
	m          []int32
	place      []int32
	isInterior []bool
	seen       int32
}

func (f *frontOf) schurMap() childMap {
	m := f.m
	c := childMap{nodes: len(m), unknowns: len(m) * f.dof}
	c.ld = schurStride((c.unknowns + 7) &^ 7)
	for i := 0; i < len(m); {
		isInterior, fresh, to := f.isInterior[m[i]], m[i] >= f.seen, f.place[m[i]]
		j := i + 1
		for j < len(m) && f.isInterior[m[j]] == isInterior && m[j] >= f.seen == fresh && f.place[m[j]] == to+int32(j-i) {
			j++
		}
		c.runs = append(c.runs, run{int32(i * f.dof), to * int32(f.dof), int32((j - i) * f.dof), isInterior, fresh})
		i = j
	}
	return c
}

// elementMap lists where each entry of the lower triangle goes.
func (f *frontOf) elementMap() childMap {
	p, dof, m := f.p, f.dof, f.m
	n := len(m) * dof
	c := childMap{nodes: len(m), element: true, unknowns: n}
	rows := p.panels * 8
	c.diag = make([]int32, 0, n)
	c.early.write, c.late.write = make([]move, 0, n*n/4), make([]move, 0, n*n/4)
	for i := range n {
		ni := m[i/dof]
		pi, li := int(f.place[ni])*dof+i%dof, f.isInterior[ni]
		if li {
			c.diag = append(c.diag, int32(pi))
		} else {
			c.diag = append(c.diag, int32(-1-pi))
		}
		for j := range i + 1 {
			nj := m[j/dof]
			pj, lj := int(f.place[nj])*dof+j%dof, f.isInterior[nj]
			fresh := ni >= f.seen && nj >= f.seen
			switch {
			case li && lj:
				c.early.list(fresh, i*n+j, max(pi, pj)+min(pi, pj)*rows)
			case li:
				c.early.list(fresh, i*n+j, p.ne8+pj+pi*rows)
			case lj:
				c.early.list(fresh, i*n+j, p.ne8+pi+pj*rows)
			default:
				c.late.list(fresh, i*n+j, max(pi, pj)+min(pi, pj)*p.ld)
			}
		}
	}
	return c
}

// touch notes which blocks of the Schur complement a child reaches.
func (p *pattern) touch(f *frontOf) {
	last := int32(-1)
	for _, x := range f.m {
		if !f.isInterior[x] {
			last = max(last, (f.place[x]*int32(f.dof)+int32(f.dof)-1)/8)
		}
	}
	for _, x := range f.m {
		if f.isInterior[x] {
			continue
		}
		first := int(f.place[x]) * f.dof
		for q := first / 8; q <= (first+f.dof-1)/8; q++ {
			p.touched[q] = max(p.touched[q], last+1)
		}
	}
}
