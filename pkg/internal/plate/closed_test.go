package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
)

// strip is an isotropic-in-swelling wood that is stiff or soft; constants of its
// long direction are all a long strip asks for.
func strip(e, swell float64) Wood {
	return ugly{e, e * 0.83, 0.31, e * 0.37, e * 0.3, e * 0.29, swell, swell, 0}.wood()
}

// TestBilayer: two long strips glued edge to edge that swell differently bend in
// the board's plane as Timoshenko's bimetal does (Journal of the Optical Society
// of America 11, 1925, equation 4; from memory):
// κ = 6·Δε·(1+m)²/(h·(3(1+m)² + (1+mn)(m²+1/(mn)))).
func TestBilayer(t *testing.T) {
	const long, a1, a2, e1, e2, s1, s2, change = 400.0, 14.0, 9.0, 900.0, 1600.0, 0.0012, 0.0035, 2.5
	b := pieces(t, 20, rect(0, 0, long, a1), rect(0, a1, long, a1+a2))
	p := model(t, b, []Wood{strip(e1, s1), strip(e2, s2)}, mesh.Options{}, Options{})
	amount := []float64{change, change}
	xs, err := p.Respond(t.Context(), Membrane, [][]float64{amount})
	require.NoError(t, err)
	m, n, h := a1/a2, e1/e2, a1+a2
	kappa := 6 * (s2 - s1) * change * (1 + m) * (1 + m) / (h * (3*(1+m)*(1+m) + (1+m*n)*(m*m+1/(m*n))))
	// Curvature from nodes of the joint near the middle, far from the ends.
	tr := p.Trace(0)
	nodes := p.jointNodes(&b.Joints[0], tr.t)
	var s0, s1x, s2x, s3, s4, y0, y1, y2 float64 // least squares v = a + b x + c x²
	for _, k := range nodes {
		x := p.Mesh.Nodes[k][0] - long/2
		if math.Abs(x) > long/4 {
			continue
		}
		v := xs[0][2*k+1]
		s0, s1x, s2x, s3, s4 = s0+1, s1x+x, s2x+x*x, s3+x*x*x, s4+x*x*x*x
		y0, y1, y2 = y0+v, y1+v*x, y2+v*x*x
	}
	c := solve3([3][3]float64{{s0, s1x, s2x}, {s1x, s2x, s3}, {s2x, s3, s4}}, [3]float64{y0, y1, y2})
	// The strip that swells more lies above (y up): the middle goes up, so v” is negative.
	assert.InEpsilon(t, -kappa, 2*c[2], 0.005)

	// Force balance over the middle section: no net force, no net moment.
	var force, moment, scale float64
	for e := range p.Mesh.Elements {
		q := p.Centre(e)
		if math.Abs(q[0]-long/2) > long/8 {
			continue
		}
		sig := p.Stress(Membrane, e, xs[0], change)
		f := sig[0] * p.Area(e)
		force, moment, scale = force+f, moment+f*q[1], scale+math.Abs(f)
	}
	assert.Less(t, math.Abs(force), 1e-3*scale)
	assert.InDelta(t, 0, moment-force*h/2, 0.05*scale*h) // centres of elements, not their linear stress
}

func solve3(a [3][3]float64, b [3]float64) (x [3]float64) {
	for i := 0; i < 3; i++ {
		for j := i + 1; j < 3; j++ {
			f := a[j][i] / a[i][i]
			for k := i; k < 3; k++ {
				a[j][k] -= f * a[i][k]
			}
			b[j] -= f * b[i]
		}
	}
	for i := 2; i >= 0; i-- {
		x[i] = b[i]
		for k := i + 1; k < 3; k++ {
			x[i] -= a[i][k] * x[k]
		}
		x[i] /= a[i][i]
	}
	return x
}

// TestHeldStrip: a soft narrow strip between two stiff wide ones takes nearly
// its whole restrained swelling: σ = E·Δε·(stiffness share), a closed form of
// force balance alone (three parallel springs).
func TestHeldStrip(t *testing.T) {
	const long, wide, narrow, e1, e2, d = 400.0, 20.0, 6.0, 1500.0, 700.0, -3.0
	b := pieces(t, 20, rect(0, 0, long, wide), rect(0, wide, long, wide+narrow), rect(0, wide+narrow, long, 2*wide+narrow))
	hard, soft := strip(e1, 0.002), strip(e2, 0.004)
	p := model(t, b, []Wood{hard, soft, hard}, mesh.Options{}, Options{})
	amount := []float64{d, d, d}
	xs, err := p.Respond(t.Context(), Membrane, [][]float64{amount})
	require.NoError(t, err)
	want := -e2 * d * (0.004 - 0.002) * 2 * wide * e1 / (2*wide*e1 + narrow*e2)
	for _, e := range p.Mesh.ByPiece[1] {
		if math.Abs(p.Centre(int(e))[0]-long/2) < 20 {
			sig := p.Stress(Membrane, int(e), xs[0], d)
			assert.InEpsilon(t, want, sig[0], 0.005)
		}
	}
}

