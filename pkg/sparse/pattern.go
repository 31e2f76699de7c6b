package sparse

import (
	"encoding/binary"
	"slices"
)

// A pattern is the index work of one elimination step, free of numbers and of
// places: how the boundaries of the children go together, which nodes leave.
// Clusters that differ only in stiffness, or only in place, share a pattern.
//
// The nodes of a front are numbered as first met, child after child. Those that
// leave come first in the front, then those that stay; both keep their order.
type pattern struct {
	id       int32
	children []childMap
	leave    int // nodes eliminated
	stay     int // nodes of the boundary that is left
	ne, nr   int // unknowns eliminated, unknowns left
	ne8, nr8 int // the same rounded up to whole blocks of 8
	ld       int // distance of the columns of the Schur complement
	panels   int // row blocks of 8 in the kept columns of L
	// Unknowns of the first child come first among those that leave and among
	// those that stay: firstLeave and firstStay of them.
	firstLeave, firstStay int
	fixed                 []int32
	flops                 int64
	nonZeros              int64
}

// childMap sends the boundary unknowns of a child into the front.
type childMap struct {
	nodes   int     // nodes of the child
	element bool    // an element matrix rather than a Schur complement
	ld      int     // distance of the columns of the child's matrix
	runs    []run   // of a Schur complement
	early   []move  // of an element: lower entries that go to the columns to eliminate
	late    []move  // of an element: lower entries that go to the Schur complement
	diag    []int32 // of an element: place of each unknown, minus one minus it if it stays
	upper   int     // unknowns of the child
}

// run is a stretch of child unknowns that stays a stretch in the front.
type run struct {
	from, to, n int32
	leaves      bool // to counts among those that leave, else among those that stay
}

// move sends entry from of an element matrix to place to.
type move struct{ from, to int32 }

// panelLen is the room for the kept columns of L.
func (p *pattern) panelLen() int { return p.panels * 8 * p.ne8 }

// schurLen is the room for the Schur complement.
func (p *pattern) schurLen() int { return p.ld * p.nr8 }

// scratchLen is the room for the columns to eliminate before they are packed.
func (p *pattern) scratchLen() int { return p.panels * 8 * p.ne8 }

// patternKey writes the content of a pattern in a form that can be compared.
// maps holds, child after child, the front number of each child node.
func patternKey(key []byte, dof int, kids []childShape, maps []int32, leaves []bool, fixed []int32) []byte {
	word := func(v int) { key = binary.AppendUvarint(key, uint64(v)) }
	word(dof)
	word(len(kids))
	for _, c := range kids {
		v := c.nodes << 1
		if c.element {
			v |= 1
		}
		word(v)
	}
	for _, m := range maps {
		word(int(m))
	}
	for _, l := range leaves {
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
// unknowns that leave, of those held at zero.
func newPattern(id int32, dof int, kids []childShape, maps []int32, leaves []bool, fixed []int32) *pattern {
	p := &pattern{id: id, fixed: fixed}
	place := make([]int32, len(leaves))
	for i, l := range leaves {
		if l {
			place[i] = int32(p.leave)
			p.leave++
		} else {
			place[i] = int32(p.stay)
			p.stay++
		}
	}
	p.ne, p.nr = p.leave*dof, p.stay*dof
	p.ne8, p.nr8 = (p.ne+7)&^7, (p.nr+7)&^7
	p.ld = schurStride(p.nr8)
	p.panels = (p.ne8 + p.nr8) / 8
	for i := range int64(p.ne) {
		c := int64(p.ne+p.nr) - i
		p.flops += c * c
		p.nonZeros += c
	}
	for _, m := range maps[:kids[0].nodes] {
		if leaves[m] {
			p.firstLeave += dof
		} else {
			p.firstStay += dof
		}
	}
	for _, c := range kids {
		m := maps[:c.nodes]
		maps = maps[c.nodes:]
		if c.element {
			p.children = append(p.children, p.elementMap(dof, m, place, leaves))
		} else {
			p.children = append(p.children, schurMap(dof, m, place, leaves))
		}
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

func schurMap(dof int, m, place []int32, leaves []bool) childMap {
	c := childMap{nodes: len(m), upper: len(m) * dof}
	c.ld = schurStride((c.upper + 7) &^ 7)
	for i := 0; i < len(m); {
		j := i + 1
		for j < len(m) && leaves[m[j]] == leaves[m[i]] && place[m[j]] == place[m[i]]+int32(j-i) {
			j++
		}
		c.runs = append(c.runs, run{int32(i * dof), place[m[i]] * int32(dof), int32((j - i) * dof), leaves[m[i]]})
		i = j
	}
	return c
}

// elementMap lists where each entry of the lower triangle goes.
func (p *pattern) elementMap(dof int, m, place []int32, leaves []bool) childMap {
	n := len(m) * dof
	c := childMap{nodes: len(m), element: true, upper: n}
	rows := p.panels * 8
	for i := range n {
		pi, li := int(place[m[i/dof]])*dof+i%dof, leaves[m[i/dof]]
		if li {
			c.diag = append(c.diag, int32(pi))
		} else {
			c.diag = append(c.diag, int32(-1-pi))
		}
		for j := range i + 1 {
			pj, lj := int(place[m[j/dof]])*dof+j%dof, leaves[m[j/dof]]
			from := int32(i*n + j)
			switch {
			case li && lj:
				c.early = append(c.early, move{from, int32(max(pi, pj) + min(pi, pj)*rows)})
			case li:
				c.early = append(c.early, move{from, int32(p.ne8 + pj + pi*rows)})
			case lj:
				c.early = append(c.early, move{from, int32(p.ne8 + pi + pj*rows)})
			default:
				c.late = append(c.late, move{from, int32(max(pi, pj) + min(pi, pj)*p.ld)})
			}
		}
	}
	byPlace := func(x, y move) int { return int(x.to) - int(y.to) }
	slices.SortFunc(c.early, byPlace)
	slices.SortFunc(c.late, byPlace)
	return c
}
