package plate

import (
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/layout"
)

// origin is the place of an element's first corner.
func (p *Geometry) origin(e int) layout.XY { return p.Mesh.Nodes[p.Mesh.Elements[e].Nodes[0]] }

func shift(o, d layout.XY) layout.XY { return layout.XY{o[0] + d[0], o[1] + d[1]} }

// membraneStiffness writes h·∫BᵀQB of one element [N/mm], unknowns u, v [mm] a
// node.
func (p *Model) membraneStiffness(e int, dst []float64) {
	n := p.Mesh.Elements[e].N
	for i := 0; i < n; i++ {
		var x, y [24]float64
		p.planeRows(Membrane, e, i, &x, &y)
		a, b := dst[4*i*n:][:2*n], dst[(4*i+2)*n:][:2*n]
		for j := range a {
			a[j], b[j] = p.H*x[j], p.H*y[j]
		}
	}
}

// bendingStiffness writes h³/12·∫B_κᵀQB_κ + 5/6·h·∫B_γᵀGB_γ of one element,
// unknowns w [mm], φx, φy [rad] a node.
func (p *Model) bendingStiffness(e int, dst []float64) {
	n := p.Mesh.Elements[e].N
	f := p.rigidity(Bending)
	for i := 0; i < n; i++ {
		var w, x, y [24]float64
		p.planeRows(Bending, e, i, &x, &y)
		for j := 0; j < 3*n; j++ {
			x[j], y[j] = f*x[j], f*y[j]
		}
		p.acrossRows(e, i, shearFactor*p.H, &w, &x, &y)
		at := 9 * i * n
		copy(dst[at:at+3*n], w[:])
		copy(dst[at+3*n:at+6*n], x[:])
		copy(dst[at+6*n:at+9*n], y[:])
	}
}

// materialPoint is the wood at one point of an element where it varies.
type materialPoint struct {
	q          [3][3]float64
	unit, bend [3]float64
}

// shearPoint is the same for transverse shear.
type shearPoint struct {
	g    [2][2]float64
	free [2]float64
}

// makePoints looks up varying wood once, at the points of exact integration and
// at those of transverse shear.
func (p *Model) makePoints() {
	p.materialPoints = make([][]materialPoint, len(p.Mesh.Elements))
	p.shearPoints = make([][]shearPoint, len(p.Mesh.Elements))
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		at := p.Woods[el.Piece].At
		if at == nil {
			continue
		}
		o := p.origin(e)
		full, reduced := p.shapes[el.Shape].full, p.shapes[el.Shape].reduced
		p.materialPoints[e] = make([]materialPoint, len(full))
		p.shearPoints[e] = make([]shearPoint, len(reduced))
		for g := range full {
			w := at(shift(o, full[g].at))
			p.materialPoints[e][g] = materialPoint{w.Q, w.Unit, w.Bend}
		}
		for g := range reduced {
			w := at(shift(o, reduced[g].at))
			p.shearPoints[e][g] = shearPoint{w.G, w.Shear}
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
		q := matrix.Times(&w.Q, free)
		for i := 0; i < s.n; i++ {
			dst[i*d+o] = f * (s.plane.x[i]*q[0] + s.plane.y[i]*q[2])
			dst[i*d+o+1] = f * (s.plane.y[i]*q[1] + s.plane.x[i]*q[2])
		}
	} else {
		for g := range s.full {
			pt, sp := &s.full[g], &p.materialPoints[e][g]
			free := &sp.unit
			if mode == Warp {
				free = &sp.bend
			}
			q := matrix.Times(&sp.q, free)
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
	add := func(g *[2][2]float64, free *[2]float64, dx, dy, n *[8]float64, f float64) {
		x, y := product(g, free)
		for i := 0; i < s.n; i++ {
			dst[3*i] += f * (dx[i]*x + dy[i]*y)
			dst[3*i+1] += f * n[i] * x
			dst[3*i+2] += f * n[i] * y
		}
	}
	if w.At == nil {
		add(&w.G, &w.Shear, &s.across.x, &s.across.y, &s.across.n, f)
		return
	}
	for k := range s.reduced {
		pt, sp := &s.reduced[k], &p.shearPoints[e][k]
		add(&sp.g, &sp.free, &pt.dx, &pt.dy, &pt.n, f*pt.weight)
	}
}

func product(g *[2][2]float64, v *[2]float64) (x, y float64) {
	return g[0][0]*v[0] + g[0][1]*v[1], g[1][0]*v[0] + g[1][1]*v[1]
}
