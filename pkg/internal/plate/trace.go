package plate

import "github.com/tanrad/tanrad/pkg/layout"

// Traction is stress on a glue line: N along the normal from piece A to piece B
// (positive opens), T along From→To on piece A's side. In membrane MPa; in
// bending MPa per mm from the mid-plane, and V is the mean transverse shear in
// MPa (its peak, at mid-thickness, is 1.5 times that), positive when B pulls A up.
type Traction struct{ N, T, V float64 }

// Trace is a joint ready for recovery. Tractions are taken from the balance of
// the elements along the joint: what the elements of one piece do not balance
// among themselves at a node of the joint is what the joint carries there,
// ∫ t·φ ds with the shape function φ of the node. These forces converge with the
// energy of the solution, much faster than stresses, and near corners where
// stress has no bound they are all that can be trusted (consistent boundary
// flux; Wheeler, SIAM Journal on Numerical Analysis 10, 1973; from memory).
//
// At the ends of a joint several joints meet, and the balance gives sums; see
// endTerms for how they are told apart.
type Trace struct {
	Joint int
	S     []float64 // place of each node, mm from From; ends of element sides at even numbers
	t, n  [2]float64
	rows  []traceRow
}

// traceRow is one element with those of its nodes whose forces count.
type traceRow struct {
	element int32
	nodes   []traceNode
}

type traceNode struct {
	local  int8
	at     int32 // number in S
	factor float64
}

// Trace prepares a joint.
func (p *Model) Trace(j int) *Trace {
	if tr := p.traces[j].Load(); tr != nil {
		return tr
	}
	tr := p.newTrace(j)
	p.traces[j].Store(tr)
	return tr
}

func (p *Model) newTrace(j int) *Trace {
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
	// Seen from From, the counter-clockwise side of the joint is piece A; seen from To it is B.
	for _, t := range p.endTerms(int(nodes[0]), jt.Edges[0]) {
		tr.add(p, t, 0)
	}
	for i := 1; i < last; i++ {
		tr.add(p, term{nodes[i], jt.A, 1}, i)
	}
	for _, t := range p.endTerms(int(nodes[last]), jt.Edges[len(jt.Edges)-1]) {
		t.factor = -t.factor
		tr.add(p, t, last)
	}
	return tr
}

// add enters a term into the rows of the elements it is made of.
func (tr *Trace) add(p *Model, t term, at int) {
	for _, e := range p.around(t.node) {
		el := &p.Mesh.Elements[e]
		if int(el.Piece) != t.piece {
			continue
		}
		local := int8(0)
		for el.Nodes[local] != t.node {
			local++
		}
		k := len(tr.rows) - 1
		for k >= 0 && tr.rows[k].element != e {
			k--
		}
		if k < 0 {
			tr.rows = append(tr.rows, traceRow{element: e})
			k = len(tr.rows) - 1
		}
		tr.rows[k].nodes = append(tr.rows[k].nodes, traceNode{local, int32(at), t.factor})
	}
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

// Forces writes ∫ t·φ ds at every node of the trace for each case of
// displacements and amounts per piece: N and T in MPa·mm (membrane) or
// MPa/mm·mm (bending), V in MPa·mm.
func (p *Model) Forces(mode Mode, tr *Trace, xs, amounts [][]float64) [][]Traction {
	out := make([][]Traction, len(xs))
	flat := make([]Traction, len(xs)*len(tr.S))
	for c := range out {
		out[c] = flat[c*len(tr.S) : (c+1)*len(tr.S)]
	}
	var r elementRows
	var v [24]float64
	for i := range tr.rows {
		row := &tr.rows[i]
		e := int(row.element)
		piece := p.Mesh.Elements[e].Piece
		p.rowsOf(mode, e, row.nodes, &r)
		for c := range xs {
			p.gather(mode, e, xs[c], &v)
			a := amounts[c][piece]
			for k, nd := range row.nodes {
				f := r.force(k, &v, a)
				t := &out[c][nd.at]
				t.N += nd.factor * (f[0]*tr.n[0] + f[1]*tr.n[1])
				t.T += nd.factor * (f[0]*tr.t[0] + f[1]*tr.t[1])
				t.V += nd.factor * f[2]
			}
		}
	}
	return out
}