// TestThinPlate: under a linear moisture profile a free plate takes exactly the
// curvature of its free strain, at any thickness: elements of 16 mm in a board
// of 2 mm do not lock.
func TestThinPlate(t *testing.T) {
	for _, h := range []float64{40, 2, 0.5} {
		b := pieces(t, math.Max(h, 1), "[[0,0],[64,0],[71,38],[0,52]]", "[[64,0],[130,0],[130,38],[71,38]]")
		b.Thickness = h
		w := walnut.wood()
		p := model(t, b, same(w, 2), mesh.Options{First: 16, Growth: 1, Corner: -1}, Options{Bending: true})
		amount := []float64{0.2, 0.2}
		xs, err := p.Respond(t.Context(), Bending, [][]float64{amount})
		require.NoError(t, err)
		k := p.Curves(xs[0])
		// Thinner plates lose digits to the spread of bending and shear stiffness.
		assert.InEpsilon(t, -0.2*w.Unit[0], k.XX, 1e-6, "h %g", h)
		assert.InEpsilon(t, -0.2*w.Unit[1], k.YY, 1e-6, "h %g", h)
		assert.InEpsilon(t, -0.1*w.Unit[2], k.XY, 1e-6, "h %g", h)
	}
}

// TestNoLocking: two blocks of which one wants to curve: thin-plate answers per
// h settle, instead of vanishing as a locking element's would.
func TestNoLocking(t *testing.T) {
	deflect := func(h float64, mo mesh.Options) float64 {
		b := pieces(t, 5, rect(0, 0, 64, 48), rect(64, 0, 128, 48))
		b.Thickness = h
		p := model(t, b, []Wood{maple.wood(), walnut.wood()}, mo, Options{Bending: true})
		xs, err := p.Respond(t.Context(), Bending, [][]float64{{1, 0}})
		require.NoError(t, err)
		k := p.Curves(xs[0])
		return k.XX
	}
	coarse, fine := mesh.Options{First: 16, Growth: 1, Corner: -1}, mesh.Options{First: 4, Growth: 1, Corner: -1}
	ref := deflect(2, fine)
	assert.InEpsilon(t, ref, deflect(2, coarse), 0.01)
	assert.InEpsilon(t, ref, deflect(0.2, coarse), 0.02)
}

// TestStripBilayerBending: two long strips, the gradient on one alone. Across
// its section both must take one curvature along the length:
// κ = Σ E·b·κ0 / Σ E·b (parallel beams), as far as they do not twist.
func TestStripsBendTogether(t *testing.T) {
	const long, b1, b2, e1, e2, h = 500.0, 10.0, 14.0, 900.0, 1600.0, 20.0
	b := pieces(t, h, rect(0, 0, long, b2/2), rect(0, b2/2, long, b2/2+b1), rect(0, b2/2+b1, long, b1+b2))
	w1, w2 := strip(e1, 0.003), strip(e2, 0.003)
	p := model(t, b, []Wood{w2, w1, w2}, mesh.Options{}, Options{Bending: true})
	xs, err := p.Respond(t.Context(), Bending, [][]float64{{0, 0.1, 0}})
	require.NoError(t, err)
	want := -e1 * b1 * 0.1 * 0.003 / (e1*b1 + e2*b2)
	var s0, s2, s4, y0, y2 float64
	for i, q := range p.Mesh.Nodes {
		x := q[0] - long/2
		if math.Abs(x) < long/4 && math.Abs(q[1]-(b1+b2)/2) < 6 {
			s0, s2, s4 = s0+1, s2+x*x, s4+x*x*x*x
			y0, y2 = y0+xs[0][3*i], y2+xs[0][3*i]*x*x
		}
	}
	kappa := 2 * (s0*y2 - s2*y0) / (s0*s4 - s2*s2)
	assert.InEpsilon(t, want, kappa, 0.02) // anticlastic bending of the strips is left out of the beams
}
