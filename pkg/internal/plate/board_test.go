package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// bricks are six pieces with T-junctions, a cross and slanting edges.
var bricks = []string{
	"[[0,0],[31,0],[31,17],[0,17]]", "[[31,0],[70,0],[70,17],[31,17]]",
	"[[0,17],[44,17],[52,40],[0,40]]", "[[44,17],[70,17],[70,40],[52,40]]",
	"[[0,40],[52,40],[52,61],[0,61]]", "[[52,40],[70,40],[70,61],[52,61]]",
}

func bricksModel(t testing.TB, opt Options) *Model {
	b := pieces(t, 21, bricks...)
	w := mixed(len(b.Pieces), 3)
	w[2] = ringed(walnut, layout.XY{-13, 7})
	w[5] = ringed(maple, layout.XY{61, 47}) // a pith inside the piece
	return model(t, b, w, mesh.Options{}, opt)
}

// TestFastSolverAgrees: the solver that knows repeats and the plain one give the
// same displacements.
func TestFastSolverAgrees(t *testing.T) {
	fast, plain := bricksModel(t, Options{Bending: true, Workers: 2}), bricksModel(t, Options{Bending: true, Direct: true})
	a := some(6, 1)
	for _, mode := range []Mode{Membrane, Bending, Warp} {
		x, err := fast.Respond(t.Context(), mode, [][]float64{a})
		require.NoError(t, err)
		y, err := plain.Respond(t.Context(), mode, [][]float64{a})
		require.NoError(t, err)
		d := make([]float64, len(x[0]))
		for i := range d {
			d[i] = x[0][i] - y[0][i]
		}
		// Condition numbers of 1e6 to 1e7 leave nine digits of sixteen.
		assert.Less(t, norm(d), 1e-9*norm(y[0]), "mode %d", mode)
		if mode != Warp {
			require.Positive(t, norm(y[0]))
		}
	}
}

// TestOneWoodMovesFreely: a board of one wood with rings alike at 37° carries
// nothing, however it is cut up, and moves by its free strain.
func TestOneWoodMovesFreely(t *testing.T) {
	b := pieces(t, 21, bricks...)
	w := maple.wood()
	w.Shear, w.Bend = [2]float64{}, [3]float64{}
	p := model(t, b, same(w, 6), mesh.Options{}, Options{Bending: true})
	const change = 4.3 // % MC
	a := []float64{change, change, change, change, change, change}
	xs, err := p.Respond(t.Context(), Membrane, [][]float64{a})
	require.NoError(t, err)
	m := p.MeanStrain(xs[0])
	assert.InEpsilon(t, change*w.Unit[0], m.Exx, 1e-9)
	assert.InEpsilon(t, change*w.Unit[1], m.Eyy, 1e-9)
	assert.InEpsilon(t, change*w.Unit[2], m.Gxy, 1e-9)
	assertSlack(t, p, Membrane, xs, a, 1e-8) // MPa; held fully it would be 10
	// A gradient of 0.1 %/mm curves it by the gradient of the free strain.
	g := []float64{.1, .1, .1, .1, .1, .1}
	xs, err = p.Respond(t.Context(), Bending, [][]float64{g})
	require.NoError(t, err)
	k := p.Curves(xs[0])
	assert.InEpsilon(t, -0.1*w.Unit[0], k.XX, 1e-7)
	assert.InEpsilon(t, -0.1*w.Unit[1], k.YY, 1e-7)
	assert.InEpsilon(t, -0.1*w.Unit[2]/2, k.XY, 1e-7)
	assertSlack(t, p, Bending, xs, g, 1e-8)
}

func assertSlack(t *testing.T, p *Model, mode Mode, xs [][]float64, a []float64, limit float64) {
	t.Helper()
	for j := range p.Board.Joints {
		tr := p.Trace(j)
		for i, f := range p.Forces(mode, tr, xs, [][]float64{a})[0] {
			s := tr.S[len(tr.S)-1]
			assert.Less(t, math.Hypot(f.N, f.T)/s, limit, "joint %d node %d", j, i)
		}
	}
	for e := range p.Mesh.Elements {
		sig := p.Stress(mode, e, xs[0], a[p.Mesh.Elements[e].Piece])
		assert.Less(t, norm(sig[:]), limit, "element %d", e)
	}
}

