package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// flatSawn is a wood with fibres along x and rings about a pith at the depth r0
// below the mid-plane under y = y0: its free strains are those of the map
// r' = (1+e_R)·r, θ' = θ·(1+e_T)/(1+e_R), which stresses nothing.
func flatSawn(eR, eT, r0, y0, h float64) Wood {
	at := func(p layout.XY) Wood {
		w := maple.at(0)
		w.Unit, w.Shear, w.Bend = [3]float64{}, [2]float64{}, [3]float64{}
		z := h / math.Sqrt(12)
		for _, s := range [2]float64{-1, 1} {
			y, d := p[1]-y0, r0+s*z
			r2 := y*y + d*d
			in := (eR*y*y + eT*d*d) / r2
			w.Unit[1] += in / 2
			w.Bend[1] += s * in / (2 * z)
			w.Shear[1] += (eR - eT) * y * d / r2 // 2·(e_R·R_y·R_z + e_T·T_y·T_z), half of it from each height
		}
		return w
	}
	w := at(layout.XY{0, y0})
	w.At = at
	return w
}

// TestCupOfAFlatSawnStrip: a strip with its pith at 80 mm below the mid-plane
// dries by 6 %. The polar map moves the line at the pith's distance r0 to
// w = −(e_T − e_R)·y·atan(y/r0), whose curvature in the middle is
// −2(e_T − e_R)/r0. (For a narrow strip the cup is (e_T − e_R)·b²/(4r0); over
// 100 mm at r0 = 80 mm that is 0.396 mm, the exact map 0.354 mm.)
func TestCupOfAFlatSawnStrip(t *testing.T) {
	const cT, cR, change, r0, h = 0.00369, 0.00158, -6.0, 80.0, 20.0
	delta := (cT - cR) * change
	cup := func(width float64) (depth, curvature float64) {
		b := pieces(t, h, rect(0, 0, 60, width/2), rect(0, width/2, 60, width))
		w := flatSawn(cR, cT, r0, width/2, h)
		p := model(t, b, []Wood{w, w}, mesh.Options{}, Options{Bending: true})
		require.True(t, p.Warps())
		xs, err := p.Respond(t.Context(), Warp, [][]float64{{change, change}})
		require.NoError(t, err)
		for e := range p.Mesh.Elements { // the map is free of stress
			sig := p.Stress(Warp, e, xs[0], change)
			assert.Less(t, norm(sig[:])*h/2, 0.005*w.Q[1][1]*math.Abs(delta), "element %d", e)
		}
		at := func(y float64) float64 {
			best, v := math.Inf(1), 0.0
			for i, q := range p.Mesh.Nodes {
				if d := math.Hypot(q[0]-0, q[1]-y); d < best {
					best, v = d, xs[0][3*i]
				}
			}
			return v
		}
		depth = (at(0)+at(width))/2 - at(width/2)
		// φ and w near the middle: curvature of w from a parabola through three places.
		var s4, y2 float64
		for i, q := range p.Mesh.Nodes {
			if y := q[1] - width/2; q[0] == 0 && math.Abs(y) < 6 {
				w := xs[0][3*i] - at(width/2)
				s4, y2 = s4+y*y*y*y, y2+w*y*y
			}
		}
		return depth, 2 * y2 / s4
	}
	depth, _ := cup(100)
	assert.InEpsilon(t, -delta*50*math.Atan(50/r0), depth, 0.01) // Gauss heights ±h/√12 for the face: (h/r0)²/12 = 0.5 %
	assert.InEpsilon(t, 0.3536, depth, 0.01)
	depth, curvature := cup(20)
	assert.InEpsilon(t, -2*delta/r0, curvature, 0.01)
	assert.InEpsilon(t, -delta*20*20/(4*r0), depth, 0.01)
}

// TestSlantingRings: planks with slanting straight rings lean into a roof:
// the surface follows the free shear, w = γ0·y, and nothing is stressed.
func TestSlantingRings(t *testing.T) {
	b := pieces(t, 20, rect(0, 0, 90, 30), rect(0, 30, 90, 60))
	up, down := maple.at(0), maple.at(0)
	up.Bend, down.Bend = [3]float64{}, [3]float64{}
	up.Shear, down.Shear = [2]float64{0, 0.0015}, [2]float64{0, -0.0015}
	p := model(t, b, []Wood{up, down}, mesh.Options{}, Options{Bending: true})
	amount := []float64{2, 2}
	xs, err := p.Respond(t.Context(), Warp, [][]float64{amount})
	require.NoError(t, err)
	assertSlack(t, p, Warp, xs, amount, 1e-9)
	ridge := 0.0
	for i, q := range p.Mesh.Nodes {
		if q[1] == 30 && (q[0] == 0 || q[0] == 90) {
			ridge += xs[0][3*i] / 2
		}
	}
	eaves := 0.0
	for i, q := range p.Mesh.Nodes {
		if (q[1] == 0 || q[1] == 60) && (q[0] == 0 || q[0] == 90) {
			eaves += xs[0][3*i] / 4
		}
	}
	assert.InEpsilon(t, 2*0.0015*30, ridge-eaves, 1e-9)
}

// TestLean: a tilt of all rings alike leans the whole board and
// bends nothing.
func TestLean(t *testing.T) {
	b := pieces(t, 21, bricks...)
	w := maple.wood()
	w.Bend = [3]float64{}
	p := model(t, b, same(w, 6), mesh.Options{}, Options{Bending: true})
	a := []float64{3, 3, 3, 3, 3, 3}
	xs, err := p.Respond(t.Context(), Warp, [][]float64{a})
	require.NoError(t, err)
	assertSlack(t, p, Warp, xs, a, 1e-9)
	k := p.Curves(xs[0])
	assert.InDelta(t, 0, k.XX, 1e-12)
	assert.InDelta(t, 0, k.YY, 1e-12)
}
