package plate

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/matrix"
)

// Influence is the sensitivity of one quantity to one piece: its change for a free
// strain of that piece, and for one unit of amount.
type Influence struct {
	Strain [3]float64 // per unit in-plane free strain (membrane, MPa) or free curvature (bending and warp, MPa/mm per 1/mm), xx yy xy
	Shear  [2]float64 // bending and warp: per unit free transverse shear strain, xz yz, MPa/mm
	Amount float64    // per unit of amount, see Mode
}

// Add adds f times another influence; f has no unit, dimensionless.
func (in *Influence) Add(f float64, of *Influence) {
	for k := range in.Strain {
		in.Strain[k] += f * of.Strain[k]
	}
	for k := range in.Shear {
		in.Shear[k] += f * of.Shear[k]
	}
	in.Amount += f * of.Amount
}

// Weights picks a quantity: the sum over the nodes of a trace of the force
// there times Node, N with N, T with T and V with V.
type Weights struct {
	Trace *Trace
	Node  []Traction
}

// Influences gives, for each quantity, the influence of every piece, by one
// extra solve a quantity: with K·λ = g, the quantity is λ·f(ε0) minus what the
// free strain takes away on the spot (adjoint method). Summed over the pieces
// times their amounts, influences give the quantity itself.
func (p *Model) Influences(ctx context.Context, mode Mode, qs []Weights) ([][]Influence, error) {
	out := make([][]Influence, len(qs))
	rhs := make([][]float64, len(qs))
	for i := range qs {
		out[i] = make([]Influence, len(p.Woods))
		rhs[i] = p.adjointLoad(mode, &qs[i], out[i])
	}
	sys := p.systemOf(mode)
	if sys == nil {
		return nil, errNoBending
	}
	lambda := rhs
	if err := sys.solveOnce(ctx, lambda, nil); err != nil { // on a large board nobody asks of bending again
		return nil, err
	}
	var v [24]float64
	for i := range qs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for e := range p.Mesh.Elements {
			p.gather(mode, e, lambda[i], &v)
			p.addSensitivity(mode, e, &v, 1, &out[i][p.Mesh.Elements[e].Piece])
		}
	}
	return out, nil
}

// addSensitivity adds f times what the free strains of an element do on the values v.
func (p *Model) addSensitivity(mode Mode, e int, v *[24]float64, f float64, in *Influence) {
	var load [24]float64
	p.freeLoad(mode, e, &load)
	n := mode.dof() * p.Mesh.Elements[e].N
	for i := 0; i < n; i++ {
		in.Amount += f * load[i] * v[i]
	}
	work, shear := p.strainWork(mode, e, v)
	for k := range work {
		in.Strain[k] += f * p.rigidity(mode) * work[k]
	}
	for k := range shear {
		in.Shear[k] += f * shear[k]
	}
}

// strainWork gives ∫(Bv)ᵀQ of one element, and 5/6·h·∫(B_γv)ᵀG in bending.
func (p *Model) strainWork(mode Mode, e int, v *[24]float64) (out [3]float64, shear [2]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	d, o := mode.dof(), mode.inPlane()
	if w.At == nil {
		var bv [3]float64
		for i := 0; i < s.n; i++ {
			bv[0] += s.plane.x[i] * v[i*d+o]
			bv[1] += s.plane.y[i] * v[i*d+o+1]
			bv[2] += s.plane.y[i]*v[i*d+o] + s.plane.x[i]*v[i*d+o+1]
		}
		out = matrix.Times(&w.Q, &bv)
	} else {
		for g := range s.full {
			pt := &s.full[g]
			var bv [3]float64
			for i := 0; i < s.n; i++ {
				bv[0] += pt.weight * pt.dx[i] * v[i*d+o]
				bv[1] += pt.weight * pt.dy[i] * v[i*d+o+1]
				bv[2] += pt.weight * (pt.dy[i]*v[i*d+o] + pt.dx[i]*v[i*d+o+1])
			}
			m := matrix.Times(&p.materialPoints[e][g].q, &bv)
			for k := range out {
				out[k] += m[k]
			}
		}
	}
	if mode != Membrane {
		shear = p.shearWork(e, v)
	}
	return out, shear
}

// shearWork gives 5/6·h·∫(B_γv)ᵀG of one element.
func (p *Model) shearWork(e int, v *[24]float64) (out [2]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	add := func(g *[2][2]float64, dx, dy, n *[8]float64, f float64) {
		var b [2]float64
		for i := 0; i < s.n; i++ {
			b[0] += dx[i]*v[3*i] + n[i]*v[3*i+1]
			b[1] += dy[i]*v[3*i] + n[i]*v[3*i+2]
		}
		x, y := product(g, &b)
		out[0], out[1] = out[0]+f*x, out[1]+f*y
	}
	if w.At == nil {
		add(&w.G, &s.across.x, &s.across.y, &s.across.n, shearFactor*p.H)
		return out
	}
	for k := range s.reduced {
		pt := &s.reduced[k]
		add(&p.shearPoints[e][k].g, &pt.dx, &pt.dy, &pt.n, shearFactor*p.H*pt.weight)
	}
	return out
}

// adjointLoad writes the derivative of a quantity with respect to the
// displacements, and takes its direct share of the free strains off out.
func (p *Model) adjointLoad(mode Mode, q *Weights, out []Influence) []float64 {
	g := make([]float64, mode.dof()*len(p.Mesh.Nodes))
	tr := q.Trace
	d, o := mode.dof(), mode.inPlane()
	var r elementRows
	for i := range tr.rows {
		row := &tr.rows[i]
		e := int(row.element)
		el := &p.Mesh.Elements[e]
		p.rowsOf(mode, e, row.nodes, &r)
		var test [24]float64
		for k, nd := range row.nodes {
			w := q.Node[nd.at]
			along := [3]float64{
				nd.factor * (w.N*tr.n[0] + w.T*tr.t[0]),
				nd.factor * (w.N*tr.n[1] + w.T*tr.t[1]),
				nd.factor * w.V,
			}
			for c, f := range along[:r.each] {
				if f == 0 {
					continue
				}
				for j := 0; j < r.cols; j++ {
					g[int(el.Nodes[j/d])*d+j%d] += f * r.k[3*k+c][j]
				}
			}
			test[int(nd.local)*d+o] += along[0] / p.rigidity(mode)
			test[int(nd.local)*d+o+1] += along[1] / p.rigidity(mode)
			if o > 0 {
				test[int(nd.local)*d] += along[2] / p.H
			}
		}
		p.addSensitivity(mode, e, &test, -1, &out[el.Piece])
	}
	return g
}
