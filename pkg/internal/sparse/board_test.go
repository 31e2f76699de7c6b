package sparse

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// board describes a test board: a grid of square cells, each one piece of
// 8-node quadrilaterals or four quarter pieces of 6-node triangles, in plane
// stress. It stands on its own: no other package of the module is used.
type board struct {
	cols, rows int
	side       float64               // mm
	mesh       int                   // elements along an edge of a cell
	kind       func(c, r, q int) int // material of quarter q (0 for a whole cell)
	quartered  func(c, r int) bool   // nil for none
	even       bool                  // elements of equal size, so that shifted rows meet node to node
	offset     func(r int) float64   // shift of a row in cells, for brick patterns; nil for none
}

// graded gives m+1 places from 0 to 1, closer together near both ends.
func graded(m int) []float64 {
	t := make([]float64, m+1)
	for i := range t {
		u := float64(i) / float64(m)
		t[i] = 0.5*u + 0.5*(u*u*(3-2*u))
	}
	return t
}

type mesher struct {
	p     Problem
	nodes map[[2]int64]int32
	kinds []int // material of each element
}

func (m *mesher) node(x, y float64) int32 {
	key := [2]int64{int64(math.Round(x * 1e6)), int64(math.Round(y * 1e6))}
	n, ok := m.nodes[key]
	if !ok {
		n = int32(len(m.p.Coord))
		m.nodes[key] = n
		m.p.Coord = append(m.p.Coord, [2]float64{x, y})
	}
	return n
}

// add makes an element of three or four corners with its midside nodes.
func (m *mesher) add(group int32, kind int, corner ...[2]float64) {
	var nodes []int32
	for _, c := range corner {
		nodes = append(nodes, m.node(c[0], c[1]))
	}
	for i, c := range corner {
		d := corner[(i+1)%len(corner)]
		nodes = append(nodes, m.node((c[0]+d[0])/2, (c[1]+d[1])/2))
	}
	h := fnv.New64a()
	word := func(v int64) {
		var b [8]byte
		for i := range b {
			b[i] = byte(v >> (8 * i))
		}
		h.Write(b[:])
	}
	word(int64(kind))
	for _, c := range corner {
		word(int64(math.Round((c[0] - corner[0][0]) * 1e6)))
		word(int64(math.Round((c[1] - corner[0][1]) * 1e6)))
	}
	m.p.Elements = append(m.p.Elements, Element{Nodes: nodes, Group: group, Key: h.Sum64()})
	m.kinds = append(m.kinds, kind)
}

