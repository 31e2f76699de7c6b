package plate

import "github.com/tanrad/tanrad/pkg/internal/matrix"

const shearFactor = 5. / 6

// planeRows adds to x and y the two rows of node i of ∫BᵀQB, at the places of
// the mode's in-plane unknowns.
func (p *Model) planeRows(mode Mode, e, i int, x, y *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	d, o := mode.dof(), mode.inPlane()
	if w.At == nil {
		t, q := s.plane, &w.Q
		for j := 0; j < s.n; j++ {
			xx, xy, yx, yy := t.xx[8*i+j], t.xy[8*i+j], t.xy[8*j+i], t.yy[8*i+j]
			at := j*d + o
			x[at] += q[0][0]*xx + q[0][2]*(xy+yx) + q[2][2]*yy
			x[at+1] += q[0][1]*xy + q[0][2]*xx + q[1][2]*yy + q[2][2]*yx
			y[at] += q[0][1]*yx + q[0][2]*xx + q[1][2]*yy + q[2][2]*xy
			y[at+1] += q[1][1]*yy + q[1][2]*(xy+yx) + q[2][2]*xx
		}
		return
	}
	for g := range s.full {
		pt, q := &s.full[g], &p.materialPoints[e][g].q
		dx, dy := pt.weight*pt.dx[i], pt.weight*pt.dy[i]
		a := matrix.Times(q, &[3]float64{dx, 0, dy}) // Q is symmetric
		b := matrix.Times(q, &[3]float64{0, dy, dx})
		for j := 0; j < s.n; j++ {
			at := j*d + o
			x[at] += pt.dx[j]*a[0] + pt.dy[j]*a[2]
			x[at+1] += pt.dy[j]*a[1] + pt.dx[j]*a[2]
			y[at] += pt.dx[j]*b[0] + pt.dy[j]*b[2]
			y[at+1] += pt.dy[j]*b[1] + pt.dx[j]*b[2]
		}
	}
}

// acrossRows adds to w, x and y the three rows of node i of f·∫B_γᵀGB_γ.
func (p *Model) acrossRows(e, i int, f float64, w, x, y *[24]float64) {
	el := &p.Mesh.Elements[e]
	s, wd := p.shapes[el.Shape], &p.Woods[el.Piece]
	if wd.At == nil {
		t := s.across
		a, b, c := f*wd.G[0][0], f*wd.G[0][1], f*wd.G[1][1]
		for j := 0; j < s.n; j++ {
			k, l := 8*i+j, 8*j+i
			w[3*j] += a*t.xx[k] + b*(t.xy[k]+t.xy[l]) + c*t.yy[k]
			w[3*j+1] += a*t.xn[k] + b*t.yn[k]
			w[3*j+2] += b*t.xn[k] + c*t.yn[k]
			x[3*j] += a*t.xn[l] + b*t.yn[l]
			x[3*j+1] += a * t.nn[k]
			x[3*j+2] += b * t.nn[k]
			y[3*j] += b*t.xn[l] + c*t.yn[l]
			y[3*j+1] += b * t.nn[k]
			y[3*j+2] += c * t.nn[k]
		}
		return
	}
	for g := range s.reduced {
		pt, q := &s.reduced[g], &p.shearPoints[e][g].g
		v := f * pt.weight
		wx, wy := product(q, &[2]float64{v * pt.dx[i], v * pt.dy[i]}) // G is symmetric
		xx, xy := product(q, &[2]float64{v * pt.n[i], 0})
		yx, yy := product(q, &[2]float64{0, v * pt.n[i]})
		for j := 0; j < s.n; j++ {
			dx, dy, n := pt.dx[j], pt.dy[j], pt.n[j]
			w[3*j], w[3*j+1], w[3*j+2] = w[3*j]+dx*wx+dy*wy, w[3*j+1]+n*wx, w[3*j+2]+n*wy
			x[3*j], x[3*j+1], x[3*j+2] = x[3*j]+dx*xx+dy*xy, x[3*j+1]+n*xx, x[3*j+2]+n*xy
			y[3*j], y[3*j+1], y[3*j+2] = y[3*j]+dx*yx+dy*yy, y[3*j+1]+n*yx, y[3*j+2]+n*yy
		}
	}
}

// elementRows are the equations of some nodes of one element, scaled so that
// they give stress: the rows of its stiffness and the load of one unit of
// amount. Rows 3k and 3k+1 belong to x and y of node k and are divided by the
// plate's rigidity, row 3k+2 to w (bending only), divided by the thickness.
type elementRows struct {
	each, cols int // rows a node, columns
	k          [][24]float64
	load       []float64
}

// rowsOf writes the rows of the given nodes.
func (p *Model) rowsOf(mode Mode, e int, nodes []traceNode, r *elementRows) {
	el := &p.Mesh.Elements[e]
	d, o := mode.dof(), mode.inPlane()
	r.each, r.cols = d, d*el.N
	for len(r.k) < 3*len(nodes) {
		r.k, r.load = append(r.k, [24]float64{}), append(r.load, 0)
	}
	var load [24]float64
	p.freeLoad(mode, e, &load)
	f := p.rigidity(mode)
	for i, nd := range nodes {
		l := int(nd.local)
		x, y, w := &r.k[3*i], &r.k[3*i+1], &r.k[3*i+2]
		*x, *y, *w = [24]float64{}, [24]float64{}, [24]float64{}
		p.planeRows(mode, e, l, x, y)
		if o > 0 {
			var mx, my [24]float64
			p.acrossRows(e, l, shearFactor, w, &mx, &my)
			for j := 0; j < r.cols; j++ {
				x[j] += mx[j] * p.H / f
				y[j] += my[j] * p.H / f
			}
			r.load[3*i+2] = load[d*l] / p.H
		}
		r.load[3*i], r.load[3*i+1] = load[d*l+o]/f, load[d*l+o+1]/f
	}
}

// force gives what the element leaves unbalanced at node k of the rows: along
// x, y and, in bending, z.
func (r *elementRows) force(k int, v *[24]float64, amount float64) (f [3]float64) {
	for c := 0; c < r.each; c++ {
		row := &r.k[3*k+c]
		sum := -amount * r.load[3*k+c]
		for j := 0; j < r.cols; j++ {
			sum += row[j] * v[j]
		}
		f[c] = sum
	}
	return f
}
