package plate

import (
	"math"
	"unsafe"

	"github.com/tanrad/tanrad/pkg/layout"
)

// point is one place of an element: derivatives of the shape functions and the
// area it stands for.
type point struct {
	at     layout.XY // relative to the element's first corner
	n      [8]float64
	dx, dy [8]float64
	weight float64 // mm²
}

// shape holds what depends on an element's corners only.
type shape struct {
	n, corners int
	print      uint64     // the same for the same corners, in every model
	correction [8]float64 // quadrilateral: multiple of (1−ξ²)(1−η²) added to each function
	area       float64
	moment     [5][8]float64 // ∫N_i·(x, y, x², x·y, y²), from the first corner
	full       []point       // exact integration
	reduced    []point       // where stress is most accurate, and transverse shear is taken
	plane      *sums         // over the points of exact integration
	across     *sums         // over the points of transverse shear; the same where those are the same
}

// sums are integrals of products of the shape functions N and their derivatives
// over an element; every stiffness of a uniform wood is made of them.
type sums struct {
	x, y, n    [8]float64  // ∫N_i,x  ∫N_i,y  ∫N_i
	xx, xy, yy [64]float64 // ∫N_i,x·N_j,x  ∫N_i,x·N_j,y  ∫N_i,y·N_j,y at 8i+j
	xn, yn, nn [64]float64 // ∫N_i,x·N_j  ∫N_i,y·N_j  ∫N_i·N_j
}

// bytes is what a shape takes: where a path cuts a board hardly two elements are alike.
func (s *shape) bytes() int64 {
	if s == nil {
		return 0
	}
	n := int64(unsafe.Sizeof(*s)) + int64(unsafe.Sizeof(*s.plane)) + int64(unsafe.Sizeof(point{}))*int64(cap(s.full))
	if s.across != s.plane {
		n += int64(unsafe.Sizeof(*s.across)) + int64(unsafe.Sizeof(point{}))*int64(cap(s.reduced))
	}
	return n
}

// newShape works out an element from its corners relative to the first [mm].
func newShape(corner []layout.XY) *shape {
	s := &shape{corners: len(corner), n: 2 * len(corner), plane: new(sums)}
	s.across = s.plane
	if s.corners == 4 {
		s.across = new(sums)
		s.correction = correctSerendipity(corner)
		const a = 0.7745966692414834 // sqrt(3/5)
		const b = 0.5773502691896258 // sqrt(1/3)
		s.full, s.reduced = make([]point, 0, 9), make([]point, 0, 4)
		pos, wt := [3]float64{-a, 0, a}, [3]float64{5. / 9, 8. / 9, 5. / 9}
		for j := range pos {
			for i := range pos {
				s.full = append(s.full, s.quadPoint(corner, pos[i], pos[j], wt[i]*wt[j]))
			}
		}
		for _, g := range [4][2]float64{{-b, -b}, {b, -b}, {b, b}, {-b, b}} {
			s.reduced = append(s.reduced, s.quadPoint(corner, g[0], g[1], 1))
		}
	} else {
		s.full = make([]point, 0, 3)
		for _, g := range [3][3]float64{{2. / 3, 1. / 6, 1. / 6}, {1. / 6, 2. / 3, 1. / 6}, {1. / 6, 1. / 6, 2. / 3}} {
			s.full = append(s.full, s.triPoint(corner, g, 1./3))
		}
		s.reduced = s.full
	}
	for _, c := range corner {
		for _, v := range c {
			s.print = mix(s.print, uint64(int64(math.Round(v*1e6))))
		}
	}
	s.integrate()
	return s
}