// build meshes the board, holds three unknowns and returns the stiffness of
// its elements.
func (b board) build() (*Problem, Stiffness) {
	m := &mesher{nodes: map[[2]int64]int32{}, p: Problem{NodeDof: 2}}
	group := int32(0)
	t := graded(b.mesh)
	if b.even {
		for i := range t {
			t[i] = float64(i) / float64(b.mesh)
		}
	}
	for r := range b.rows {
		shift := 0.0
		if b.offset != nil {
			shift = b.offset(r)
		}
		for c := range b.cols {
			x0, y0 := (float64(c)+shift)*b.side, float64(r)*b.side
			at := func(u, v float64) [2]float64 { return [2]float64{x0 + u*b.side, y0 + v*b.side} }
			if b.quartered != nil && b.quartered(c, r) {
				corner := [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
				for q := range 4 {
					a, d := corner[q], corner[(q+1)%4]
					point := func(i, j int) [2]float64 {
						// row j of the triangle, towards the middle of the cell
						u, v := graded(max(1, b.mesh-j))[i], t[j]
						bx, by := a[0]+(d[0]-a[0])*u, a[1]+(d[1]-a[1])*u
						return at(bx+(0.5-bx)*v, by+(0.5-by)*v)
					}
					apex := at(0.5, 0.5)
					for j := range b.mesh {
						n := b.mesh - j
						up := func(i int) [2]float64 {
							if j+1 == b.mesh {
								return apex
							}
							return point(i, j+1)
						}
						for i := range n {
							m.add(group, b.kind(c, r, q), point(i, j), point(i+1, j), up(i))
							if i+1 < n {
								m.add(group, b.kind(c, r, q), point(i+1, j), up(i+1), up(i))
							}
						}
					}
					group++
				}
				continue
			}
			for j := range b.mesh {
				for i := range b.mesh {
					m.add(group, b.kind(c, r, 0), at(t[i], t[j]), at(t[i+1], t[j]), at(t[i+1], t[j+1]), at(t[i], t[j+1]))
				}
			}
			group++
		}
	}
	first := m.node(0, 0)
	second := first
	for n, c := range m.p.Coord { // the node farthest along +x on the lower edge
		if c[1] == 0 && c[0] > m.p.Coord[second][0] {
			second = int32(n)
		}
	}
	m.p.Fixed = []int{int(first) * 2, int(first)*2 + 1, int(second)*2 + 1}
	return &m.p, func(e int, dst []float64) { planeStress(&m.p, e, m.kinds[e], dst) }
}

// material gives the plane-stress matrix of a made-up end-grain hardwood whose
// rings turn with the kind, MPa.
func material(kind int) (q [3][3]float64) {
	rng := rand.New(rand.NewPCG(uint64(kind), 7))
	er, et := 1200+800*rng.Float64(), 600+400*rng.Float64()
	nu, g := 0.55, 150+150*rng.Float64()
	if kind < 0 {
		er = -er
	}
	d := 1 - nu*nu*et/er
	local := [3][3]float64{{er / d, nu * et / d, 0}, {nu * et / d, et / d, 0}, {0, 0, g}}
	a := rng.Float64() * math.Pi
	c, s := math.Cos(a), math.Sin(a)
	t := [3][3]float64{{c * c, s * s, s * c}, {s * s, c * c, -s * c}, {-2 * s * c, 2 * s * c, c*c - s*s}}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				for l := range 3 {
					q[i][j] += t[k][i] * local[k][l] * t[l][j]
				}
			}
		}
	}
	return q
}

var (
	gauss3 = [3][2]float64{{-math.Sqrt(0.6), 5.0 / 9}, {0, 8.0 / 9}, {math.Sqrt(0.6), 5.0 / 9}}
	tri3   = [3][2]float64{{1.0 / 6, 1.0 / 6}, {2.0 / 3, 1.0 / 6}, {1.0 / 6, 2.0 / 3}}
)

// planeStress is the textbook element: full 3×3 rule for the quadrilateral,
// three points for the triangle.
func planeStress(p *Problem, e, kind int, dst []float64) {
	nodes := p.Elements[e].Nodes
	q := material(kind)
	n := 2 * len(nodes)
	clear(dst[:n*n])
	point := func(dx [][2]float64, weight float64) {
		var j [2][2]float64
		for a, nd := range nodes {
			for r := range 2 {
				for c := range 2 {
					j[r][c] += dx[a][r] * p.Coord[nd][c]
				}
			}
		}
		det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
		w := weight * math.Abs(det)
		grad := make([][2]float64, len(nodes))
		for a := range nodes {
			grad[a] = [2]float64{(j[1][1]*dx[a][0] - j[0][1]*dx[a][1]) / det, (-j[1][0]*dx[a][0] + j[0][0]*dx[a][1]) / det}
		}
		strain := func(i int) [3]float64 {
			g := grad[i/2]
			if i%2 == 0 {
				return [3]float64{g[0], 0, g[1]}
			}
			return [3]float64{0, g[1], g[0]}
		}
		for i := range n {
			bi := strain(i)
			var s [3]float64
			for k := range 3 {
				s[k] = bi[0]*q[0][k] + bi[1]*q[1][k] + bi[2]*q[2][k]
			}
			for k := i; k < n; k++ {
				bk := strain(k)
				dst[i*n+k] += w * (s[0]*bk[0] + s[1]*bk[1] + s[2]*bk[2])
			}
		}
	}
	if len(nodes) == 8 {
		for _, gx := range gauss3 {
			for _, gy := range gauss3 {
				point(serendipity(gx[0], gy[0]), gx[1]*gy[1])
			}
		}
	} else {
		for _, g := range tri3 {
			point(triangle6(g[0], g[1]), 1.0/6)
		}
	}
	for i := range n {
		for k := range i {
			dst[i*n+k] = dst[k*n+i]
		}
	}
}

