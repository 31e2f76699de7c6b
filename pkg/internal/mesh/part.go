package mesh

import "github.com/tanrad/tanrad/pkg/layout"

// Part is the mesh of a part of the board it was made for: the same elements and, on
// every side, the same nodes, so that what is found on a joint of the part can be
// laid on that joint of the whole node by node.
func (m *Mesh) Part(p *layout.Part) *Mesh {
	out := &Mesh{Edges: make([]EdgeMesh, len(p.EdgeOf)), ByPiece: make([][]int32, len(p.Of)), Shapes: m.Shapes, MinAngle: m.MinAngle}
	node := make(map[int32]int32, len(m.Nodes))
	nodeOf := func(n int32) int32 {
		k, ok := node[n]
		if !ok {
			k = int32(len(out.Nodes))
			node[n] = k
			out.Nodes = append(out.Nodes, m.Nodes[n])
		}
		return k
	}
	for _, v := range p.VertexOf { // vertices come first
		nodeOf(int32(v))
	}
	element, cell := map[int32]int32{}, map[int32]int32{}
	for i, old := range p.Of {
		for _, e := range m.ByPiece[old] {
			el := m.Elements[e]
			for c, n := range el.Nodes[:el.N] {
				el.Nodes[c] = nodeOf(n)
			}
			k, ok := cell[el.Cell]
			if !ok {
				k = int32(len(cell))
				cell[el.Cell] = k
			}
			el.Piece, el.Cell = int32(i), k
			element[e] = int32(len(out.Elements))
			out.ByPiece[i] = append(out.ByPiece[i], element[e])
			out.Elements = append(out.Elements, el)
		}
	}
	out.Cells = len(cell)
	sides := func(of []Side) (s []Side) {
		for _, x := range of {
			e, ok := element[x.Element]
			if !ok {
				return nil
			}
			s = append(s, Side{e, x.Side})
		}
		return s
	}
	for i, e := range p.EdgeOf {
		em := &m.Edges[e]
		for _, n := range em.Nodes {
			out.Edges[i].Nodes = append(out.Edges[i].Nodes, nodeOf(n))
		}
		out.Edges[i].Left, out.Edges[i].Right = sides(em.Left), sides(em.Right)
	}
	return out
}