// quadPoint evaluates the mended serendipity functions at (ξ, η).
func (s *shape) quadPoint(c []layout.XY, xi, eta, w float64) point {
	var n, nx, ny [8]float64
	sx, sy := [4]float64{-1, 1, 1, -1}, [4]float64{-1, -1, 1, 1}
	for i := 0; i < 4; i++ {
		a, b := 1+sx[i]*xi, 1+sy[i]*eta
		q := sx[i]*xi + sy[i]*eta - 1
		n[i] = a * b * q / 4
		nx[i] = sx[i] * b * (q + a) / 4
		ny[i] = sy[i] * a * (q + b) / 4
	}
	for i, k := range [2]int{4, 6} { // midsides on η = −1, +1
		e := float64(2*i - 1)
		n[k] = (1 - xi*xi) * (1 + e*eta) / 2
		nx[k] = -xi * (1 + e*eta)
		ny[k] = e * (1 - xi*xi) / 2
	}
	for i, k := range [2]int{5, 7} { // midsides on ξ = +1, −1
		e := float64(1 - 2*i)
		n[k] = (1 - eta*eta) * (1 + e*xi) / 2
		nx[k] = e * (1 - eta*eta) / 2
		ny[k] = -eta * (1 + e*xi)
	}
	for i, m := range s.correction {
		n[i] += m * (1 - xi*xi) * (1 - eta*eta)
		nx[i] -= m * 2 * xi * (1 - eta*eta)
		ny[i] -= m * 2 * eta * (1 - xi*xi)
	}
	var p layout.XY
	var xx, xe, yx, ye float64
	for i := 0; i < 4; i++ {
		m := (1 + sx[i]*xi) * (1 + sy[i]*eta) / 4
		mx, me := sx[i]*(1+sy[i]*eta)/4, sy[i]*(1+sx[i]*xi)/4
		p[0], p[1] = p[0]+m*c[i][0], p[1]+m*c[i][1]
		xx, xe = xx+mx*c[i][0], xe+me*c[i][0]
		yx, ye = yx+mx*c[i][1], ye+me*c[i][1]
	}
	return finish(p, n, nx, ny, xx, xe, yx, ye, w)
}

// triPoint evaluates the quadratic functions at area coordinates l.
func (s *shape) triPoint(c []layout.XY, l [3]float64, w float64) point {
	var n, n1, n2 [8]float64 // derivatives by l0 and l1, with l2 = 1 − l0 − l1
	d := [3][2]float64{{1, 0}, {0, 1}, {-1, -1}}
	for i := 0; i < 3; i++ {
		n[i] = l[i] * (2*l[i] - 1)
		n1[i], n2[i] = d[i][0]*(4*l[i]-1), d[i][1]*(4*l[i]-1)
		j := (i + 1) % 3
		n[3+i] = 4 * l[i] * l[j]
		n1[3+i] = 4 * (d[i][0]*l[j] + l[i]*d[j][0])
		n2[3+i] = 4 * (d[i][1]*l[j] + l[i]*d[j][1])
	}
	var p layout.XY
	var xx, xe, yx, ye float64
	for i := 0; i < 3; i++ {
		p[0], p[1] = p[0]+l[i]*c[i][0], p[1]+l[i]*c[i][1]
		xx, xe = xx+d[i][0]*c[i][0], xe+d[i][1]*c[i][0]
		yx, ye = yx+d[i][0]*c[i][1], ye+d[i][1]*c[i][1]
	}
	return finish(p, n, n1, n2, xx, xe, yx, ye, w/2)
}

// finish turns derivatives by element coordinates into derivatives by x and y.
func finish(p layout.XY, n, nx, ne [8]float64, xx, xe, yx, ye, w float64) point {
	det := xx*ye - xe*yx
	out := point{at: p, n: n, weight: w * det}
	for i := range n {
		out.dx[i] = (ye*nx[i] - yx*ne[i]) / det
		out.dy[i] = (xx*ne[i] - xe*nx[i]) / det
	}
	return out
}

func (s *shape) integrate() {
	for g := range s.full {
		s.area += s.full[g].weight
		x, y := s.full[g].at[0], s.full[g].at[1]
		for k, m := range [5]float64{x, y, x * x, x * y, y * y} {
			for i := 0; i < s.n; i++ {
				s.moment[k][i] += s.full[g].weight * m * s.full[g].n[i]
			}
		}
		s.plane.add(&s.full[g], s.n)
	}
	if s.across == s.plane {
		return
	}
	for g := range s.reduced {
		s.across.add(&s.reduced[g], s.n)
	}
}

func (t *sums) add(p *point, n int) {
	for i := 0; i < n; i++ {
		x, y, v := p.weight*p.dx[i], p.weight*p.dy[i], p.weight*p.n[i]
		t.x[i], t.y[i], t.n[i] = t.x[i]+x, t.y[i]+y, t.n[i]+v
		for j := 0; j < n; j++ {
			k := 8*i + j
			t.xx[k] += x * p.dx[j]
			t.xy[k] += x * p.dy[j]
			t.yy[k] += y * p.dy[j]
			t.xn[k] += x * p.n[j]
			t.yn[k] += y * p.n[j]
			t.nn[k] += v * p.n[j]
		}
	}
}
