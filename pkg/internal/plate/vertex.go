package plate

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// endShare is the force of the last node of a joint over that of the midside
// node next to it, assumed where the balance leaves it open: 1/4, that of a
// steady traction. One that grows with the distance s to the corner as s^−1/4
// would give 0.42; between 0.25 and 0.4 mean tractions do not change visibly,
// because the last element sides are short.
const endShare = 0.25

// sector is the corner of one piece at a vertex of the partition, or a gap.
type sector struct {
	piece int // −1 for a gap
	edge  int // the partition edge it begins with, counter-clockwise
	free  bool
}

// sectorsAt lists the sectors round a vertex counter-clockwise.
func (p *Model) sectorsAt(vertex int, edges []int) []sector {
	type ray struct {
		sector
		angle float64
	}
	rays := make([]ray, 0, len(edges))
	at := p.Board.Partition.Vertices[vertex]
	for _, e := range edges {
		ed := &p.Board.Partition.Edges[e]
		far, left := ed.V1, ed.Left
		if ed.V1 == vertex {
			far, left = ed.V0, ed.Right
		}
		q := p.Board.Partition.Vertices[far]
		rays = append(rays, ray{sector{left, e, ed.Joint < 0}, math.Atan2(q[1]-at[1], q[0]-at[0])})
	}
	slices.SortFunc(rays, func(a, b ray) int {
		if a.angle < b.angle {
			return -1
		}
		return 1
	})
	out := make([]sector, len(rays))
	for i := range rays {
		out[i] = rays[i].sector
	}
	return out
}

// term is a multiple of a force at a node: what the elements of a piece leave
// unbalanced there.
type term struct {
	node   int32
	piece  int
	factor float64
}

// endTerms writes the force of the last node of a joint as a sum of forces that
// are known. Round a vertex, T_i, the force on sector i through the edge it
// begins with, obeys f_i = T_i − T_{i+1} with f_i all that sector i's piece does
// not balance itself, and is nil on a free edge. So with a free edge at the
// vertex every T follows by counting from it. With joints all round, the sums
// fix all but a common T; it is set so that the T are as near as can be, in the
// sum of squares, to endShare of the forces of the midside nodes next to them.
func (p *Model) endTerms(vertex, edge int) []term {
	ss := p.sectorsAt(vertex, p.edgesAt[vertex])
	n := len(ss)
	i := slices.IndexFunc(ss, func(s sector) bool { return s.edge == edge })
	back, ahead := 0, 0 // sectors between the edge and the next free edge, clockwise and counter-clockwise
	for back < n && !ss[((i-back)%n+n)%n].free {
		back++
	}
	for ahead < n && !ss[(i+ahead)%n].free {
		ahead++
	}
	node := p.vertexNode(vertex)
	var out []term
	add := func(k int, f float64) {
		s := &ss[((k%n)+n)%n]
		if s.piece >= 0 {
			out = append(out, term{node, s.piece, f})
		}
	}
	switch {
	case back == n: // joints all round
		for k := 0; k < n; k++ {
			add(i+k, (float64(n-1)/2-float64(k))/float64(n))
			out = append(out, term{p.nextMidside(ss[k].edge, node), ss[k].piece, endShare / float64(n)})
		}
	case ahead <= back:
		for k := 0; k < ahead; k++ {
			add(i+k, 1)
		}
	default:
		for k := 1; k <= back; k++ {
			add(i-k, -1)
		}
	}
	return out
}

// nextMidside gives the midside node of the last element side of an edge at a node.
func (p *Model) nextMidside(edge int, node int32) int32 {
	n := p.Mesh.Edges[edge].Nodes
	if n[0] == node {
		return n[1]
	}
	return n[len(n)-2]
}

// vertexNode gives the node of a vertex of the partition; package mesh numbers
// the vertices first.
func (p *Model) vertexNode(v int) int32 { return int32(v) }

// findEdges lists the edges of the partition at every vertex.
func (p *Geometry) findEdges(of *layout.Partition) {
	p.edgesAt = make([][]int, len(of.Vertices))
	for e := range of.Edges {
		ed := &of.Edges[e]
		p.edgesAt[ed.V0] = append(p.edgesAt[ed.V0], e)
		p.edgesAt[ed.V1] = append(p.edgesAt[ed.V1], e)
	}
}
