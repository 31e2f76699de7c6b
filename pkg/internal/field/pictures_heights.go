package field

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Heights is a surface over the board: Z[j][i] [mm] above X[i], Y[j] [mm], the
// mean plane taken out. Where the board's rectangle holds no wood, the nearest
// height stands, and Filled is set.
type Heights struct {
	X, Y   []float64
	Z      [][]float64
	Filled bool
}

// Deflection gives the bent board at an instant on a grid of at most n places
// a side (at least 2). It is flat without bending.
func (m Board) Deflection(i *Instant, n int) Heights {
	g := newHeights(m.Board, n)
	if !m.Bends {
		return g
	}
	x := m.Deflected(i.swelling)
	known := make([][]bool, len(g.Y))
	for j := range known {
		known[j] = make([]bool, len(g.X))
	}
	for e := range m.Mesh.Elements {
		m.raster(e, x, &g, known)
	}
	g.level(known)
	g.fill(known)
	return g
}

func newHeights(b *layout.Board, n int) Heights {
	nx, ny := n, n
	if b.Width > b.Height {
		ny = max(2, int(math.Round(float64(n)*b.Height/b.Width)))
	} else {
		nx = max(2, int(math.Round(float64(n)*b.Width/b.Height)))
	}
	g := Heights{X: make([]float64, nx), Y: make([]float64, ny), Z: make([][]float64, ny)}
	for i := range g.X {
		g.X[i] = b.Width * float64(i) / float64(nx-1)
	}
	for j := range g.Y {
		g.Y[j] = b.Height * float64(j) / float64(ny-1)
		g.Z[j] = make([]float64, nx)
	}
	return g
}

// raster enters the heights of one element: its middle and its rim as a fan of
// triangles, linear in each, which is finer than a picture shows.
func (m Board) raster(e int, x []float64, g *Heights, known [][]bool) {
	el := &m.Mesh.Elements[e]
	corners := el.Corners()
	var mid layout.XY
	var w float64
	// The shape functions of eight nodes at the middle are −1/4 at corners and
	// 1/2 at midsides; those of six at the centroid −1/9 and 4/9.
	wc, wm := -0.25, 0.5
	if corners == 3 {
		wc, wm = -1.0/9, 4.0/9
	}
	for k := range corners {
		p := m.Mesh.Nodes[el.Nodes[k]]
		mid[0] += p[0] / float64(corners)
		mid[1] += p[1] / float64(corners)
		w += wc*x[3*el.Nodes[k]] + wm*x[3*el.Nodes[corners+k]]
	}
	for k := range corners {
		a, h, b := el.Nodes[k], el.Nodes[corners+k], el.Nodes[(k+1)%corners]
		g.triangle([3]layout.XY{mid, m.Mesh.Nodes[a], m.Mesh.Nodes[h]}, [3]float64{w, x[3*a], x[3*h]}, known)
		g.triangle([3]layout.XY{mid, m.Mesh.Nodes[h], m.Mesh.Nodes[b]}, [3]float64{w, x[3*h], x[3*b]}, known)
	}
}

func (g *Heights) triangle(p [3]layout.XY, w [3]float64, known [][]bool) {
	lo, hi := influence.Bounds(p[:])
	area := (p[1][0]-p[0][0])*(p[2][1]-p[0][1]) - (p[1][1]-p[0][1])*(p[2][0]-p[0][0])
	const slack = 1e-9 // of the triangle, so that a place on a side belongs to one of the two
	for j, y := range g.Y {
		if y < lo[1]-slack || y > hi[1]+slack {
			continue
		}
		for i, x := range g.X {
			if known[j][i] || x < lo[0]-slack || x > hi[0]+slack {
				continue
			}
			b := ((x-p[0][0])*(p[2][1]-p[0][1]) - (y-p[0][1])*(p[2][0]-p[0][0])) / area
			c := ((p[1][0]-p[0][0])*(y-p[0][1]) - (p[1][1]-p[0][1])*(x-p[0][0])) / area
			if b < -slack || c < -slack || b+c > 1+slack {
				continue
			}
			g.Z[j][i], known[j][i] = (1-b-c)*w[0]+b*w[1]+c*w[2], true
		}
	}
}

// level takes the mean plane out: where the board lies is no business of its shape.
func (g *Heights) level(known [][]bool) {
	var n, sx, sy, sz float64
	each := func(f func(x, y float64, z *float64)) {
		for j := range g.Z {
			for i := range g.Z[j] {
				if known[j][i] {
					f(g.X[i], g.Y[j], &g.Z[j][i])
				}
			}
		}
	}
	each(func(x, y float64, z *float64) { n, sx, sy, sz = n+1, sx+x, sy+y, sz+*z })
	if n == 0 {
		return
	}
	mx, my, mz := sx/n, sy/n, sz/n
	var xx, xy, yy, xz, yz float64
	each(func(x, y float64, z *float64) {
		dx, dy, dz := x-mx, y-my, *z-mz
		xx, xy, yy, xz, yz = xx+dx*dx, xy+dx*dy, yy+dy*dy, xz+dx*dz, yz+dy*dz
	})
	var a, b float64
	if det := xx*yy - xy*xy; det > 0 {
		a, b = (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	}
	each(func(x, y float64, z *float64) {
		if *z -= mz + a*(x-mx) + b*(y-my); math.Abs(*z) < influence.Flat {
			*z = 0
		}
	})
}

// fill gives places without wood the height of the nearest place with some.
func (g *Heights) fill(known [][]bool) {
	for j := range g.Z {
		for i := range g.Z[j] {
			if known[j][i] {
				continue
			}
			g.Filled = true
			best := math.Inf(1)
			for v := range g.Z {
				for u := range g.Z[v] {
					if d := math.Hypot(g.X[u]-g.X[i], g.Y[v]-g.Y[j]); known[v][u] && d < best {
						best, g.Z[j][i] = d, g.Z[v][u]
					}
				}
			}
		}
	}
}
