package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Every element shape of the battery: distorted, none with parallel sides.
var battery = map[string][]layout.XY{
	"quadrilateral": {{0, 0}, {7.3, 0.9}, {8.1, 6.2}, {-0.7, 4.4}},
	"thin quad":     {{0, 0}, {31, 1.2}, {30, 3.1}, {-2, 2.3}},
	"triangle":      {{0, 0}, {6.1, 1.7}, {2.2, 5.9}},
	"thin triangle": {{0, 0}, {22, 1}, {9, 3}},
}

// place gives the nodes of an element: corners, then midsides.
func place(c []layout.XY) []layout.XY {
	out := append([]layout.XY{}, c...)
	for i := range c {
		d := c[(i+1)%len(c)]
		out = append(out, layout.XY{(c[i][0] + d[0]) / 2, (c[i][1] + d[1]) / 2})
	}
	return out
}

func TestShapeFunctions(t *testing.T) {
	for name, corner := range battery {
		t.Run(name, func(t *testing.T) {
			s := newShape(corner)
			at := place(corner)
			for _, pts := range [][]point{s.full, s.reduced} {
				for _, p := range pts {
					var sum, dx, dy, xx, xy float64
					for i := 0; i < s.n; i++ {
						sum += p.n[i]
						dx, dy = dx+p.dx[i], dy+p.dy[i]
						xx, xy = xx+p.dx[i]*at[i][0], xy+p.dy[i]*at[i][0]
					}
					assert.InDelta(t, 1, sum, 1e-14, "shapes sum to one")
					assert.InDelta(t, 0, dx, 1e-13)
					assert.InDelta(t, 0, dy, 1e-13)
					assert.InDelta(t, 1, xx, 1e-13, "∂x/∂x")
					assert.InDelta(t, 0, xy, 1e-13, "∂x/∂y")
				}
			}
			area := 0.0
			for i, c := range corner {
				d := corner[(i+1)%len(corner)]
				area += (c[0]*d[1] - c[1]*d[0]) / 2
			}
			assert.InEpsilon(t, area, s.area, 1e-13)
		})
	}
}

// TestDerivatives compares derivatives with differences of the shape functions
// at an ugly point.
func TestDerivatives(t *testing.T) {
	const h = 1e-6
	quad := battery["quadrilateral"]
	s := &shape{corners: 4, n: 8}
	xi, eta := 0.37, -0.61
	p := s.quadPoint(quad, xi, eta, 1)
	ax, bx := s.quadPoint(quad, xi+h, eta, 1), s.quadPoint(quad, xi-h, eta, 1)
	ay, by := s.quadPoint(quad, xi, eta+h, 1), s.quadPoint(quad, xi, eta-h, 1)
	for i := 0; i < 8; i++ {
		// ∂N/∂ξ by the chain rule equals the difference along ξ.
		dxi := (p.dx[i]*(ax.at[0]-bx.at[0]) + p.dy[i]*(ax.at[1]-bx.at[1])) / (2 * h)
		det := (p.dx[i]*(ay.at[0]-by.at[0]) + p.dy[i]*(ay.at[1]-by.at[1])) / (2 * h)
		assert.InDelta(t, (ax.n[i]-bx.n[i])/(2*h), dxi, 1e-9, "node %d", i)
		assert.InDelta(t, (ay.n[i]-by.n[i])/(2*h), det, 1e-9, "node %d", i)
	}
	tri := battery["triangle"]
	s = &shape{corners: 3, n: 6}
	l := [3]float64{0.23, 0.41, 0.36}
	q := s.triPoint(tri, l, 1)
	for k := 0; k < 2; k++ {
		up, down := l, l
		up[k], up[2] = up[k]+h, up[2]-h
		down[k], down[2] = down[k]-h, down[2]+h
		a, b := s.triPoint(tri, up, 1), s.triPoint(tri, down, 1)
		for i := 0; i < 6; i++ {
			d := (q.dx[i]*(a.at[0]-b.at[0]) + q.dy[i]*(a.at[1]-b.at[1])) / (2 * h)
			assert.InDelta(t, (a.n[i]-b.n[i])/(2*h), d, 1e-9, "node %d along l%d", i, k)
		}
	}
}

// TestRigidMotions: moving and turning an element stresses nothing, and nothing
// else is free: 3 motions in the plane, 3 out of it.
func TestRigidMotions(t *testing.T) {
	for name, corner := range battery {
		t.Run(name, func(t *testing.T) {
			p := loneElement(corner, maple.wood(), 17)
			at := place(corner)
			n := len(at)
			k := make([]float64, 4*n*n)
			p.membraneStiffness(0, k)
			assertSymmetric(t, k, 2*n)
			for _, move := range []func(q layout.XY) []float64{
				func(q layout.XY) []float64 { return []float64{1, 0} },
				func(q layout.XY) []float64 { return []float64{0, 1} },
				func(q layout.XY) []float64 { return []float64{-q[1], q[0]} },
			} {
				assertFree(t, k, at, move)
			}
			k = make([]float64, 9*n*n)
			p.bendingStiffness(0, k)
			assertSymmetric(t, k, 3*n)
			for _, move := range []func(q layout.XY) []float64{
				func(q layout.XY) []float64 { return []float64{1, 0, 0} },
				func(q layout.XY) []float64 { return []float64{q[0], -1, 0} },
				func(q layout.XY) []float64 { return []float64{q[1], 0, -1} },
			} {
				assertFree(t, k, at, move)
			}
		})
	}
}

func assertSymmetric(t *testing.T, k []float64, n int) {
	t.Helper()
	scale := norm(k)
	for i := 0; i < n; i++ {
		require.Positive(t, k[i*n+i])
		for j := 0; j < i; j++ {
			require.InDelta(t, k[i*n+j], k[j*n+i], 1e-14*scale)
		}
	}
}

func assertFree(t *testing.T, k []float64, at []layout.XY, move func(layout.XY) []float64) {
	t.Helper()
	var v []float64
	for _, q := range at {
		v = append(v, move(q)...)
	}
	n := len(v)
	f := make([]float64, n)
	for i := range f {
		for j := range v {
			f[i] += k[i*n+j] * v[j]
		}
	}
	assert.Less(t, norm(f), 1e-12*norm(k)*norm(v))
}

// TestVaryingEqualsConstant: an At that always answers alike gives the very
// stiffness and load of a wood without it.
func TestVaryingEqualsConstant(t *testing.T) {
	for name, corner := range battery {
		t.Run(name, func(t *testing.T) {
			w := maple.wood()
			v := w
			v.At = func(layout.XY) Wood { return w }
			a, b := loneElement(corner, w, 17), loneElement(corner, v, 17)
			n := 3 * a.Mesh.Elements[0].N
			ka, kb := make([]float64, n*n), make([]float64, n*n)
			a.bendingStiffness(0, ka)
			b.bendingStiffness(0, kb)
			for i := range ka {
				require.InDelta(t, ka[i], kb[i], 1e-13*norm(ka))
			}
			for _, mode := range []Mode{Membrane, Bending, Warp} {
				var fa, fb [24]float64
				a.freeLoad(mode, 0, &fa)
				b.freeLoad(mode, 0, &fb)
				for i := range fa {
					require.InDelta(t, fa[i], fb[i], 1e-13*norm(fa[:]))
				}
			}
			require.False(t, math.IsNaN(norm(ka)))
		})
	}
}