// serendipity gives the derivatives of the eight shape functions on [-1,1]².
func serendipity(x, y float64) [][2]float64 {
	d := make([][2]float64, 8)
	for i, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		a, b := c[0], c[1]
		d[i] = [2]float64{a * (1 + b*y) * (2*a*x + b*y) / 4, b * (1 + a*x) * (2*b*y + a*x) / 4}
	}
	d[4] = [2]float64{-x * (1 - y), -(1 - x*x) / 2}
	d[5] = [2]float64{(1 - y*y) / 2, -y * (1 + x)}
	d[6] = [2]float64{-x * (1 + y), (1 - x*x) / 2}
	d[7] = [2]float64{-(1 - y*y) / 2, -y * (1 - x)}
	return d
}

// triangle6 gives the derivatives of the six shape functions of a triangle.
func triangle6(x, y float64) [][2]float64 {
	z := 1 - x - y
	return [][2]float64{
		{1 - 4*z, 1 - 4*z}, {4*x - 1, 0}, {0, 4*y - 1},
		{4 * (z - x), -4 * x}, {4 * y, 4 * x}, {-4 * y, 4 * (z - y)},
	}
}

// remembered calls the stiffness once a key and copies afterwards, so that a
// benchmark of the solver does not time the element.
func remembered(p *Problem, k Stiffness) Stiffness {
	table := map[uint64][]float64{}
	for e := range p.Elements {
		if _, ok := table[p.Elements[e].Key]; !ok {
			n := len(p.Elements[e].Nodes) * p.NodeDof
			m := make([]float64, n*n)
			k(e, m)
			table[p.Elements[e].Key] = m
		}
	}
	return func(e int, dst []float64) { copy(dst, table[p.Elements[e].Key]) }
}

func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 99)) }

// sides makes k loads, zero at the fixed unknowns.
func sides(p *Problem, k int, seed uint64) [][]float64 {
	rng, fixed := random(seed), p.fixedMask()
	b := make([][]float64, k)
	for r := range b {
		b[r] = make([]float64, p.unknowns())
		for i := range b[r] {
			if !fixed[i] {
				b[r][i] = rng.NormFloat64()
			}
		}
	}
	return b
}

// residual is the largest entry of b - A x over that of |A||x| + |b|, computed
// element by element: it shares nothing with the solvers.
func residual(p *Problem, k Stiffness, x, b []float64) float64 {
	left := append([]float64(nil), b...)
	size := make([]float64, len(b))
	for e := range p.Elements {
		nodes := p.Elements[e].Nodes
		n := len(nodes) * p.NodeDof
		m := make([]float64, n*n)
		k(e, m)
		for i := range n {
			u := int(nodes[i/p.NodeDof])*p.NodeDof + i%p.NodeDof
			for j := range n {
				v := m[i*n+j] * x[int(nodes[j/p.NodeDof])*p.NodeDof+j%p.NodeDof]
				left[u] -= v
				size[u] += math.Abs(v)
			}
		}
	}
	fixed := p.fixedMask()
	worst, scale := 0.0, 0.0
	for u := range b {
		if !fixed[u] {
			worst, scale = math.Max(worst, math.Abs(left[u])), math.Max(scale, size[u]+math.Abs(b[u]))
		}
	}
	return worst / scale
}

// apart is the largest difference of two answers over the largest entry.
func apart(x, y []float64) float64 {
	worst, scale := 0.0, 0.0
	for i := range x {
		worst, scale = math.Max(worst, math.Abs(x[i]-y[i])), math.Max(scale, math.Abs(y[i]))
	}
	return worst / scale
}
