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

// spot is the wood at one point of an element where it varies.
type spot struct {
	q          [3][3]float64
	unit, bend [3]float64
}

// shearSpot is the same for transverse shear.
type shearSpot struct {
	g    [2][2]float64
	free [2]float64
}

// makeSpots looks up varying wood once, at the points of exact integration and
// at those of transverse shear.
func (p *Model) makeSpots() {
	p.spots = make([][]spot, len(p.Mesh.Elements))
	p.shearSpots = make([][]shearSpot, len(p.Mesh.Elements))
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		at := p.Woods[el.Piece].At
		if at == nil {
			continue
		}
		o := p.origin(e)
		full, sparse := p.shapes[el.Shape].full, p.shapes[el.Shape].sparse
		p.spots[e] = make([]spot, len(full))
		p.shearSpots[e] = make([]shearSpot, len(sparse))
		for g := range full {
			w := at(shift(o, full[g].at))
			p.spots[e][g] = spot{w.Q, w.Unit, w.Bend}
		}
		for g := range sparse {
			w := at(shift(o, sparse[g].at))
			p.shearSpots[e][g] = shearSpot{w.G, w.Shear}
		}
	}
}

// varying adds f·∫BᵀQB where Q differs from point to point.
func (p *Model) varying(e int, f float64, dst []float64) {
	s := p.shapes[p.Mesh.Elements[e].Shape]
	m := 2 * s.n
	for g := range s.full {
		pt, q := &s.full[g], &p.spots[e][g].q
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
	f := shearFactor * p.H
	if w.At == nil {
		g := &w.G
		for i := range dst {
			dst[i] = f * (g[0][0]*s.shear[0][i] + g[1][1]*s.shear[1][i] + g[0][1]*s.shear[2][i])
		}
	} else {
		for i := 0; i < m3; i++ {
			var row [24]float64
			p.shearRow(e, i, f, &row)
			copy(dst[i*m3:(i+1)*m3], row[:])
		}
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

// shearRows gives the rows of transverse shear xz and yz at a point, value by
// value of w, φx, φy.
func (p *point) shearRows(n int) (x, y [24]float64) {
	for i := 0; i < n; i++ {
		x[3*i], x[3*i+1] = p.dx[i], p.n[i]
		y[3*i], y[3*i+2] = p.dy[i], p.n[i]
	}
	return x, y
}

// freeLoad writes what one unit of amount loads an element with, unknown by
// unknown: h·∫BᵀQ·Unit, h³/12·∫B_κᵀQ·Unit, or, for Warp,
// h³/12·∫B_κᵀQ·Bend + 5/6·h·∫B_γᵀG·Shear.
func (p *Model) freeLoad(mode Mode, e int, dst *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	*dst = [24]float64{}
	f, d, o := p.rigidity(mode), mode.dof(), mode.inPlane()
	if w.At == nil {
		free := &w.Unit
		if mode == Warp {
			free = &w.Bend
		}
		q := mul(&w.Q, free)
		for i := 0; i < s.n; i++ {
			dst[i*d+o] = f * (s.load[0][2*i]*q[0] + s.load[2][2*i]*q[2])
			dst[i*d+o+1] = f * (s.load[1][2*i+1]*q[1] + s.load[2][2*i+1]*q[2])
		}
	} else {
		for g := range s.full {
			pt, sp := &s.full[g], &p.spots[e][g]
			free := &sp.unit
			if mode == Warp {
				free = &sp.bend
			}
			q := mul(&sp.q, free)
			for i := 0; i < s.n; i++ {
				dst[i*d+o] += f * pt.weight * (pt.dx[i]*q[0] + pt.dy[i]*q[2])
				dst[i*d+o+1] += f * pt.weight * (pt.dy[i]*q[1] + pt.dx[i]*q[2])
			}
		}
	}
	if mode == Warp {
		p.shearLoad(e, dst)
	}
}

// shearLoad adds 5/6·h·∫B_γᵀG·Shear.
func (p *Model) shearLoad(e int, dst *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	f := shearFactor * p.H
	if w.At == nil {
		x, y := product(&w.G, &w.Shear)
		for i := 0; i < 3*s.n; i++ {
			dst[i] += f * (s.shearLoad[0][i]*x + s.shearLoad[1][i]*y)
		}
		return
	}
	for k := range s.sparse {
		pt, sp := &s.sparse[k], &p.shearSpots[e][k]
		x, y := product(&sp.g, &sp.free)
		bx, by := pt.shearRows(s.n)
		for i := 0; i < 3*s.n; i++ {
			dst[i] += f * pt.weight * (bx[i]*x + by[i]*y)
		}
	}
}

func product(g *[2][2]float64, v *[2]float64) (x, y float64) {
	return g[0][0]*v[0] + g[0][1]*v[1], g[1][0]*v[0] + g[1][1]*v[1]
}

func mul(q *[3][3]float64, e *[3]float64) [3]float64 {
	return [3]float64{
		q[0][0]*e[0] + q[0][1]*e[1] + q[0][2]*e[2],
		q[1][0]*e[0] + q[1][1]*e[1] + q[1][2]*e[2],
		q[2][0]*e[0] + q[2][1]*e[1] + q[2][2]*e[2],
	}
}
