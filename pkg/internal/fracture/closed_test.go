package fracture

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/joint"
)

// ideal is a line of many short sides with a given mean opening stress S̄(a) [MPa]
// and energy G(a) [N/mm] of a crack from its start of length a: the traction on each
// side is what S̄·a grows by, and the middle of each side is a spring of its own that
// frees what G·a grows by.
func ideal(sides int, h float64, stress, energy func(a float64) float64) *Line {
	l := &Line{Shut: [2]bool{true, true}, Thickness: 1}
	c := Load{SideT: make([]float64, sides)}
	n := 2*sides + 1
	c.N, c.T = make([]float64, n), make([]float64, n)
	s := mat.NewSymDense(2*n, nil)
	for i := range 2 * n {
		s.SetSym(i, i, 1)
	}
	last := [2]float64{}
	for i := range sides {
		a := h * float64(i+1)
		now := [2]float64{stress(a) * a, energy(a) * a}
		c.SideN = append(c.SideN, now[0]-last[0])
		c.N[2*i+1] = math.Sqrt(2 * (now[1] - last[1])) // ½f²/1
		last = now
		l.Joint = append(l.Joint, 0)
	}
	for i := range n {
		l.Place = append(l.Place, h*float64(i)/2)
	}
	l.Membrane = []Load{c}
	l.Stiffness = func(context.Context) (*mat.SymDense, error) { return s, nil }
	return l
}

// from judges a line from its start only, under unit load.
func fromStart(t *testing.T, l *Line, ft, gc float64) Result {
	t.Helper()
	l.Tough = []Toughness{{gc, 3 * gc, 1.5}}
	l.prepare()
	l.starts = l.starts[:1]
	return judge(t, l, &State{Membrane: []float64{1}, Height: []float64{0}, Criteria: [][][Parts]joint.Criterion{{plain(ft, ft)}}})
}

// Before a long crack under K the stress is K/√(2πr), its mean over a 2K/√(2πa), and
// what a short further crack frees is K²/E an area. Energy needs K ≥ K_c; the stress
// suffices on (2/π)(K/f)², so v = K/K_c as long as that is not nought.
func TestALongCrackGivesToughnessBack(t *testing.T) {
	const e, ft, kc = 1000.0, 6.0, 12.0 // MPa, MPa, MPa·√mm
	for _, k := range []float64{3, 7.5, 12, 20} {
		l := ideal(400, 0.05, func(a float64) float64 { return 2 * k / math.Sqrt(2*math.Pi*a) }, func(a float64) float64 { return k * k / e })
		r := fromStart(t, l, ft, kc*kc/e)
		assert.InEpsilon(t, k/kc, r.V, 1e-9, "K %g", k)
		assert.Equal(t, Energy, r.Governs)
	}
}

// hole is a round hole of radius R in a large sheet under tension σ = 1 MPa: the mean
// of the stress beside it over a, from Kirsch (1898),
//
//	σ_y(x) = ½·(2 + R²/x² + 3R⁴/x⁴)
//	S̄(a) = 1/a·[x − R²/(2x) − R⁴/(2x³)] from R to R+a,
//
// and a crack of length a on either side of it (Tada, Paris and Irwin, The Stress
// Analysis of Cracks Handbook; from memory), s = a/(R+a):
//
//	K(a) = √(πa)·½(3 − s)·(1 + 1.243(1 − s)³),  G(a) = 1/a·∫K²/E da.
//
// Both at once, S̄(a) = f and mean K² = K_c², are equations (2) and (4) of Cornetti,
// Pugno, Carpinteri and Taylor (2006; from memory) for the hole.
func hole(radius, e float64) (stress, energy func(a float64) float64) {
	at := func(x float64) float64 {
		return x - radius*radius/(2*x) - math.Pow(radius, 4)/(2*x*x*x)
	}
	stress = func(a float64) float64 { return (at(radius+a) - at(radius)) / a }
	energy = func(a float64) float64 {
		const n = 400
		sum := 0.0
		for i := range n {
			x := a * (float64(i) + 0.5) / n
			s := x / (radius + x)
			f := (3 - s) / 2 * (1 + 1.243*math.Pow(1-s, 3))
			sum += math.Pi * x * f * f / n
		}
		return sum / e
	}
	return stress, energy
}

// The published size effect of a hole: the load at which it breaks falls from the
// strength of the sheet, when it is small against (K_c/f)², to a third of it when large,
// and in between is where both equations hold at once, solved here by bisection.
func TestAHoleBreaksAsPublished(t *testing.T) {
	const e, ft, kc = 1000.0, 6.0, 12.0
	length := kc * kc / ft / ft // 4 mm
	last := 1.0
	for _, radius := range []float64{0.02, 0.1, 0.4, 1, 2, 4, 10, 40, 200} {
		stress, energy := hole(radius, e)
		// S̄ falls with a, the energy grows: they cross once.
		lo, hi := 1e-4*length, 10*length+10*radius
		for range 200 {
			a := (lo + hi) / 2
			if stress(a)/ft > math.Sqrt(energy(a)*e)/kc {
				lo = a
			} else {
				hi = a
			}
		}
		want := stress(lo) / ft // v under 1 MPa
		h := lo / 12
		l := ideal(40, h, stress, energy)
		r := fromStart(t, l, ft, kc*kc/e)
		assert.InEpsilon(t, want, r.V, 0.004, "radius %g mm", radius)
		assert.InEpsilon(t, lo, r.To-r.From, 0.04, "radius %g mm: length of the first crack", radius)
		breaks := 1 / (r.V * ft) // of the strength of the sheet
		assert.Less(t, breaks, last, fmt.Sprint(radius))
		last = breaks
		switch radius {
		case 0.02:
			assert.InDelta(t, 1, breaks, 0.02, "a small hole does not count")
		case 200:
			assert.InDelta(t, 1.0/3, breaks, 0.01, "a large one triples the stress")
		}
	}
}