// TestTurnedBoard: a board turned by a quarter gives the turned answer.
func TestTurnedBoard(t *testing.T) {
	rows := [][4]float64{{0, 0, 31, 17}, {31, 0, 70, 17}, {0, 17, 44, 40}, {44, 17, 70, 40}}
	var flat, up []string
	for _, r := range rows {
		flat = append(flat, rect(r[0], r[1], r[2], r[3]))
		up = append(up, rect(40-r[3], r[0], 40-r[1], r[2])) // (x, y) → (40 − y, x)
	}
	a, b := pieces(t, 21, flat...), pieces(t, 21, up...)
	angles := []float64{13, 71, -34, 52}
	wa, wb := make([]Wood, 4), make([]Wood, 4)
	for i, v := range angles {
		wa[i], wb[i] = walnut.at(v), walnut.at(v+90)
	}
	wa[1], wb[1] = maple.at(8), maple.at(98)
	pa, pb := model(t, a, wa, mesh.Options{}, Options{Bending: true}), model(t, b, wb, mesh.Options{}, Options{Bending: true})
	amount := some(4, 2)
	for _, mode := range []Mode{Membrane, Bending, Warp} {
		xa, err := pa.Respond(t.Context(), mode, [][]float64{amount})
		require.NoError(t, err)
		xb, err := pb.Respond(t.Context(), mode, [][]float64{amount})
		require.NoError(t, err)
		for j := range a.Joints {
			ja := a.Joints[j]
			k, ok := -1, false
			for i := range b.Joints {
				if b.Joints[i].ID == ja.ID {
					k, ok = i, true
				}
			}
			require.True(t, ok)
			fa := total(pa.Forces(mode, pa.Trace(j), xa, [][]float64{amount})[0])
			fb := total(pb.Forces(mode, pb.Trace(k), xb, [][]float64{amount})[0])
			// A–B keeps its order, so normal and tangent turn with the board.
			assert.InDelta(t, fa.N, fb.N, 1e-7, "mode %d joint %s", mode, ja.ID)
			assert.InDelta(t, fa.T, fb.T, 1e-7, "mode %d joint %s", mode, ja.ID)
			assert.InDelta(t, fa.V, fb.V, 1e-7, "mode %d joint %s", mode, ja.ID)
		}
	}
}

func total(f []Traction) (s Traction) {
	for _, v := range f {
		s.N, s.T, s.V = s.N+v.N, s.T+v.T, s.V+v.V
	}
	return s
}

// TestPiecesBalance: the joints of every piece together neither push nor turn
// it, in every mode.
func TestPiecesBalance(t *testing.T) {
	balance(t, bricksModel(t, Options{Bending: true}))
	// Three and four pieces that meet in one point of the rim.
	fan := pieces(t, 21, "[[0,0],[30,0],[10,40],[0,40]]", "[[30,0],[32,40],[10,40]]", "[[30,0],[50,40],[32,40]]", "[[30,0],[60,0],[60,40],[50,40]]")
	balance(t, model(t, fan, mixed(4, 6), mesh.Options{}, Options{Bending: true}))
}

func balance(t *testing.T, p *Model) {
	amount := some(len(p.Woods), 4)
	for _, mode := range []Mode{Membrane, Bending, Warp} {
		xs, err := p.Respond(t.Context(), mode, [][]float64{amount})
		require.NoError(t, err)
		sum, scale := make([][3]float64, len(p.Woods)), 0.0
		for j := range p.Board.Joints {
			jt := &p.Board.Joints[j]
			tr := p.Trace(j)
			for i, f := range p.Forces(mode, tr, xs, [][]float64{amount})[0] {
				fx, fy := f.N*tr.n[0]+f.T*tr.t[0], f.N*tr.n[1]+f.T*tr.t[1]
				x, y := jt.From[0]+tr.S[i]*tr.t[0], jt.From[1]+tr.S[i]*tr.t[1]
				scale = math.Max(scale, math.Hypot(fx, fy))
				for k, sign := range map[int]float64{jt.A: 1, jt.B: -1} {
					if mode == Membrane {
						sum[k][0] += sign * fx
						sum[k][1] += sign * fy
						sum[k][2] += sign * (x*fy - y*fx)
					} else { // only the transverse force has a balance of its own; moments mix with it
						sum[k][0] += sign * f.V
					}
				}
			}
		}
		for k := range sum {
			assert.InDelta(t, 0, sum[k][0], 1e-8*math.Max(scale, 1), "mode %d piece %d", mode, k)
			assert.InDelta(t, 0, sum[k][1], 1e-8*math.Max(scale, 1), "mode %d piece %d", mode, k)
			assert.InDelta(t, 0, sum[k][2], 1e-6*math.Max(scale, 1), "mode %d piece %d turning", mode, k)
		}
	}
}

