package plate

import (
	"github.com/tanrad/tanrad/pkg/layout"
)

// Traction is stress on a glue line: N along the normal from piece A to piece B
// (positive opens), T along From→To on piece A's side. MPa, or MPa per mm from
// the mid-plane in bending.
type Traction struct{ N, T float64 }

// Trace is a joint ready for recovery. Tractions are taken from the balance of
// the elements along the joint: what the elements of one piece do not balance
// among themselves at a node of the joint is what the joint carries there,
// ∫ t·φ ds with the shape function φ of the node. These forces converge with the
// energy of the solution, much faster than stresses, and near corners where
// stress has no bound they are all that can be trusted (consistent boundary
// flux; Wheeler, SIAM Journal on Numerical Analysis 10, 1973; from memory).
//
// At the two ends of a joint a piece's own corner joins two edges, and the
// balance gives only the sum of both. A free edge carries nothing, which leaves
// all to the joint; between two joints the sum is shared out so that the
// difference is that of the corner stresses.
type Trace struct {
	Joint int
	S     []float64 // place of each node, mm from From; ends of element sides at even numbers
	t, n  [2]float64
	sides [2]traceSide
}

type traceSide struct {
	piece int
	sign  float64 // of the outward normal against n
	rows  []traceRow
	ends  [2]corner
}

// traceRow is one element with the nodes it has on the joint.
type traceRow struct {
	element int32
	nodes   []traceNode
}

type traceNode struct {
	local  int8
	at     int32   // number in S
	factor float64 // share of the element's force that counts
}

// corner is the end of a joint on one piece.
type corner struct {
	shared bool // another joint takes part of the corner's force
	own    corneredge
	other  corneredge
}

// corneredge is the last element side of an edge at a corner.
type corneredge struct {
	element int32
	corner  int8
	length  float64
	out     [2]float64 // outward normal of the piece
}

// Trace prepares a joint.
func (p *Model) Trace(j int) *Trace {
	jt := &p.Board.Joints[j]
	tr := &Trace{Joint: j}
	tr.t = [2]float64{(jt.To[0] - jt.From[0]) / jt.Length, (jt.To[1] - jt.From[1]) / jt.Length}
	tr.n = [2]float64{tr.t[1], -tr.t[0]}
	nodes := p.jointNodes(jt, tr.t)
	number := make(map[int32]int32, len(nodes))
	tr.S = make([]float64, len(nodes))
	for i, n := range nodes {
		q := p.Mesh.Nodes[n]
		tr.S[i] = (q[0]-jt.From[0])*tr.t[0] + (q[1]-jt.From[1])*tr.t[1]
		number[n] = int32(i)
	}
	last := int32(len(nodes) - 1)
	for side, piece := range [2]int{jt.A, jt.B} {
		s := &tr.sides[side]
		s.piece, s.sign = piece, 1-2*float64(side)
		s.ends[0] = p.cornerOf(piece, jt.Edges[0], nodes[0])
		s.ends[1] = p.cornerOf(piece, jt.Edges[len(jt.Edges)-1], nodes[last])
		seen := map[int32]bool{}
		for i, n := range nodes {
			if side == 1 && int32(i) != 0 && int32(i) != last {
				continue // both pieces agree at inner nodes: their forces balance
			}
			for _, e := range p.around(n) {
				if int(p.Mesh.Elements[e].Piece) == piece && !seen[e] {
					seen[e] = true
					s.rows = append(s.rows, p.rowOf(e, number, side, last, &s.ends))
				}
			}
		}
	}
	return tr
}

func (p *Model) rowOf(e int32, number map[int32]int32, side int, last int32, ends *[2]corner) traceRow {
	row := traceRow{element: e}
	el := &p.Mesh.Elements[e]
	for l := 0; l < el.N; l++ {
		at, ok := number[el.Nodes[l]]
		if !ok {
			continue
		}
		f := 1.0
		switch at {
		case 0:
			f = ends[0].share() / 2
		case last:
			f = ends[1].share() / 2
		default:
			if side == 1 {
				continue
			}
		}
		row.nodes = append(row.nodes, traceNode{int8(l), at, f})
	}
	return row
}

// share is the part of a corner's force that goes to the joint before the
// difference of the two edges is put right.
func (c *corner) share() float64 {
	if c.shared {
		return 0.5
	}
	return 1
}

// jointNodes lists the nodes along a joint in the order From→To.
func (p *Model) jointNodes(jt *layout.Joint, t [2]float64) []int32 {
	var out []int32
	for _, e := range jt.Edges {
		em, ed := &p.Mesh.Edges[e], &p.Board.Partition.Edges[e]
		v0, v1 := p.Board.Partition.Vertices[ed.V0], p.Board.Partition.Vertices[ed.V1]
		back := (v1[0]-v0[0])*t[0]+(v1[1]-v0[1])*t[1] < 0
		if len(out) > 0 {
			out = out[:len(out)-1]
		}
		for i := range em.Nodes {
			if back {
				out = append(out, em.Nodes[len(em.Nodes)-1-i])
			} else {
				out = append(out, em.Nodes[i])
			}
		}
	}
	return out
}