// A body as large again and as tough again breaks under the same stress: the length
// (K_c/f)² is all there is to compare a size with.
func TestSizeAgainstToughness(t *testing.T) {
	const e, ft, gc = 1000.0, 6.0, 0.144
	stress, energy := hole(3, e)
	one := fromStart(t, ideal(60, 0.1, stress, energy), ft, gc)
	stress, energy = hole(7.5, e)
	large := fromStart(t, ideal(60, 0.25, stress, energy), ft, 2.5*gc)
	assert.InEpsilon(t, one.V, large.V, 1e-9)
	assert.InEpsilon(t, 2.5*(one.To-one.From), large.To-large.From, 1e-9)
	same := fromStart(t, ideal(60, 0.25, stress, energy), ft, gc)
	assert.Greater(t, same.V, one.V, "larger and no tougher breaks sooner")
}

// notchExponent is the exponent λ of the stress K·r^(λ−1) before a sharp notch of an
// opening ω [°] pulled open (Williams, Journal of Applied Mechanics 19, 1952):
//
//	sin(λ·(2π − ω)) = −λ·sin(2π − ω), ½ ≤ λ ≤ 1.
func notchExponent(opening float64) float64 {
	g := 2*math.Pi - opening*math.Pi/180
	lo, hi := 0.5-1e-12, 1.0
	if opening == 180 {
		return 1
	}
	f := func(l float64) float64 { return math.Sin(l*g) + l*math.Sin(g) }
	for range 100 {
		if mid := (lo + hi) / 2; (f(lo) > 0) == (f(mid) > 0) && f(lo) != 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// A sharp notch breaks as published. Before it the stress is K·r^(λ−1), its mean over a
// K·a^(λ−1)/λ, and a crack of length a frees A·K²·a^(2λ−1) an area. Both at once give
//
//	K_c = (G_c/A)^(1−λ)·(λ·f)^(2λ−1)
//
// (Leguillon, European Journal of Mechanics A 21, 2002, with stress at a point, where
// the λ beside f is missing; Carpinteri, Cornetti, Pugno, Sapora and Taylor, Engineering
// Fracture Mechanics 75, 2008, with the mean; both from memory): toughness of a crack
// (ω = 0), strength of a straight edge (180°), and a mixture between. The stress
// intensity of a short crack at its root is ψ·K·a^(λ−½), so A = ψ²/(2λE); ψ in units of
// (2π)^(1−λ) is 1 of a crack, 1.12·√π of an edge (both exact), the others from memory.
func TestASharpNotchBreaksAsPublished(t *testing.T) {
	const e, ft, gc = 1000.0, 6.0, 0.144
	last := 0.0
	for _, c := range []struct{ opening, lambda, psi float64 }{
		{0, 0.5, 1}, {30, 0.5015, 1.005}, {60, 0.5122, 1.017}, {90, 0.5445, 1.059}, {120, 0.6157, 1.161}, {150, 0.7520, 1.394}, {180, 1, 1.1215 * math.Sqrt(math.Pi)},
	} {
		lambda := notchExponent(c.opening)
		require.InDelta(t, c.lambda, lambda, 6e-5, "ω = %g°: λ as printed", c.opening)
		assert.GreaterOrEqual(t, lambda, last-1e-12)
		last = lambda
		psi := c.psi * math.Pow(2*math.Pi, 1-lambda)
		a := psi * psi / (2 * lambda * e)
		critical := math.Pow(gc/a, 1-lambda) * math.Pow(lambda*ft, 2*lambda-1)
		// The length of the first crack: that at which the stress suffices under K_c.
		first := 1.0
		if lambda < 1 {
			first = math.Pow(critical/(lambda*ft), 1/(1-lambda))
		}
		for _, k := range []float64{0.4, 1.5} { // of the critical
			l := ideal(40, first/16, func(x float64) float64 { return k * critical * math.Pow(x, lambda-1) / lambda },
				func(x float64) float64 { return a * math.Pow(k*critical, 2) * math.Pow(x, 2*lambda-1) })
			r := fromStart(t, l, ft, gc)
			assert.InEpsilon(t, k, r.V, 0.003, "ω = %g°", c.opening)
			if lambda > 0.51 && lambda < 1 { // of a crack any length will do, of an edge any that is long enough
				assert.InEpsilon(t, first, r.To-r.From, 0.02, "ω = %g°: length of the first crack", c.opening)
			}
		}
	}
}
