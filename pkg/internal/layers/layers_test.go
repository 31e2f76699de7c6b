package layers

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cut is a section of n even layers.
func cut(h float64, n int) *Section {
	s := &Section{}
	for i := range n {
		s.Z, s.Width = append(s.Z, h*((float64(i)+0.5)/float64(n)-0.5)), append(s.Width, h/float64(n))
	}
	return s
}

func even(v float64) Trend { return TrendOf(func(float64) float64 { return v }) }

// elastic never yields.
func elastic() *Material {
	return &Material{Modulus: 2, Stiff: even(1), Tension: even(1e9), Yield: even(1e9)}
}

// profiles is a history of even start and one further profile a time.
func profiles(n int, start float64, f ...func(z float64) float64) (s *Section, times []float64, bound [][]float64) {
	s = cut(40, n)
	times, bound = []float64{0}, [][]float64{make([]float64, n)}
	for i := range n {
		bound[0][i] = start
	}
	for k, g := range f {
		row := make([]float64, n)
		for i, z := range s.Z {
			row[i] = g(z)
		}
		times, bound = append(times, 24*float64(k+1)), append(bound, row)
	}
	return s, times, bound
}

// The elastic section in closed form: a parabola w = c·(2z/h)² + d·z moves a = c/3,
// bends b = d and leaves the stress E·c·(1/3 − (2z/h)²).
func TestElasticSectionInClosedForm(t *testing.T) {
	const c, d = -4.0, 0.05
	s, times, bound := profiles(400, 10, func(z float64) float64 { return 10 + c*z*z/400 + d*z })
	got := s.Follow(elastic(), times, bound)
	assert.InDelta(t, c/3, got.Free[1], 1e-4)
	assert.InDelta(t, d, got.Slope[1], 1e-9)
	for i, z := range s.Z {
		assert.InDelta(t, 2*c*(1.0/3-z*z/400), got.Stress[1][i], 1e-3, "at %g", z)
	}
}

// Force and moment stay nothing whatever yields, and a step twice as fine changes little.
func TestWhateverYieldsTheSectionStaysInBalance(t *testing.T) {
	s, times, bound := profiles(40, 10, wet(20, 3), wet(10, 8), dry(4, 6), wet(-8, 3))
	got := s.Follow(maple(), times, bound)
	for k := range times {
		n, m := 0.0, 0.0
		for i, z := range s.Z {
			n, m = n+s.Width[i]*got.Stress[k][i], m+s.Width[i]*z*got.Stress[k][i]
		}
		assert.InDelta(t, 0, n/40, 1e-8, "MPa")
		assert.InDelta(t, 0, m/1600, 1e-8, "MPa")
	}
}

// wet is the top face that much wetter, fading over a depth; dry both faces drier.
func wet(by, depth float64) func(z float64) float64 {
	return func(z float64) float64 { return 10 + by*math.Exp((z-20)/depth) }
}

func dry(by, depth float64) func(z float64) float64 {
	return func(z float64) float64 { return 10 - by*(math.Exp((z-20)/depth)+math.Exp((-20-z)/depth)) }
}

// maple is near the maple of the tables, along T.
func maple() *Material {
	return &Material{Modulus: 2.9, Stiff: even(1), Tension: TrendOf(func(mc float64) float64 { return 5.5 * math.Pow(0.8, (mc-12)/8) }),
		Yield: TrendOf(func(mc float64) float64 { return 8 * math.Pow(0.7, (mc-12)/8) }),
		Creep: []Kelvin{{0.3, 100}, {0.7, 1000}}, Sorption: Default().Sorption}
}

