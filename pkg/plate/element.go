package plate

import "github.com/tanrad/tanrad/pkg/layout"

// origin is the place of an element's first corner.
func (p *Model) origin(e int) layout.XY { return p.Mesh.Nodes[p.Mesh.Elements[e].Nodes[0]] }

func shift(o, d layout.XY) layout.XY { return layout.XY{o[0] + d[0], o[1] + d[1]} }

// membraneStiffness writes h·∫BᵀQB of one element [N/mm].
func (p *Model) membraneStiffness(e int, dst []float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	for i := range dst {
		dst[i] = 0
	}
	if w.At == nil {
		addBasis(dst, s, &w.Q, p.H)
		return
	}
	p.varying(e, p.H, dst)
}

// addBasis adds f·Σ Q_k·∫BᵀE_kB.
func addBasis(dst []float64, s *shape, q *[3][3]float64, f float64) {
	c := [6]float64{f * q[0][0], f * q[1][1], f * q[2][2], f * q[0][1], f * q[0][2], f * q[1][2]}
	b0, b1, b2, b3, b4, b5 := s.basis[0], s.basis[1], s.basis[2], s.basis[3], s.basis[4], s.basis[5]
	for i := range b0 {
		dst[i] += c[0]*b0[i] + c[1]*b1[i] + c[2]*b2[i] + c[3]*b3[i] + c[4]*b4[i] + c[5]*b5[i]
	}
}

// varying adds f·∫BᵀQB where Q differs from point to point.
func (p *Model) varying(e int, f float64, dst []float64) {
	el := &p.Mesh.Elements[e]
	s, w, o := p.shapes[el.Shape], &p.Woods[el.Piece], p.origin(e)
	m := 2 * s.n
	for g := range s.full {
		pt := &s.full[g]
		q, _, _ := w.At(shift(o, pt.at))
		b := pt.strainRows(s.n)
		var qb [3][16]float64
		for r := 0; r < 3; r++ {
			for i := 0; i < m; i++ {
				qb[r][i] = f * pt.weight * (q[r][0]*b[0][i] + q[r][1]*b[1][i] + q[r][2]*b[2][i])
			}
		}
		for i := 0; i < m; i++ {
			for j := 0; j < m; j++ {
				dst[i*m+j] += b[0][i]*qb[0][j] + b[1][i]*qb[1][j] + b[2][i]*qb[2][j]
			}
		}
	}
}

const shearFactor = 5. / 6

// bendingStiffness writes h³/12·∫B_κᵀQB_κ + 5/6·h·∫B_γᵀGB_γ of one element,
// unknowns w [mm], φx, φy [rad] a node.
func (p *Model) bendingStiffness(e int, dst []float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	m2, m3 := 2*s.n, 3*s.n
	var in [256]float64
	inner := in[:m2*m2]
	if w.At == nil {
		addBasis(inner, s, &w.Q, p.H*p.H*p.H/12)
	} else {
		p.varying(e, p.H*p.H*p.H/12, inner)
	}
	g := w.G
	if w.At != nil { // shear changes little over an element: its centre serves
		_, g, _ = w.At(p.centre(e))
	}
	f := shearFactor * p.H
	for i := range dst {
		dst[i] = f * (g[0][0]*s.shear[0][i] + g[1][1]*s.shear[1][i] + g[0][1]*s.shear[2][i])
	}
	for i := 0; i < m2; i++ {
		for j := 0; j < m2; j++ {
			dst[(3*(i/2)+1+i%2)*m3+3*(j/2)+1+j%2] += inner[i*m2+j]
		}
	}
}

func (p *Model) centre(e int) layout.XY {
	el := &p.Mesh.Elements[e]
	var c layout.XY
	n := el.Corners()
	for i := 0; i < n; i++ {
		q := p.Mesh.Nodes[el.Nodes[i]]
		c[0], c[1] = c[0]+q[0]/float64(n), c[1]+q[1]/float64(n)
	}
	return c
}

// strainLoad adds f·∫BᵀQ·(amount·unit) of one element to the 2n values of dst.
func (p *Model) strainLoad(e int, f float64, dst *[16]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	m := 2 * s.n
	if w.At == nil {
		q := mul(&w.Q, &w.Unit)
		for i := 0; i < m; i++ {
			dst[i] += f * (s.load[0][i]*q[0] + s.load[1][i]*q[1] + s.load[2][i]*q[2])
		}
		return
	}
	o := p.origin(e)
	for g := range s.full {
		pt := &s.full[g]
		qq, _, unit := w.At(shift(o, pt.at))
		q := mul(&qq, &unit)
		b := pt.strainRows(s.n)
		for i := 0; i < m; i++ {
			dst[i] += f * pt.weight * (b[0][i]*q[0] + b[1][i]*q[1] + b[2][i]*q[2])
		}
	}
}

func mul(q *[3][3]float64, e *[3]float64) [3]float64 {
	return [3]float64{
		q[0][0]*e[0] + q[0][1]*e[1] + q[0][2]*e[2],
		q[1][0]*e[0] + q[1][1]*e[1] + q[1][2]*e[2],
		q[2][0]*e[0] + q[2][1]*e[1] + q[2][2]*e[2],
	}
}
