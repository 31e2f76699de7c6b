package plate

import "github.com/tanrad/tanrad/pkg/layout"

// Influence is what one quantity owes to one piece: its change for a free strain
// xx, yy, xy (engineering) of that piece, and for one unit of amount.
type Influence struct {
	Strain [3]float64 // MPa (or MPa/mm) per unit strain (or per 1/mm)
	Amount float64    // MPa per % MC (or MPa/mm per % MC/mm)
}

// Weights picks a quantity: the sum over the nodes of a trace of the force
// there times Node, N with N and T with T.
type Weights struct {
	Trace *Trace
	Node  []Traction
}

// Influences gives, for each quantity, the influence of every piece, by one
// extra solve a quantity: with K·λ = g, the quantity is λ·f(ε0) minus what the
// free strain takes away on the spot (adjoint method).
func (p *Model) Influences(mode Mode, qs []Weights) ([][]Influence, error) {
	out := make([][]Influence, len(qs))
	rhs := make([][]float64, len(qs))
	for i := range qs {
		out[i] = make([]Influence, len(p.Woods))
		rhs[i] = p.functional(mode, &qs[i], out[i])
	}
	lambda, err := p.Solve(mode, rhs)
	if err != nil {
		return nil, err
	}
	r := p.rigidity(mode)
	var v, f [16]float64
	for i := range qs {
		for e := range p.Mesh.Elements {
			el := &p.Mesh.Elements[e]
			p.gather(mode, e, lambda[i], &v)
			in := &out[i][el.Piece]
			sv := p.strainWork(e, &v)
			for k := range sv {
				in.Strain[k] += r * sv[k]
			}
			f = [16]float64{}
			p.strainLoad(e, r, &f)
			for k := 0; k < 2*el.N; k++ {
				in.Amount += f[k] * v[k]
			}
		}
	}
	return out, nil
}

// strainWork gives ∫(Bv)ᵀQ of one element.
func (p *Model) strainWork(e int, v *[16]float64) [3]float64 {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	var out [3]float64
	if w.At == nil {
		var bv [3]float64
		for r := range bv {
			for i := 0; i < 2*s.n; i++ {
				bv[r] += s.load[r][i] * v[i]
			}
		}
		return mul(&w.Q, &bv)
	}
	o := p.origin(e)
	for g := range s.full {
		pt := &s.full[g]
		q, _, _ := w.At(shift(o, pt.at))
		b := pt.strainRows(s.n)
		var bv [3]float64
		for r := range bv {
			for i := 0; i < 2*s.n; i++ {
				bv[r] += b[r][i] * v[i]
			}
		}
		m := mul(&q, &bv)
		for k := range out {
			out[k] += pt.weight * m[k]
		}
	}
	return out
}

// functional writes the derivative of a quantity with respect to the
// displacements, and takes its direct share of the free strains off out.
func (p *Model) functional(mode Mode, q *Weights, out []Influence) []float64 {
	g := make([]float64, mode.dof()*len(p.Mesh.Nodes))
	tr := q.Trace
	d, o := mode.dof(), int(mode)
	var k [576]float64
	vector := func(at int32, f float64) [2]float64 {
		w := q.Node[at]
		return [2]float64{f * (w.N*tr.n[0] + w.T*tr.t[0]), f * (w.N*tr.n[1] + w.T*tr.t[1])}
	}
	for i := range tr.rows {
		row := &tr.rows[i]
		e := int(row.element)
		el := &p.Mesh.Elements[e]
		cols := p.stiffness(mode, e, k[:])
		var test [16]float64
		for _, nd := range row.nodes {
			w := vector(nd.at, nd.factor/p.rigidity(mode))
			r := int(nd.local)*d + o
			for c := 0; c < cols; c++ {
				g[int(el.Nodes[c/d])*d+c%d] += w[0]*k[r*cols+c] + w[1]*k[(r+1)*cols+c]
			}
			test[2*nd.local] += w[0]
			test[2*nd.local+1] += w[1]
		}
		p.takeLoad(mode, e, &test, &out[el.Piece])
	}
	for i := range tr.ends {
		en := &tr.ends[i]
		w := vector(en.at, en.factor*en.edge.length/6)
		n := en.edge.out
		dd := [3]float64{w[0] * n[0], w[1] * n[1], w[0]*n[1] + w[1]*n[0]}
		p.cornerAdjoint(mode, int(en.edge.element), int(en.edge.corner), &dd, g, out)
	}
	return g
}