// A section held to a strain: without sorption it relaxes as its creep says, here one
// link, σ/σ₀ = (1 + C·exp(−(1+C)·t/τ))/(1 + C); and with sorption alone the summed
// change of moisture is the clock.
func TestHeldStrainRelaxesByBothClocks(t *testing.T) {
	m := elastic()
	want := func(c, x float64) float64 { return (1 + c*math.Exp(-(1+c)*x)) / (1 + c) }
	s := cut(40, 6)
	const n = 400
	times, bound, one, none := make([]float64, n), make([][]float64, n), make([]float64, n), make([]float64, n)
	for i := range times {
		times[i], one[i] = float64(i), 1
		mc := 10 + 0.1*float64(i%2) // a tenth of a per cent up and down
		bound[i] = []float64{mc, mc, mc, mc, mc, mc}
	}
	m.Creep = []Kelvin{{0.8, 150}}
	held, bent := s.hold(m, times, bound, one, none)
	assert.InDelta(t, want(0.8, 399.0/150), held[n-1], 1e-5)
	assert.InDelta(t, 0, bent[n-1], 1e-12)
	m.Creep, m.Sorption = nil, []Kelvin{{1.17, 10}}
	held, _ = s.hold(m, times, bound, one, none)
	assert.InDelta(t, want(1.17, 39.9/10), held[n-1], 1e-4)
}

// The measured law: two per cent a cycle of 8 to 19 %, two cycles without load take
// 60 % of the mechano-sorptive strain back, and it has an end (Amando de Barros and
// Wittel 2026).
func TestMeasuredSorptionSaturatesAndComesBack(t *testing.T) {
	strain := 0.0
	links := Default().Sorption
	e := make([]float64, len(links))
	change := func(w, stress float64) {
		strain = 0
		for k, l := range links {
			d := decayOver(w / l.Reach)
			e[k] = d.left*e[k] + l.Compliance*stress*(1-d.left)
			strain += e[k]
		}
	}
	change(31, 1)
	assert.InDelta(t, 1.62, strain, 0.05, "over the elastic strain after 31 % of change")
	for range 40 {
		change(11, 1)
	}
	assert.Less(t, strain, 3.2, "it saturates")
	change(177-31-11, 1)
	e[0], e[1] = 1.17, 1.97*(1-math.Exp(-1.77))
	most := e[0] + e[1]
	change(40, 0)
	assert.InDelta(t, 0.6, 1-strain/most, 0.06, "taken back")
}

// Drying: the faces are pulled first, then the signs turn while the core follows, and a
// dried section stays casehardened (faces pressed, core pulled). Known of every kiln
// (Simpson, Dry Kiln Operator's Manual, 1991; from memory).
func TestDryingTurnsItsSigns(t *testing.T) {
	s := cut(40, 40)
	// A slab of even diffusivity from 24 to 6 %, both faces at once (Crank, eq. 4.17).
	times := []float64{0}
	for k := range 60 {
		times = append(times, 2*math.Pow(1.15, float64(k)))
	}
	bound := make([][]float64, len(times))
	for k, at := range times {
		bound[k] = make([]float64, 40)
		for i, z := range s.Z {
			u := 0.0
			for q := range 60 {
				p := (2*float64(q) + 1) * math.Pi
				u += 4 / p * math.Pow(-1, float64(q)) * math.Exp(-p*p*0.6*at/1600) * math.Cos(p*z/40)
			}
			bound[k][i] = 6 + 18*u
		}
	}
	for i := range bound[0] {
		bound[0][i] = 24
	}
	got := s.Follow(maple(), times, bound)
	assert.Greater(t, got.Stress[3][0], 3.0, "faces pulled first, MPa")
	assert.Less(t, got.Stress[3][20], 0.0)
	last := got.Stress[len(times)-1]
	assert.Less(t, last[0], -0.5, "casehardened: faces pressed, MPa")
	assert.Greater(t, last[20], 0.1)
	assert.InDelta(t, -18, got.Free[len(times)-1], 3, "and shrunk by nearly all")
	turned, sign := 0, 1.0
	for k := range times {
		if v := got.Stress[k][0]; v*sign < 0 { // nothing while fine checks close
			turned, sign = turned+1, -sign
		}
	}
	assert.Equal(t, 1, turned, "they turn once")
}

