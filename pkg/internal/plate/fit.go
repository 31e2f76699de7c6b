package plate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/layout"
)

// areaFit is least squares over the board's area: it minimises ∫(w − Σ c_a·m_a)² dA
// with the monomials m = 1, X, Y, X²/2, X·Y, Y²/2 of X = (x − centre)/sx and Y
// likewise. What it finds does not depend on how the board is cut into pieces, as
// a fit over corners would.
type areaFit struct {
	centre        layout.XY
	sx, sy        float64
	moment        [6][]float64 // ∫N_i·m_a dA at [a][node i]
	first, second mat.Cholesky // of ∫m_a·m_b dA, for the first three and for all monomials
	rim           []int32      // nodes where the board ends
}

func (p *Geometry) newAreaFit(b *layout.Board) *areaFit {
	f := &areaFit{centre: layout.XY{b.Width / 2, b.Height / 2}, sx: b.Width, sy: b.Height}
	for a := range f.moment {
		f.moment[a] = make([]float64, len(p.Mesh.Nodes))
	}
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		s, o := p.shapes[el.Shape], p.origin(e)
		x, y := (o[0]-f.centre[0])/f.sx, (o[1]-f.centre[1])/f.sy
		for i, n := range el.Nodes[:el.N] {
			// Moments about the element's first corner, moved to the centre.
			m0, mx, my := s.plane.n[i], s.moment[0][i]/f.sx, s.moment[1][i]/f.sy
			mxx, mxy, myy := s.moment[2][i]/(f.sx*f.sx), s.moment[3][i]/(f.sx*f.sy), s.moment[4][i]/(f.sy*f.sy)
			f.moment[0][n] += m0
			f.moment[1][n] += x*m0 + mx
			f.moment[2][n] += y*m0 + my
			f.moment[3][n] += (x*x*m0 + 2*x*mx + mxx) / 2
			f.moment[4][n] += x*y*m0 + x*my + y*mx + mxy
			f.moment[5][n] += (y*y*m0 + 2*y*my + myy) / 2
		}
	}
	// The shape functions reproduce second-order surfaces exactly, so the normal
	// matrix is the moments of the monomials themselves.
	normal := mat.NewSymDense(6, nil)
	for n, q := range p.Mesh.Nodes {
		x, y := (q[0]-f.centre[0])/f.sx, (q[1]-f.centre[1])/f.sy
		m := [6]float64{1, x, y, x * x / 2, x * y, y * y / 2}
		for a := range m {
			for b := a; b < 6; b++ {
				normal.SetSym(a, b, normal.At(a, b)+f.moment[a][n]*m[b])
			}
		}
	}
	if !f.second.Factorize(normal) || !f.first.Factorize(normal.SliceSym(0, 3)) {
		panic("plate: a board without area") // layout lets none through
	}
	p.findRim(f, &b.Partition)
	return f
}

// findRim lists the nodes of edges with wood on one side only.
func (p *Geometry) findRim(f *areaFit, of *layout.Partition) {
	seen := make([]bool, len(p.Mesh.Nodes))
	for e := range of.Edges {
		if ed := &of.Edges[e]; ed.Left >= 0 && ed.Right >= 0 {
			continue
		}
		for _, n := range p.Mesh.Edges[e].Nodes {
			if !seen[n] {
				seen[n] = true
				f.rim = append(f.rim, n)
			}
		}
	}
}

// fit gives the coefficients of the monomials for one unknown of every node: the
// k-th of d.
func (f *areaFit) fit(x []float64, d, k int, ch *mat.Cholesky) [6]float64 {
	n := ch.SymmetricDim()
	right := mat.NewVecDense(n, nil)
	for a := range n {
		sum := 0.0
		for i, w := range f.moment[a] {
			sum += w * x[i*d+k]
		}
		right.SetVec(a, sum)
	}
	var c mat.VecDense
	if err := ch.SolveVecTo(&c, right); err != nil && math.IsInf(ch.Cond(), 1) {
		panic("plate: " + err.Error())
	}
	var out [6]float64
	for a := range n {
		out[a] = c.AtVec(a)
	}
	return out
}
