package plate

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// loneElement is a model of one element that is a piece of its own.
func loneElement(corner []layout.XY, w Wood, h float64) *Model {
	at := place(corner)
	m := &mesh.Mesh{Nodes: at, Shapes: 1, ByPiece: [][]int32{{0}}, Elements: []mesh.Element{{N: len(at)}}}
	for i := range at {
		m.Elements[0].Nodes[i] = int32(i)
	}
	p := &Model{Geometry: &Geometry{Mesh: m}, Woods: []Wood{w}, H: h}
	p.makeShapes(nil)
	p.makePoints()
	return p
}

// patch is a square of 6 × 6 mm cut into five distorted quadrilaterals, or each
// of these into two triangles: the patch of MacNeal and Harder's kind.
func patch(triangles bool, w Wood, h float64) *Model {
	c := []layout.XY{{0, 0}, {6, 0}, {6, 6}, {0, 6}, {1.1, 1.9}, {4.3, 1.2}, {3.7, 4.6}, {1.7, 3.9}}
	quads := [][4]int32{{0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}, {4, 5, 6, 7}}
	m := &mesh.Mesh{Nodes: append([]layout.XY{}, c...), ByPiece: make([][]int32, 1)}
	mids := map[[2]int32]int32{}
	add := func(v ...int32) {
		e := mesh.Element{N: 2 * len(v), Shape: int32(len(m.Elements))}
		copy(e.Nodes[:], v)
		for i := range v {
			a, b := v[i], v[(i+1)%len(v)]
			k := [2]int32{min(a, b), max(a, b)}
			if _, ok := mids[k]; !ok {
				m.Nodes = append(m.Nodes, layout.XY{(c[a][0] + c[b][0]) / 2, (c[a][1] + c[b][1]) / 2})
				mids[k] = int32(len(m.Nodes) - 1)
			}
			e.Nodes[len(v)+i] = mids[k]
		}
		m.Elements = append(m.Elements, e)
	}
	for _, q := range quads {
		if triangles {
			add(q[0], q[1], q[2])
			add(q[0], q[2], q[3])
		} else {
			add(q[:]...)
		}
	}
	m.Shapes = len(m.Elements)
	p := &Model{Geometry: &Geometry{Mesh: m}, Woods: []Wood{w}, H: h}
	p.makeShapes(nil)
	p.makePoints()
	p.linkNodes()
	return p
}

// holdRim solves with the rim held at the values of exact and gives the largest
// error inside, relative to the largest value.
func (p *Model) holdRim(t *testing.T, mode Mode, exact func(q layout.XY) []float64, load []float64) float64 {
	t.Helper()
	pr, k := p.systemWithoutSupports(mode)
	d := mode.dof()
	n := d * len(p.Mesh.Nodes)
	rhs := make([]float64, n)
	copy(rhs, load)
	x := make([]float64, n)
	for i, q := range p.Mesh.Nodes {
		if q[0] == 0 || q[0] == 6 || q[1] == 0 || q[1] == 6 {
			for c, v := range exact(q) {
				pr.Fixed = append(pr.Fixed, i*d+c)
				x[i*d+c] = v
			}
		}
	}
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		m := d * el.N
		dst := make([]float64, m*m)
		k(e, dst)
		for i := 0; i < m; i++ {
			for j := 0; j < m; j++ {
				rhs[int(el.Nodes[i/d])*d+i%d] -= dst[i*m+j] * x[int(el.Nodes[j/d])*d+j%d]
			}
		}
	}
	f, err := sparse.FactorDirect(context.Background(), pr, k)
	require.NoError(t, err)
	y := [][]float64{make([]float64, n)}
	require.NoError(t, f.Solve(t.Context(), y, [][]float64{rhs}))
	worst, scale := 0.0, 0.0
	for i, q := range p.Mesh.Nodes {
		for c, v := range exact(q) {
			worst = max(worst, abs(y[0][i*d+c]+x[i*d+c]-v))
			scale = max(scale, abs(v))
		}
	}
	return worst / scale
}

func abs(x float64) float64 { return max(x, -x) }

func (p *Model) systemWithoutSupports(mode Mode) (*sparse.Problem, sparse.Stiffness) {
	pr := &sparse.Problem{NodeDof: mode.dof(), Coord: make([][2]float64, len(p.Mesh.Nodes))}
	for i, n := range p.Mesh.Nodes {
		pr.Coord[i] = n
	}
	for i := range p.Mesh.Elements {
		e := &p.Mesh.Elements[i]
		pr.Elements = append(pr.Elements, sparse.Element{Nodes: e.Nodes[:e.N], Key: uint64(i)})
	}
	if mode == Membrane {
		return pr, p.membraneStiffness
	}
	return pr, p.bendingStiffness
}

