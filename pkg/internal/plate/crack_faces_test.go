package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// freed is ½·fᵀS⁻¹f over the places strictly between two places and the rim, N·mm.
func freed(t *testing.T, p *Model, line *layout.Line, amount []float64, from, to float64) float64 {
	t.Helper()
	l, f := lipsUnder(t, p, line, amount)
	return f(l, from, to)
}

// facesUnder gives the crack faces of a line and the energy between places under amounts.
func lipsUnder(t *testing.T, p *Model, line *layout.Line, amount []float64) (*CrackFaces, func(l *CrackFaces, from, to float64) float64) {
	t.Helper()
	x, err := p.Respond(t.Context(), Membrane, [][]float64{amount})
	require.NoError(t, err)
	l := p.CrackFaces(line)
	var joints [][]Traction
	for _, lj := range line.Joints {
		joints = append(joints, p.Forces(Membrane, p.Trace(lj.Joint), x, [][]float64{amount})[0])
	}
	load := l.Load(line, joints)
	s, err := l.Stiffness(t.Context(), line)
	require.NoError(t, err)
	return l, func(l *CrackFaces, from, to float64) float64 { return freedBy(t, l, &load, s, from, to) }
}

func freedBy(t *testing.T, l *CrackFaces, load *LineLoad, s *mat.SymDense, from, to float64) float64 {
	t.Helper()
	var open []int
	for i, at := range l.Place {
		rim := i == 0 && !l.Shut[0] && from <= 0 || i == len(l.Place)-1 && !l.Shut[1] && to >= at
		if rim || at > from+1e-9 && at < to-1e-9 {
			open = append(open, 2*i, 2*i+1)
		}
	}
	f, k := mat.NewVecDense(len(open), nil), mat.NewSymDense(len(open), nil)
	for a, u := range open {
		v := load.N[u/2]
		if u%2 == 1 {
			v = load.T[u/2]
		}
		f.SetVec(a, v)
		for b := a; b < len(open); b++ {
			k.SetSym(a, b, s.At(u, open[b]))
		}
	}
	var ch mat.Cholesky
	require.True(t, ch.Factorize(k))
	var d mat.VecDense
	require.NoError(t, ch.SolveVecTo(&d, f))
	return mat.Dot(f, &d) / 2
}

// Two bonded strips that want to differ in length by ε: what a long crack sets
// free for each further millimetre is Et·ε²/16 for equal strips (1/P = 1/E₁t₁ +
// 1/E₂t₂ + (t₁+t₂)²/4(E₁I₁+E₂I₂), the energy held ½Pε² a unit of length; Timoshenko 1925), also where the strips are cut in pieces
// at different places, so that the line has vertices of both kinds.
func TestALineFreesTheEnergyOfTwoStrips(t *testing.T) {
	const e, eps = 1000.0, 0.002
	q := isotropic(e, 0)
	g := [2][2]float64{{400, 0}, {0, 400}}
	long, still := Wood{Q: q, G: g, Unit: [3]float64{eps, 0, 0}}, Wood{Q: q, G: g}
	for name, b := range map[string]*layout.Board{
		"whole": pieces(t, 20, rect(0, 0, 600, 20), rect(0, 20, 600, 40)),
		"cut":   pieces(t, 20, rect(0, 0, 250, 20), rect(250, 0, 600, 20), rect(0, 20, 130, 40), rect(130, 20, 250, 40), rect(250, 20, 600, 40)),
	} {
		woods := make([]Wood, len(b.Pieces))
		amount := make([]float64, len(b.Pieces))
		for i := range woods {
			if woods[i] = still; b.Pieces[i].Centre[1] > 20 {
				woods[i], amount[i] = long, 1
			}
		}
		p := model(t, b, woods, mesh.Options{}, Options{})
		var line *layout.Line
		for _, l := range b.Lines() {
			if l.Length == 600 {
				line = &l
			}
		}
		require.NotNil(t, line, name)
		want := e * 20 * eps * eps / 16
		rate := (freed(t, p, line, amount, 0, 250) - freed(t, p, line, amount, 0, 130)) / 120 / 20
		assert.InEpsilon(t, want, rate, 0.02, "N/mm, %s", name)
		// Opened from either end the same.
		assert.InEpsilon(t, freed(t, p, line, amount, 0, 250), freed(t, p, line, amount, 350, 600), 0.03, name)
	}
}

// A line's stiffness is that of the old way of one joint where it is one joint, and
// turning the board round, which exchanges the sides, leaves the energy.
func TestALineOfAnyWayRoundFreesTheSame(t *testing.T) {
	turn := func(half bool) (*layout.Board, []Wood, []float64) {
		at := func(x, y float64) [2]float64 {
			if half {
				return [2]float64{200 - x, 90 - y}
			}
			return [2]float64{x, y}
		}
		box := func(x0, y0, x1, y1 float64) string {
			a, b := at(x0, y0), at(x1, y1)
			return rect(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
		}
		b := pieces(t, 20, box(0, 0, 70, 40), box(70, 0, 200, 40), box(0, 40, 100, 90), box(100, 40, 200, 90))
		return b, mixed(4, 3), some(4, 2)
	}
	var energy [2]float64
	for i, half := range []bool{false, true} {
		b, woods, amount := turn(half)
		p := model(t, b, woods, mesh.Options{}, Options{})
		for _, l := range b.Lines() {
			if l.Length == 200 {
				energy[i] = freed(t, p, &l, amount, 0, 70) // from one end
				if half {
					energy[i] = freed(t, p, &l, amount, 130, 200) // the same stretch
				}
			}
		}
	}
	assert.InEpsilon(t, energy[0], energy[1], 1e-6)
}

// The mesh in use and the sides of two millimetres and more cost little of the
// energy: against a mesh of a quarter of the size. A tip counts as standing Back
// before its place on either.
func TestSidesOfALineAreFineEnough(t *testing.T) {
	for _, size := range []float64{20, 40, 80} {
		b := grid(t, 2, 3, size, 20, "")
		woods, amount := mixed(6, uint64(size)), some(6, 4)
		coarse, fine := model(t, b, woods, mesh.Options{}, Options{}), model(t, b, woods, mesh.Options{Refine: 2}, Options{})
		for _, l := range b.Lines()[:2] {
			c, energy := lipsUnder(t, coarse, &l, amount)
			f, wanted := lipsUnder(t, fine, &l, amount)
			for i := 2; i < len(c.Place)-1; i += 2 {
				at := c.Place[i] - c.Back[i/2]
				if at < 8 {
					continue
				}
				// √U runs nearly straight between the tips of the fine mesh.
				k := 2
				for f.Place[k+2]-f.Back[k/2+1] < at {
					k += 2
				}
				a, z := f.Place[k]-f.Back[k/2], f.Place[k+2]-f.Back[k/2+1]
				x := (at - a) / (z - a)
				root := (1-x)*math.Sqrt(wanted(f, 0, f.Place[k])) + x*math.Sqrt(wanted(f, 0, f.Place[k+2]))
				limit := 0.03
				if at < 13 {
					limit = 0.05
				}
				assert.InEpsilon(t, root*root, energy(c, 0, c.Place[i]), limit, "blocks of %g mm, from the rim to %.1f mm", size, at)
			}
		}
	}
}
