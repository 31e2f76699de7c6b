package plate

// elementRows are the equations of some nodes of one element, divided by the
// plate's rigidity so that they give stress: the rows of its stiffness and the
// load of one unit of amount. Row 3k and 3k+1 belong to x and y of node k, row
// 3k+2 to w (bending only, divided by the thickness).
type elementRows struct {
	cols int
	k    [][24]float64
	load []float64
}

// rowsOf writes the rows of the given nodes.
func (p *Model) rowsOf(mode Mode, e int, nodes []traceNode, r *elementRows) {
	el := &p.Mesh.Elements[e]
	d, o := mode.dof(), mode.inPlane()
	r.cols = d * el.N
	for len(r.k) < 3*len(nodes) {
		r.k, r.load = append(r.k, [24]float64{}), append(r.load, 0)
	}
	var load [24]float64
	p.freeLoad(mode, e, &load)
	f := p.rigidity(mode)
	for i, nd := range nodes {
		l := int(nd.local)
		for c := 0; c < 3; c++ {
			k := &r.k[3*i+c]
			*k, r.load[3*i+c] = [24]float64{}, 0
			if c == 2 {
				if o > 0 {
					p.shearRow(e, d*l, shearFactor, k)
					r.load[3*i+c] = load[d*l] / p.H
				}
				continue
			}
			p.planeRow(mode, e, 2*l+c, k)
			if o > 0 {
				p.shearRow(e, d*l+o+c, shearFactor*p.H/f, k)
			}
			r.load[3*i+c] = load[d*l+o+c] / f
		}
	}
}

// planeRow adds row i of ∫BᵀQB to k, at the places of the mode's unknowns.
func (p *Model) planeRow(mode Mode, e, i int, k *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	d, o := mode.dof(), mode.inPlane()
	if w.At == nil {
		q, m := &w.Q, 2*s.n
		b0, b1, b2, b3, b4, b5 := s.basis[0][i*m:], s.basis[1][i*m:], s.basis[2][i*m:], s.basis[3][i*m:], s.basis[4][i*m:], s.basis[5][i*m:]
		for j := 0; j < m; j++ {
			k[j/2*d+o+j%2] += q[0][0]*b0[j] + q[1][1]*b1[j] + q[2][2]*b2[j] + q[0][1]*b3[j] + q[0][2]*b4[j] + q[1][2]*b5[j]
		}
		return
	}
	for g := range s.full {
		pt := &s.full[g]
		b := [3]float64{pt.dx[i/2], 0, pt.dy[i/2]}
		if i%2 == 1 {
			b = [3]float64{0, pt.dy[i/2], pt.dx[i/2]}
		}
		t := mul(&p.spots[e][g].q, &b) // Q is symmetric
		for j := 0; j < s.n; j++ {
			k[j*d+o] += pt.weight * (pt.dx[j]*t[0] + pt.dy[j]*t[2])
			k[j*d+o+1] += pt.weight * (pt.dy[j]*t[1] + pt.dx[j]*t[2])
		}
	}
}

// shearRow adds f times row i of ∫B_γᵀGB_γ to k.
func (p *Model) shearRow(e, i int, f float64, k *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	m := 3 * s.n
	if w.At == nil {
		g := &w.G
		b0, b1, b2 := s.shear[0][i*m:], s.shear[1][i*m:], s.shear[2][i*m:]
		for j := 0; j < m; j++ {
			k[j] += f * (g[0][0]*b0[j] + g[1][1]*b1[j] + g[0][1]*b2[j])
		}
		return
	}
	for q := range s.sparse {
		pt := &s.sparse[q]
		bx, by := pt.shearRows(s.n)
		x, y := product(&p.shearSpots[e][q].g, &[2]float64{bx[i], by[i]}) // G is symmetric
		for j := 0; j < m; j++ {
			k[j] += f * pt.weight * (bx[j]*x + by[j]*y)
		}
	}
}

// force gives what the element leaves unbalanced at node k of the rows: along
// x, y and z.
func (r *elementRows) force(k int, v *[24]float64, amount float64) (f [3]float64) {
	for c := range f {
		row := &r.k[3*k+c]
		sum := -amount * r.load[3*k+c]
		for j := 0; j < r.cols; j++ {
			sum += row[j] * v[j]
		}
		f[c] = sum
	}
	return f
}