// TestSteadyTraction: under a movement that is linear in x and y, one wood
// carries the same traction everywhere, and every node of a joint its share of
// it, also where four or three pieces meet inside the board.
func TestSteadyTraction(t *testing.T) {
	b := pieces(t, 21, append([]string{rect(70, 0, 90, 40), rect(70, 40, 90, 61)}, bricks...)...)
	w := maple.wood()
	p := model(t, b, same(w, 8), mesh.Options{}, Options{})
	eps := [3]float64{3e-3, -1e-3, 4e-3}
	x := make([]float64, 2*len(p.Mesh.Nodes))
	for i, q := range p.Mesh.Nodes {
		x[2*i], x[2*i+1] = eps[0]*q[0]+eps[2]*q[1], eps[1]*q[1]
	}
	sig := matrix.Times(&w.Q, &eps)
	inside := func(q layout.XY) bool { return q[0] > 1 && q[0] < 89 && q[1] > 1 && q[1] < 60 }
	crossings := 0
	for j := range b.Joints {
		tr := p.Trace(j)
		want := resolve(&sig, tr.t, tr.n)
		f := p.Forces(Membrane, tr, [][]float64{x}, [][]float64{make([]float64, 8)})[0]
		last := len(f) - 1
		for i := range f {
			if i == 0 && !inside(b.Joints[j].From) || i == last && !inside(b.Joints[j].To) {
				continue // the rim is free, which this movement is not
			}
			l := 0.0
			if i%2 == 1 {
				l = (tr.S[i+1] - tr.S[i-1]) * 2 / 3
			} else {
				if i > 0 {
					l += (tr.S[i] - tr.S[i-2]) / 6
				}
				if i < last {
					l += (tr.S[i+2] - tr.S[i]) / 6
				}
			}
			if i == 0 || i == last {
				crossings++
			}
			require.InDelta(t, want.N*l, f[i].N, 1e-9, "joint %s node %d", b.Joints[j].ID, i)
			require.InDelta(t, want.T*l, f[i].T, 1e-9, "joint %s node %d", b.Joints[j].ID, i)
		}
	}
	assert.Greater(t, crossings, 8)
}

// TestMomentsBalance: about the x axis, moments on each piece balance the
// transverse forces: Σ h³/12·m − Σ y·h·V = 0.
func TestMomentsBalance(t *testing.T) {
	p := bricksModel(t, Options{Bending: true})
	amount := some(6, 4)
	xs, err := p.Respond(t.Context(), Bending, [][]float64{amount})
	require.NoError(t, err)
	d := p.H * p.H * p.H / 12
	sum, scale := make([][2]float64, 6), 0.0
	for j := range p.Board.Joints {
		jt := &p.Board.Joints[j]
		tr := p.Trace(j)
		for i, f := range p.Forces(Bending, tr, xs, [][]float64{amount})[0] {
			mx, my := d*(f.N*tr.n[0]+f.T*tr.t[0]), d*(f.N*tr.n[1]+f.T*tr.t[1])
			x, y := jt.From[0]+tr.S[i]*tr.t[0], jt.From[1]+tr.S[i]*tr.t[1]
			scale = math.Max(scale, math.Hypot(mx, my))
			for k, sign := range map[int]float64{jt.A: 1, jt.B: -1} {
				// Turn the piece rigidly: φ = (1, 0), w = −x, and φ = (0, 1), w = −y.
				sum[k][0] += sign * (mx - x*p.H*f.V)
				sum[k][1] += sign * (my - y*p.H*f.V)
			}
		}
	}
	for k := range sum {
		assert.InDelta(t, 0, sum[k][0], 1e-7*scale, "piece %d", k)
		assert.InDelta(t, 0, sum[k][1], 1e-7*scale, "piece %d", k)
	}
}

// TestSigns: a narrow strip above a wide one, the upper one shrinking. On paper:
// the wide strip holds the narrow one long, so the shear on the narrow strip
// points outwards at its right end. It acts at the strip's lower edge, below its
// middle, and so lifts its ends: there the joint opens; in balance it is pressed
// together farther in.
func TestSigns(t *testing.T) {
	b := pieces(t, 20, rect(0, 0, 80, 40), rect(0, 40, 80, 48))
	w := maple.at(0)
	p := model(t, b, same(w, 2), mesh.Options{}, Options{})
	amount := []float64{0, -3}
	xs, err := p.Respond(t.Context(), Membrane, [][]float64{amount})
	require.NoError(t, err)
	j := &b.Joints[0]
	require.Len(t, b.Joints, 1)
	tr := p.Trace(0)
	f := p.Forces(Membrane, tr, xs, [][]float64{amount})[0]
	last := len(f) - 1
	assert.Positive(t, f[0].N, "ends open")
	assert.Positive(t, f[last].N, "ends open")
	least := 0.0
	for _, v := range f {
		least = math.Min(least, v.N)
	}
	assert.Negative(t, least, "and press farther in")
	assert.InDelta(t, 0, total(f).N, 1e-9)
	// On piece A: T·t is the force along the joint.
	atRight := last
	if j.To[0] < j.From[0] {
		atRight = 0
	}
	onA := f[atRight].T * tr.t[0] // along +x
	if j.A == 0 {
		assert.Negative(t, onA, "the lower strip is pulled inwards at its right end")
	} else {
		assert.Positive(t, onA, "the upper strip is pulled outwards at its right end")
	}
	// Same and opposite: A lies on the left of From→To and n points to B.
	assert.InDelta(t, tr.t[1], tr.n[0], 1e-15)
	assert.InDelta(t, -tr.t[0], tr.n[1], 1e-15)
}

// resolve turns stress into normal and tangential traction: N = n·σn, T = t·σn.
func resolve(s *[3]float64, t, n [2]float64) Traction {
	px, py := s[0]*n[0]+s[2]*n[1], s[2]*n[0]+s[1]*n[1]
	return Traction{N: n[0]*px + n[1]*py, T: t[0]*px + t[1]*py}
}
