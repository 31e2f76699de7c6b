package layout

// Part is a board of some pieces of another, which keep their places, their order and
// the vertices that others left on their sides: a sub-assembly of it.
type Part struct {
	*Board
	Of       []int // per piece: its number on the whole board
	JointOf  []int // per joint
	EdgeOf   []int // per edge of the partition
	VertexOf []int // per vertex of the partition
}

// Part takes the pieces that are wanted, and the joints between them.
func (b *Board) Part(wanted func(piece int) bool) *Part {
	p := &Part{Board: &Board{Name: b.Name, Units: b.Units, Thickness: b.Thickness, Width: b.Width, Height: b.Height,
		Glue: b.Glue, Finish: b.Finish, FinishBottom: b.FinishBottom, Ends: b.Ends, Stands: b.Stands, GlueUp: b.GlueUp, Stock: b.Stock}}
	piece := map[int]int{-1: -1}
	for i := range b.Pieces {
		piece[i] = -1
		if wanted(i) {
			piece[i] = len(p.Of)
			p.Of = append(p.Of, i)
			p.Pieces = append(p.Pieces, b.Pieces[i])
		}
	}
	vertex, edge := map[int]int{}, map[int]int{}
	vertexOf := func(v int) int {
		n, ok := vertex[v]
		if !ok {
			n = len(p.VertexOf)
			vertex[v] = n
			p.VertexOf = append(p.VertexOf, v)
			p.Partition.Vertices = append(p.Partition.Vertices, b.Partition.Vertices[v])
		}
		return n
	}
	for e := range b.Partition.Edges {
		old := &b.Partition.Edges[e]
		left, right := piece[old.Left], piece[old.Right]
		if left < 0 && right < 0 {
			continue
		}
		edge[e] = len(p.EdgeOf)
		p.EdgeOf = append(p.EdgeOf, e)
		p.Partition.Edges = append(p.Partition.Edges, Edge{V0: vertexOf(old.V0), V1: vertexOf(old.V1), Left: left, Right: right, Joint: -1})
	}
	for _, i := range p.Of {
		var ring []RingEdge
		for _, r := range b.Partition.Rings[i] {
			ring = append(ring, RingEdge{edge[r.Edge], r.Reversed})
		}
		p.Partition.Rings = append(p.Partition.Rings, ring)
	}
	for j := range b.Joints {
		jt := b.Joints[j]
		if jt.A, jt.B = piece[jt.A], piece[jt.B]; jt.A < 0 || jt.B < 0 {
			continue
		}
		edges := make([]int, len(jt.Edges))
		for k, e := range jt.Edges {
			edges[k] = edge[e]
			p.Partition.Edges[edge[e]].Joint = len(p.JointOf)
		}
		jt.Edges = edges
		p.JointOf = append(p.JointOf, j)
		p.Joints = append(p.Joints, jt)
	}
	return p
}
