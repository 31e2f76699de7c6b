package plate

import (
	"maps"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Lips is a joint ready to be opened: the stiffness with which the board
// resists a jump of displacement between the two sides, node by node.
//
// Let the elements of piece B see u + δ at the joint's nodes instead of u. The
// board's energy is then quadratic in (u, δ) with the blocks K, G = K_B and H =
// K_B of those elements, and with u eliminated S = H − GᵀK⁻¹G. Opening a stretch
// takes away the force f that A and B exert there on each other: δ = S⁻¹f, and
// the energy released is ½·fᵀδ. It is the closure integral ½∫t·δ ds of Irwin
// (1957; from memory), exact for the mesh, and needs no second factorisation.
type Lips struct {
	Trace *Trace
	nodes []int // numbers along the trace that can open
	h     float64
	s     *mat.SymDense // per node N and T, N/mm
	f     func(x, amount []float64) []float64
}

// Lips prepares a joint for opening, by one batch of solves of the membrane. A
// node that a third piece shares stays closed.
func (p *Model) Lips(tr *Trace) (*Lips, error) {
	jt := &p.Board.Joints[tr.Joint]
	all := p.jointNodes(jt, tr.t)
	l := &Lips{Trace: tr, h: p.H}
	var nodes []int32
	for i, n := range all {
		third := false
		for _, e := range p.around(n) {
			if pc := int(p.Mesh.Elements[e].Piece); pc != jt.A && pc != jt.B {
				third = true
			}
		}
		if !third {
			l.nodes, nodes = append(l.nodes, i), append(nodes, n)
		}
	}
	number := make(map[int32]int, len(nodes))
	for i, n := range nodes {
		number[n] = i
	}
	// Rows of the elements of B at the nodes, in the directions N and T.
	axes := [2][2]float64{tr.n, tr.t}
	m := 2 * len(nodes)
	g := make([]sparseRow, m)
	for i := range g {
		g[i] = sparseRow{}
	}
	load := make([]float64, m) // per unit of amount of B
	h := mat.NewSymDense(max(m, 1), nil)
	full := make([]float64, m*m)
	var k [256]float64
	done := map[int32]bool{}
	for _, n := range nodes {
		for _, e := range p.around(n) {
			el := &p.Mesh.Elements[e]
			if int(el.Piece) != jt.B || done[e] {
				continue
			}
			done[e] = true
			w := 2 * el.N
			p.membraneStiffness(int(e), k[:w*w])
			var v [24]float64
			p.freeLoad(Membrane, int(e), &v)
			for a := 0; a < el.N; a++ {
				i, ok := number[el.Nodes[a]]
				if !ok {
					continue
				}
				for d, ax := range axes {
					row := g[2*i+d]
					load[2*i+d] += ax[0]*v[2*a] + ax[1]*v[2*a+1]
					for b := 0; b < el.N; b++ {
						x := ax[0]*k[2*a*w+2*b] + ax[1]*k[(2*a+1)*w+2*b]
						y := ax[0]*k[2*a*w+2*b+1] + ax[1]*k[(2*a+1)*w+2*b+1]
						row[2*int(el.Nodes[b])] += x
						row[2*int(el.Nodes[b])+1] += y
						if j, ok := number[el.Nodes[b]]; ok {
							for c, bx := range axes {
								full[(2*i+d)*m+2*j+c] += x*bx[0] + y*bx[1]
							}
						}
					}
				}
			}
		}
	}
	y := make([][]float64, m) // the solver reads no load at supports and answers zero there
	for i := range g {
		y[i] = make([]float64, 2*len(p.Mesh.Nodes))
		for q, v := range g[i] {
			y[i][q] = v
		}
	}
	if err := p.membrane.Solve(y, y); err != nil {
		return nil, err
	}
	for i := 0; i < m; i++ {
		for j := i; j < m; j++ {
			h.SetSym(i, j, full[i*m+j]-g[i].dot(y[j]))
		}
	}
	l.s = h
	l.f = func(x, amount []float64) []float64 {
		f := make([]float64, m)
		for i := range f {
			f[i] = load[i]*amount[jt.B] - g[i].dot(x)
		}
		return f
	}
	return l, nil
}

// sparseRow holds the few entries of a row that are not zero, by column.
type sparseRow map[int]float64

// dot sums in the order of the columns, so that the result is always the same.
func (r sparseRow) dot(x []float64) float64 {
	sum := 0.0
	for _, q := range slices.Sorted(maps.Keys(r)) {
		sum += r[q] * x[q]
	}
	return sum
}

// Release is the energy set free when a stretch of a joint opens, N/mm (that is
// kJ/m²) of glue line, split by the motion of the two lips.
type Release struct {
	From, To         float64 // mm from the joint's start
	Opening, Sliding float64 // N/mm, mean over the stretch
	Pressed          bool    // the lips press on each other: they slide only
}

// Release opens the nodes between from and to (mm along the joint) under
// displacements x and amounts per piece. ok is false when a part of the board
// would float, or when nothing lies between.
func (l *Lips) Release(x, amount []float64, from, to float64) (r Release, ok bool) {
	f := l.f(x, amount)
	var dofs []int
	s := l.Trace.S
	r.From, r.To = s[len(s)-1], 0
	for i, at := range l.nodes {
		if s[at] < from || s[at] > to {
			continue
		}
		dofs = append(dofs, 2*i, 2*i+1)
		r.From, r.To = min(r.From, s[max(0, at-1)]), max(r.To, s[min(len(s)-1, at+1)])
	}
	delta, ok := l.open(dofs, f)
	if !ok {
		return r, false
	}
	gap := 0.0
	for _, d := range dofs {
		if d%2 == 0 {
			gap += delta[d]
		}
	}
	if gap < 0 { // pressed together: once more, sliding only
		r.Pressed = true
		var slide []int
		for _, d := range dofs {
			if d%2 == 1 {
				slide = append(slide, d)
			}
		}
		if delta, ok = l.open(slide, f); !ok {
			return r, false
		}
	}
	area := (r.To - r.From) * l.h
	for _, d := range dofs { // pressed lips have no opening in delta
		if d%2 == 0 {
			r.Opening += f[d] * delta[d] / 2 / area
		} else {
			r.Sliding += f[d] * delta[d] / 2 / area
		}
	}
	r.Opening, r.Sliding = max(0, r.Opening), max(0, r.Sliding)
	return r, true
}

// open solves S·δ = f on some unknowns.
func (l *Lips) open(dofs []int, f []float64) (map[int]float64, bool) {
	if len(dofs) == 0 {
		return nil, false
	}
	s, b := mat.NewSymDense(len(dofs), nil), mat.NewVecDense(len(dofs), nil)
	for i, d := range dofs {
		b.SetVec(i, f[d])
		for j := i; j < len(dofs); j++ {
			s.SetSym(i, j, l.s.At(d, dofs[j]))
		}
	}
	var ch mat.Cholesky
	if !ch.Factorize(s) || ch.Cond() > 1e12 {
		return nil, false
	}
	var x mat.VecDense
	if ch.SolveVecTo(&x, b) != nil {
		return nil, false
	}
	out := make(map[int]float64, len(dofs))
	for i, d := range dofs {
		out[d] = x.AtVec(i)
	}
	return out, true
}