// Fine checks close before the layer is pressed again, and tension never passes strength.
func TestFineChecksOpenAndClose(t *testing.T) {
	s, times, bound := profiles(60, 10, dry(8, 3), func(float64) float64 { return 10 }, wet(6, 3))
	m := maple()
	got := s.Follow(m, times, bound)
	require.Positive(t, got.Open[1][59])
	assert.InDelta(t, m.Tension.At(bound[1][59]), got.Stress[1][59], 1e-3)
	assert.Less(t, got.Open[2][59], got.Open[1][59])
	assert.Zero(t, got.Open[3][59], "wetted, it is closed")
	assert.Less(t, got.Stress[3][59], 0.0)
}

// The weight function against closed forms: edge crack in a half space under even
// stress 1.1215, falling to nothing at the tip 0.439, rising from nothing 0.683; strip
// of a/h 0.3 in tension 1.660 and bending 1.124 (Tada, Paris and Irwin, from memory).
func TestEdgeCracksOfClosedForm(t *testing.T) {
	unit := func(h, a float64, f func(x float64) float64) float64 {
		s := cut(h, 4000)
		stress := make([]float64, 4000)
		for i, z := range s.Z {
			stress[i] = f(z + h/2)
		}
		return s.Intensity(stress, a, false) / math.Sqrt(math.Pi*a/metre)
	}
	const a = 3.0
	assert.InEpsilon(t, 1.1215, unit(300, a, func(float64) float64 { return 1 }), 0.01)
	assert.InEpsilon(t, 0.4395, unit(300, a, func(x float64) float64 { return 1 - x/a }), 0.02)
	assert.InEpsilon(t, 0.682, unit(300, a, func(x float64) float64 { return x / a }), 0.02)
	assert.InEpsilon(t, 1.660, unit(10, a, func(float64) float64 { return 1 }), 0.01)
	assert.InEpsilon(t, 1.124, unit(10, a, func(x float64) float64 { return 1 - x/5 }), 0.01)
	s := cut(10, 100)
	one := make([]float64, 100)
	for i := range one {
		one[i] = float64(i)
	}
	back := make([]float64, 100)
	for i := range back {
		back[i] = one[99-i]
	}
	assert.InDelta(t, s.Intensity(back, 2, false), s.Intensity(one, 2, true), 1e-12, "either face")
}

// Checks: a skin at strength is fine, and runs only where energy suffices, to where it
// no longer does.
func TestChecksRunWhereEnergySuffices(t *testing.T) {
	s := cut(40, 400)
	stress, strength := make([]float64, 400), make([]float64, 400)
	for i, z := range s.Z {
		x := z + 20
		strength[i] = 5
		stress[i] = min(5, 5-1.2*(x-3))
	}
	irwin := func(k float64) float64 { return k * k / 900 * 1e6 }
	c := s.Checks(stress, strength, Toughness{1e9, irwin})
	assert.InDelta(t, 3, c.Fine, 0.11)
	assert.Equal(t, c.Fine, c.Depth)
	assert.False(t, c.Top)
	g := s.Release(stress, c.Fine, false, Toughness{0, irwin})
	run := s.Checks(stress, strength, Toughness{g * 0.9, irwin})
	assert.Greater(t, run.Depth, c.Fine)
	assert.Less(t, run.Depth, 20.0)
	assert.Less(t, s.Release(stress, run.Depth+0.4, false, Toughness{0, irwin}), g*0.9)
	none := s.Checks(stress, even400(6), Toughness{1, irwin})
	assert.Zero(t, none.Depth)
}

func even400(v float64) []float64 {
	out := make([]float64, 400)
	for i := range out {
		out[i] = v
	}
	return out
}

func BenchmarkYear(b *testing.B) {
	n := 600
	times, bound := make([]float64, n), make([][]float64, n)
	s := cut(40, 40)
	for k := range times {
		times[k] = float64(k) * 8760 / float64(n)
		bound[k] = make([]float64, 40)
		for i, z := range s.Z {
			bound[k][i] = 10 + 2*math.Sin(float64(k)/90) + 8*math.Exp(-math.Abs(math.Abs(z)-20)/2-float64(k%20))
		}
	}
	m := maple()
	for b.Loop() {
		c := s.Follow(m, times, bound)
		s.hold(m, times, bound, c.Free, c.Slope)
	}
}