// takeLoad takes ∫(B·test)ᵀQε0, the part of an element's force that is its own
// free strain, off an influence.
func (p *Model) takeLoad(mode Mode, e int, test *[16]float64, in *Influence) {
	r := p.rigidity(mode)
	sw := p.strainWork(e, test)
	for k := range sw {
		in.Strain[k] -= r * sw[k]
	}
	var f [16]float64
	p.strainLoad(e, r, &f)
	for i := range f {
		in.Amount -= f[i] * test[i]
	}
}

func (p *Model) cornerAdjoint(mode Mode, e, corner int, d *[3]float64, g []float64, out []Influence) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	in := &out[el.Piece]
	var v [16]float64
	direct := func(q *[3][3]float64, unit *[3]float64, f float64) [3]float64 {
		qd := mul(q, d) // Q is symmetric
		for k := range qd {
			qd[k] *= f
			in.Strain[k] -= qd[k]
			in.Amount -= qd[k] * unit[k]
		}
		return qd
	}
	if w.At == nil {
		qd := direct(&w.Q, &w.Unit, 1)
		for i := 0; i < 2*s.n; i++ {
			v[i] = s.ends[corner][0][i]*qd[0] + s.ends[corner][1][i]*qd[1] + s.ends[corner][2][i]*qd[2]
		}
	} else {
		for k := range s.sparse {
			pt := &s.sparse[k]
			q, _, unit := w.At(shift(p.origin(e), pt.at))
			qd := direct(&q, &unit, s.carry[corner][k])
			b := pt.strainRows(s.n)
			for i := 0; i < 2*s.n; i++ {
				v[i] += b[0][i]*qd[0] + b[1][i]*qd[1] + b[2][i]*qd[2]
			}
		}
	}
	p.scatter(mode, e, &v, g)
}

// Displacement gives u, v (membrane) or w, φx, φy (bending) at a vertex of the
// partition, mm and rad.
func (p *Model) Displacement(mode Mode, x []float64, vertex int) []float64 {
	d := mode.dof()
	return x[vertex*d : (vertex+1)*d]
}

// Move is the best straight-line description of a displacement of the membrane:
// the mean strains over the board's corners and joints, and what remains.
type Move struct {
	Exx, Eyy, Gxy float64
	Width, Height float64 // mm, change of the extent in x and in y with the mean rotation taken out
}

// Moves measures how the board's size changes.
func (p *Model) Moves(x []float64) Move {
	v := p.Board.Partition.Vertices
	var c, cu [2]float64
	for i := range v {
		for k := 0; k < 2; k++ {
			c[k] += v[i][k] / float64(len(v))
			cu[k] += x[2*i+k] / float64(len(v))
		}
	}
	// Least squares u ≈ a + G·(x − c): normal equations of two 2×2 systems.
	var sxx, sxy, syy float64
	var bu, bv [2]float64
	for i := range v {
		dx, dy := v[i][0]-c[0], v[i][1]-c[1]
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
		bu[0], bu[1] = bu[0]+(x[2*i]-cu[0])*dx, bu[1]+(x[2*i]-cu[0])*dy
		bv[0], bv[1] = bv[0]+(x[2*i+1]-cu[1])*dx, bv[1]+(x[2*i+1]-cu[1])*dy
	}
	det := sxx*syy - sxy*sxy
	ux, uy := (bu[0]*syy-bu[1]*sxy)/det, (bu[1]*sxx-bu[0]*sxy)/det
	vx, vy := (bv[0]*syy-bv[1]*sxy)/det, (bv[1]*sxx-bv[0]*sxy)/det
	m := Move{Exx: ux, Eyy: vy, Gxy: uy + vx}
	rot := (vx - uy) / 2
	lo, hi := [2]float64{}, [2]float64{}
	var lo0, hi0 [2]float64
	for i := range v {
		q := layout.XY{v[i][0] + x[2*i] + rot*(v[i][1]-c[1]), v[i][1] + x[2*i+1] - rot*(v[i][0]-c[0])}
		for k := 0; k < 2; k++ {
			if i == 0 || q[k] < lo[k] {
				lo[k] = q[k]
			}
			if i == 0 || q[k] > hi[k] {
				hi[k] = q[k]
			}
			if i == 0 || v[i][k] < lo0[k] {
				lo0[k] = v[i][k]
			}
			if i == 0 || v[i][k] > hi0[k] {
				hi0[k] = v[i][k]
			}
		}
	}
	m.Width, m.Height = (hi[0]-lo[0])-(hi0[0]-lo0[0]), (hi[1]-lo[1])-(hi0[1]-lo0[1])
	return m
}