// cornerOf looks at a piece's ring where the edge ends at a node.
func (p *Model) cornerOf(piece, edge int, node int32) corner {
	ring := p.Board.Partition.Rings[piece]
	k := 0
	for ring[k].Edge != edge {
		k++
	}
	ed := &p.Board.Partition.Edges[edge]
	// The ring's next edge starts where this one ends, the one before ends where it starts.
	end := ed.V1
	if ring[k].Reversed {
		end = ed.V0
	}
	other := ring[(k+1)%len(ring)].Edge
	if p.vertexNode(end) != node {
		other = ring[(k+len(ring)-1)%len(ring)].Edge
	}
	c := corner{own: p.cornerEdge(piece, edge, node)}
	if p.Board.Partition.Edges[other].Joint >= 0 {
		c.shared = true
		c.other = p.cornerEdge(piece, other, node)
	}
	return c
}

// vertexNode gives the node of a vertex of the partition; package mesh numbers
// the vertices first.
func (p *Model) vertexNode(v int) int32 { return int32(v) }

func (p *Model) cornerEdge(piece, edge int, node int32) corneredge {
	em, ed := &p.Mesh.Edges[edge], &p.Board.Partition.Edges[edge]
	sides, turn := em.Left, 1.0
	if ed.Left != piece {
		sides, turn = em.Right, -1
	}
	k, a, b := 0, em.Nodes[0], em.Nodes[2]
	if node != a {
		k = len(sides) - 1
		a, b = em.Nodes[2*k], em.Nodes[2*k+2]
	}
	pa, pb := p.Mesh.Nodes[a], p.Mesh.Nodes[b]
	c := corneredge{element: sides[k].Element}
	dx, dy := pb[0]-pa[0], pb[1]-pa[1]
	c.length = hypot(dx, dy)
	c.out = [2]float64{turn * dy / c.length, -turn * dx / c.length}
	el := &p.Mesh.Elements[c.element]
	for i := 0; i < el.Corners(); i++ {
		if el.Nodes[i] == node {
			c.corner = int8(i)
		}
	}
	return c
}

// Forces writes ∫ t·φ ds [MPa·mm, or MPa in bending: MPa/mm·mm] at every node of
// the trace for each case of displacements and amounts per piece.
func (p *Model) Forces(mode Mode, tr *Trace, xs, amounts [][]float64) [][]Traction {
	out := make([][]Traction, len(xs))
	for c := range out {
		out[c] = make([]Traction, len(tr.S))
	}
	var k [576]float64
	var v [24]float64
	for side := range tr.sides {
		s := &tr.sides[side]
		for i := range s.rows {
			row := &s.rows[i]
			e := int(row.element)
			cols := p.stiffness(mode, e, k[:])
			var unit [16]float64
			p.strainLoad(e, p.rigidity(mode), &unit)
			for c := range xs {
				p.gatherAll(mode, e, xs[c], v[:])
				a := amounts[c][s.piece]
				for _, nd := range row.nodes {
					fx, fy := p.nodeForce(mode, &nd, k[:], v[:], cols, &unit, a)
					f := s.sign * nd.factor / p.rigidity(mode)
					out[c][nd.at].N += f * (fx*tr.n[0] + fy*tr.n[1])
					out[c][nd.at].T += f * (fx*tr.t[0] + fy*tr.t[1])
				}
			}
		}
		for end := range s.ends {
			cr := &s.ends[end]
			if !cr.shared {
				continue
			}
			at := end * (len(tr.S) - 1)
			for c := range xs {
				a := amounts[c][s.piece]
				own, other := p.edgeForce(mode, &cr.own, xs[c], a), p.edgeForce(mode, &cr.other, xs[c], a)
				fx, fy := (own[0]-other[0])/2, (own[1]-other[1])/2
				out[c][at].N += s.sign / 2 * (fx*tr.n[0] + fy*tr.n[1])
				out[c][at].T += s.sign / 2 * (fx*tr.t[0] + fy*tr.t[1])
			}
		}
	}
	return out
}

// stiffness writes an element's matrix and gives its width.
func (p *Model) stiffness(mode Mode, e int, k []float64) int {
	n := mode.dof() * p.Mesh.Elements[e].N
	if mode == Bending {
		p.bendingStiffness(e, k[:n*n])
	} else {
		p.membraneStiffness(e, k[:n*n])
	}
	return n
}

func (p *Model) gatherAll(mode Mode, e int, x, v []float64) {
	el := &p.Mesh.Elements[e]
	d := mode.dof()
	for i := 0; i < el.N; i++ {
		copy(v[i*d:(i+1)*d], x[int(el.Nodes[i])*d:])
	}
}

// nodeForce is what an element leaves unbalanced at one of its nodes.
func (p *Model) nodeForce(mode Mode, nd *traceNode, k, v []float64, cols int, unit *[16]float64, amount float64) (fx, fy float64) {
	d, o := mode.dof(), int(mode)
	r := int(nd.local)*d + o
	for i := 0; i < cols; i++ {
		fx += k[r*cols+i] * v[i]
		fy += k[(r+1)*cols+i] * v[i]
	}
	return fx - amount*unit[2*nd.local], fy - amount*unit[2*nd.local+1]
}

// edgeForce is ∫ σn·φ over the element side at a corner, φ the corner's own
// shape function, from the stress carried to the corner: a sixth of the side.
func (p *Model) edgeForce(mode Mode, c *corneredge, x []float64, amount float64) [2]float64 {
	sig := p.cornerStress(mode, int(c.element), int(c.corner), x, amount)
	f := c.length / 6
	return [2]float64{
		f * (sig[0]*c.out[0] + sig[2]*c.out[1]),
		f * (sig[2]*c.out[0] + sig[1]*c.out[1]),
	}
}
