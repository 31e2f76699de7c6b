package mesh

import (
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Lips are the two nodes at one place of an opened joint: the one that stays
// with piece A and its twin on piece B.
type Lips struct {
	At   int // number along the joint's nodes
	A, B int32
}

// Open returns a copy of the mesh in which the elements of piece B no longer
// share the given nodes of a joint with anybody. nodes lists the joint's nodes
// From→To; first and last (inclusive) bound the ones to open. A node that a
// third piece shares cannot be opened by one joint and is left alone.
func (m *Mesh) Open(b *layout.Board, joint int, nodes []int32, first, last int) (*Mesh, []Lips) {
	jt := &b.Joints[joint]
	out := *m
	out.Nodes = slices.Clone(m.Nodes)
	out.Elements = slices.Clone(m.Elements)
	third := map[int32]bool{}
	twin := map[int32]int32{}
	for i := range m.Elements {
		el := &m.Elements[i]
		if int(el.Piece) == jt.A || int(el.Piece) == jt.B {
			continue
		}
		for _, n := range el.Nodes[:el.N] {
			third[n] = true
		}
	}
	var lips []Lips
	for i := first; i <= last; i++ {
		n := nodes[i]
		if third[n] {
			continue
		}
		out.Nodes = append(out.Nodes, m.Nodes[n])
		twin[n] = int32(len(out.Nodes) - 1)
		lips = append(lips, Lips{i, n, twin[n]})
	}
	for _, e := range m.ByPiece[jt.B] {
		el := &out.Elements[e]
		for k := range el.Nodes[:el.N] {
			if t, ok := twin[el.Nodes[k]]; ok {
				el.Nodes[k] = t
			}
		}
	}
	return &out, lips
}