// TestPatch: a state of constant strain and one of constant curvature held on
// the rim of a distorted patch come out exactly inside, for an anisotropic wood
// at 37°.
func TestPatch(t *testing.T) {
	const limit = 1e-10 // relative; round-off of a system of this size is near 1e-13
	for _, tri := range []bool{false, true} {
		p := patch(tri, maple.wood(), 5)
		assert.Less(t, p.holdRim(t, Membrane, func(q layout.XY) []float64 {
			return []float64{3e-3*q[0] - 1e-3*q[1], 2e-3*q[0] + 4e-3*q[1]}
		}, nil), limit, "membrane, triangles %t", tri)
		// w = (a x² + b xy + c y²)/2 and φ = −∇w: no transverse shear.
		assert.Less(t, p.holdRim(t, Bending, func(q layout.XY) []float64 {
			return []float64{(3e-3*q[0]*q[0] - 2e-3*q[0]*q[1] + 5e-3*q[1]*q[1]) / 2, -3e-3*q[0] + 1e-3*q[1], 1e-3*q[0] - 5e-3*q[1]}
		}, nil), limit, "curvature, triangles %t", tri)
	}
}

// TestFreePatch: free strains of one wood give exactly the free movement, no
// stress, also in bending under a linear moisture profile and under free shear.
func TestFreePatch(t *testing.T) {
	for _, tri := range []bool{false, true} {
		w := maple.wood()
		w.Bend = [3]float64{}
		p := patch(tri, w, 5)
		u := w.Unit
		assert.Less(t, p.holdRim(t, Membrane, func(q layout.XY) []float64 {
			return []float64{u[0]*q[0] + u[2]/2*q[1], u[2]/2*q[0] + u[1]*q[1]}
		}, p.Load(Membrane, []float64{1})), 1e-10)
		assert.Less(t, p.holdRim(t, Bending, func(q layout.XY) []float64 {
			return []float64{-(u[0]*q[0]*q[0] + u[2]*q[0]*q[1] + u[1]*q[1]*q[1]) / 2, u[0]*q[0] + u[2]/2*q[1], u[2]/2*q[0] + u[1]*q[1]}
		}, p.Load(Bending, []float64{1})), 1e-10)
		assert.Less(t, p.holdRim(t, Warp, func(q layout.XY) []float64 {
			return []float64{w.Shear[0]*q[0] + w.Shear[1]*q[1], 0, 0}
		}, p.Load(Warp, []float64{1})), 1e-10)
	}
}

// TestConstantShear: a constant transverse shear leaves nothing unbalanced
// across the plate at inner nodes. (Along φ it must be met by a moment load.)
func TestConstantShear(t *testing.T) {
	for _, tri := range []bool{false, true} {
		p := patch(tri, maple.wood(), 5)
		_, k := p.systemWithoutSupports(Bending)
		x := make([]float64, 3*len(p.Mesh.Nodes))
		for i, q := range p.Mesh.Nodes {
			x[3*i], x[3*i+1], x[3*i+2] = 2e-3*q[0]+1e-3*q[1], 4e-3, -3e-3
		}
		left, scale := make([]float64, len(p.Mesh.Nodes)), 0.0
		for e := range p.Mesh.Elements {
			el := &p.Mesh.Elements[e]
			m := 3 * el.N
			dst := make([]float64, m*m)
			k(e, dst)
			for i := 0; i < m; i += 3 {
				f := 0.0
				for j := 0; j < m; j++ {
					f += dst[i*m+j] * x[int(el.Nodes[j/3])*3+j%3]
				}
				left[el.Nodes[i/3]] += f
				scale = max(scale, abs(f))
			}
		}
		for i, q := range p.Mesh.Nodes {
			if q[0] > 0 && q[0] < 6 && q[1] > 0 && q[1] < 6 {
				assert.Less(t, abs(left[i]), 1e-12*scale, "node %d, triangles %t", i, tri)
			}
		}
	}
}

// TestQuadraticsOnAnyQuadrilateral: the mended functions represent x², xy, y².
func TestQuadraticsOnAnyQuadrilateral(t *testing.T) {
	for _, name := range []string{"quadrilateral", "thin quad"} {
		c := battery[name]
		s, at := newShape(c), place(c)
		for _, p := range s.full {
			var xx, xy, yy float64
			for i, q := range at {
				xx, xy, yy = xx+p.n[i]*q[0]*q[0], xy+p.n[i]*q[0]*q[1], yy+p.n[i]*q[1]*q[1]
			}
			x, y := p.at[0], p.at[1]
			assert.InDelta(t, x*x, xx, 1e-10)
			assert.InDelta(t, x*y, xy, 1e-10)
			assert.InDelta(t, y*y, yy, 1e-10)
		}
	}
}
