package plate

import (
	"math"
	"sort"

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
// At the two ends of a joint the balance of one piece gives only the sum over
// the two edges that meet in its corner. All pieces round the vertex together
// give the force of every joint there but for one common vector, as the forces
// of a closed ring of links are known but for a constant; a free edge, which
// carries nothing, fixes it, and where wood closes all round, it is taken so
// that the mean over the joints is that of the corner stresses.
type Trace struct {
	Joint int
	S     []float64 // place of each node, mm from From; ends of element sides at even numbers
	t, n  [2]float64
	rows  []traceRow
	ends  []cornerShare
}

// traceRow is one element with the nodes it has on the joint.
type traceRow struct {
	element int32
	nodes   []traceNode
}

type traceNode struct {
	local  int8
	at     int32   // number in S
	factor float64 // share of the element's force that counts, on piece A
}

// cornerShare is what a corner stress adds at an end of the joint.
type cornerShare struct {
	at     int32
	factor float64
	edge   cornerEdge
}

// cornerEdge is the last element side of an edge at a corner of a piece.
type cornerEdge struct {
	piece   int
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
	tr.S = make([]float64, len(nodes))
	for i, n := range nodes {
		q := p.Mesh.Nodes[n]
		tr.S[i] = (q[0]-jt.From[0])*tr.t[0] + (q[1]-jt.From[1])*tr.t[1]
	}
	last := len(nodes) - 1
	row := map[int32]int{} // element → number in rows
	enter := func(element, node int32, at int, factor float64) {
		k, ok := row[element]
		if !ok {
			k = len(tr.rows)
			row[element] = k
			tr.rows = append(tr.rows, traceRow{element: element})
		}
		el := &p.Mesh.Elements[element]
		for l := range el.Nodes[:el.N] {
			if el.Nodes[l] == node {
				tr.rows[k].nodes = append(tr.rows[k].nodes, traceNode{int8(l), int32(at), factor})
			}
		}
	}
	// Inner nodes: both pieces agree, since their forces balance; A speaks.
	for i := 1; i < last; i++ {
		for _, e := range p.around(nodes[i]) {
			if int(p.Mesh.Elements[e].Piece) == jt.A {
				enter(e, nodes[i], i, 1)
			}
		}
	}
	for end, edge := range [2]int{jt.Edges[0], jt.Edges[len(jt.Edges)-1]} {
		at := end * last
		// Away from the vertex A lies on the left at From, on the right at To.
		sign := 1 - 2*float64(end)
		share := p.shareAt(int(nodes[at]), edge)
		for piece, f := range share.pieces {
			for _, e := range p.around(nodes[at]) {
				if int(p.Mesh.Elements[e].Piece) == piece {
					enter(e, nodes[at], at, sign*f)
				}
			}
		}
		for _, c := range share.corners {
			tr.ends = append(tr.ends, cornerShare{int32(at), sign * c.factor, c.edge})
		}
	}
	return tr
}

// vertexShare says how the force of one edge at a vertex follows from the
// balance of the pieces round it and from corner stresses.
type vertexShare struct {
	pieces  map[int]float64
	corners []cornerShare
}

// shareAt works out the force on the piece to the left of an edge, seen away
// from the vertex.
func (p *Model) shareAt(vertex, edge int) vertexShare {
	spokes := p.spokes(vertex)
	m := len(spokes)
	own, gap := 0, -1
	for k := range spokes {
		if spokes[k].edge == edge {
			own = k
		}
		if spokes[k].left < 0 {
			gap = k
		}
	}
	out := vertexShare{pieces: map[int]float64{}}
	if gap >= 0 {
		// Force s on the left of each spoke: s(k+1) = s(k) − f(piece between), from
		// the free edge after a gap, where s is 0, round to this one.
		start := own
		for spokes[(start+m-1)%m].left >= 0 {
			start = (start + m - 1) % m
		}
		for k := start; k != own; k = (k + 1) % m {
			out.pieces[spokes[k].left]--
		}
		return out
	}
	for i := 0; i < m; i++ { // counted from this spoke: it is number 0
		sp := &spokes[(own+i)%m]
		out.pieces[sp.left] += float64(m-1-i) / float64(m)
		right := spokes[(own+i+m-1)%m].left
		f := 0.5 / float64(m)
		out.corners = append(out.corners,
			cornerShare{factor: f, edge: p.cornerEdge(sp.left, sp.edge, int32(vertex))},
			cornerShare{factor: -f, edge: p.cornerEdge(right, sp.edge, int32(vertex))})
	}
	return out
}

// spoke is one edge of the partition seen away from a vertex.
type spoke struct {
	edge  int
	angle float64
	left  int // piece counter-clockwise of it, −1 where there is no wood
}

// spokes lists the edges at a vertex counter-clockwise.
func (p *Model) spokes(vertex int) []spoke {
	var out []spoke
	pt := &p.Board.Partition
	for _, e := range p.spokesAt[vertex] {
		ed := &pt.Edges[e]
		s := spoke{edge: e, left: ed.Left}
		far := ed.V1
		if ed.V1 == vertex {
			far, s.left = ed.V0, ed.Right
		}
		s.angle = math.Atan2(pt.Vertices[far][1]-pt.Vertices[vertex][1], pt.Vertices[far][0]-pt.Vertices[vertex][0])
		out = append(out, s)
	}
	sort.Slice(out, func(a, b int) bool { return out[a].angle < out[b].angle })
	return out
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

// cornerEdge looks at the element side of a piece at the end of an edge. Package
// mesh numbers the vertices of the partition first, so node and vertex agree.
func (p *Model) cornerEdge(piece, edge int, node int32) cornerEdge {
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
	c := cornerEdge{piece: piece, element: sides[k].Element}
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
	for i := range tr.rows {
		row := &tr.rows[i]
		e := int(row.element)
		cols := p.stiffness(mode, e, k[:])
		var unit [16]float64
		p.strainLoad(e, p.rigidity(mode), &unit)
		piece := p.Mesh.Elements[e].Piece
		for c := range xs {
			p.gatherAll(mode, e, xs[c], v[:])
			a := amounts[c][piece]
			for _, nd := range row.nodes {
				fx, fy := p.nodeForce(mode, &nd, k[:], v[:], cols, &unit, a)
				tr.add(out[c], nd.at, nd.factor/p.rigidity(mode), fx, fy)
			}
		}
	}
	for i := range tr.ends {
		en := &tr.ends[i]
		for c := range xs {
			f := p.edgeForce(mode, &en.edge, xs[c], amounts[c][en.edge.piece])
			tr.add(out[c], en.at, en.factor, f[0], f[1])
		}
	}
	return out
}

// add enters a force on piece A.
func (tr *Trace) add(out []Traction, at int32, f, fx, fy float64) {
	out[at].N += f * (fx*tr.n[0] + fy*tr.n[1])
	out[at].T += f * (fx*tr.t[0] + fy*tr.t[1])
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
func (p *Model) edgeForce(mode Mode, c *cornerEdge, x []float64, amount float64) [2]float64 {
	sig := p.cornerStress(mode, int(c.element), int(c.corner), x, amount)
	f := c.length / 6
	return [2]float64{
		f * (sig[0]*c.out[0] + sig[2]*c.out[1]),
		f * (sig[2]*c.out[0] + sig[1]*c.out[1]),
	}
}
