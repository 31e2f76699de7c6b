package moisture

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/wood"
)

func kind(t testing.TB, name string) *wood.Species {
	t.Helper()
	s, err := wood.Find(name)
	require.NoError(t, err)
	return s
}

// A small step of moisture keeps the diffusivity nearly constant, and the middle of
// the sheet then follows Crank's Eq. 4.52 for a sheet with surface evaporation:
// the share left at the middle is Σ 2·Bi·exp(−β²·Fo) / ((β²+Bi²+Bi)·cos β).
func TestSettleAgainstCrank(t *testing.T) {
	s := kind(t, "sugar-maple")
	air := Room{Humidity: 45, Temperature: 20}
	end := equilibrium(20, 45)
	for _, h := range []float64{20, 40} {
		for _, along := range []bool{false, true} {
			c := Column{Species: s, Along: along, Thickness: h, M0: end + 0.4}
			hours, err := Settle(context.Background(), c, air, 0.1)
			require.NoError(t, err)
			m, l := c.material()
			require.Empty(t, l)
			across, with := diffusivity(m.solid, 20, end+0.2, m.ratio)
			d := across
			if along {
				d = with
			}
			bi := SurfaceEmission(m.density, 20, 45) * (h / 2000) / d
			fo := d * hours * 3600 / (h * h / 4e6)
			left := 0.0
			for n := range 40 {
				b := bisectRising(func(b float64) float64 { return math.Pow(-1, float64(n)) * (b*math.Sin(b) - bi*math.Cos(b)) }, float64(n)*math.Pi+1e-12, (float64(n)+0.5)*math.Pi-1e-12, 1e-14)
				left += 2 * bi * math.Exp(-b*b*fo) / ((b*b + bi*bi + bi) * math.Cos(b))
			}
			assert.InDelta(t, 0.25, left, 0.01, "%g mm along %v: %g h", h, along, hours)
		}
	}
	none, err := Settle(context.Background(), Column{Species: s, Thickness: 20, M0: end + 0.4}, air, 0.5)
	require.NoError(t, err)
	assert.Zero(t, none)
	_, err = Settle(context.Background(), Column{Species: s, Thickness: 20, M0: 10}, Room{Humidity: 120, Temperature: 20}, -1)
	assert.ErrorContains(t, err, "/within")
	assert.ErrorContains(t, err, "/air/humidity")
}

// Seven days before planing a panel are generally enough for its lines not to sink
// (Wengert, The Wood Doctor's Rx, chapter 41). Panels of one inch, planed to 22 mm,
// of strips 60 mm wide with an ordinary spread of a glue that is half water, and lines
// that sink 0.02 mm: between four days and ten.
func TestLinesSinkForAWeek(t *testing.T) {
	for _, name := range []string{"sugar-maple", "black-walnut", "yellow-poplar", "northern-red-oak", "black-cherry"} {
		l := Line{Species: kind(t, name), Thickness: 22, Spacing: 60, Water: 0.09, Air: Room{Humidity: 45, Temperature: 20}}
		hours, err := l.Wait(context.Background(), 0.02)
		require.NoError(t, err)
		assert.Greater(t, hours, 4*24.0, name)
		assert.Less(t, hours, 10*24.0, name)
	}
	dry := Line{Species: kind(t, "sugar-maple"), Thickness: 22, Spacing: 60, Air: Room{Humidity: 45, Temperature: 20}}
	hours, err := dry.Wait(context.Background(), 0.02)
	require.NoError(t, err)
	assert.Zero(t, hours, "a glue without water")
	_, err = Line{Species: kind(t, "sugar-maple"), Thickness: 22, Spacing: -1, Water: 0.09, Air: Room{Humidity: 45, Temperature: 20}}.Wait(context.Background(), 0.02)
	assert.ErrorContains(t, err, "/spacing")
}

// A thin panel stands proud as if each place were free: the waves of the spread are
// Crank's images, summed the other way. A thick one is held: what shows goes with the
// length of the wave and no longer with the thickness.
func TestLinesOfThinAndThickPanels(t *testing.T) {
	const sealed = 1e-12 // Biot number: nothing leaves by the faces
	thin := lineConstants{d: 0.1, bi: sealed, source: 14, swell: 0.001, spacing: 36, half: 0.01, roots: []float64{math.Sqrt(sealed)}}
	for _, hours := range []float64{5, 100, 2000} {
		dt, images := thin.d*hours, 0.0
		for n := -9; n <= 9; n++ {
			a, b := float64(n)*36, (float64(n)+0.5)*36
			images += math.Exp(-a*a/(4*dt)) - math.Exp(-b*b/(4*dt))
		}
		images /= math.Sqrt(4 * math.Pi * dt)
		assert.InEpsilon(t, thin.swell*thin.source*images, thin.proud(hours), 1e-3, "%g h", hours)
	}
	assert.InDelta(t, 1, relief(0.01), 1e-4)
	assert.InDelta(t, 2/20.0, relief(20), 1e-12)
}

// The relief of a plate that swells in waves against Ritz's method: displacements as
// powers of the height, energy least, in plane stress; nothing of it is in the formula.
func TestReliefAgainstRitz(t *testing.T) {
	const nu, terms, points = 0.3, 9, 4000
	for _, q := range []float64{0.3, 1, math.Pi, 6} { // half the thickness is 1, so the wave number is q
		size := 2 * terms // u = sin qx·Σ aₘ z²ᵐ, w = cos qx·Σ bₘ z²ᵐ⁺¹
		k, f := mat.NewSymDense(size, nil), mat.NewVecDense(size, nil)
		for p := range points {
			z := (float64(p) + 0.5) / points
			ex, ez, g := make([]float64, size), make([]float64, size), make([]float64, size)
			for m := range terms {
				zm := math.Pow(z, float64(2*m))
				ex[m] = q * zm
				if m > 0 {
					g[m] = float64(2*m) * zm / z
				}
				ez[terms+m] = float64(2*m+1) * zm
				g[terms+m] = -q * zm * z
			}
			for i := range size {
				for j := i; j < size; j++ {
					e := (ex[i]*ex[j] + ez[i]*ez[j] + nu*(ex[i]*ez[j]+ez[i]*ex[j])) / (1 - nu*nu)
					k.SetSym(i, j, k.At(i, j)+(e+g[i]*g[j]/(2*(1+nu)))/points)
				}
				f.SetVec(i, f.AtVec(i)+(ex[i]+ez[i])/(1-nu)/points) // swelling of 1 both ways
			}
		}
		var a mat.VecDense
		require.NoError(t, a.SolveVec(k, f))
		w := 0.0
		for m := range terms {
			w += a.AtVec(terms + m)
		}
		assert.InEpsilon(t, w, relief(q), 1e-3, "q = %g", q)
	}
}

// A Douglas-fir reads itself; a resistance meter errs by no more than 2 % on other
// woods as a rule (Wengert and Bois 1997, quoted by Shupe, Wu and Hartley 2002); and
// no wood stands in two rows of the table.
func TestMeterReadings(t *testing.T) {
	fir := kind(t, "coast-douglas-fir")
	for _, mc := range []float64{7, 8.3, 12, 16} {
		r, ok := MeterReading(fir, mc)
		require.True(t, ok)
		assert.InDelta(t, mc, r, 1e-9)
	}
	seen := map[string]bool{}
	for name, row := range resistances() {
		for _, id := range row.woods {
			s, err := wood.Find(id)
			require.NoError(t, err, name)
			require.Equal(t, id, s.ID)
			require.False(t, seen[id], id)
			seen[id] = true
			was := 0.0
			for mc := 7.0; mc <= 16; mc += 0.5 {
				r, ok := MeterReading(s, mc)
				require.True(t, ok)
				assert.Greater(t, r, was, "%s at %g", id, mc)
				if was = r; mc >= 8 {
					assert.InDelta(t, mc, r, 2.05, "%s at %g", id, mc)
				}
			}
		}
	}
	_, ok := MeterReading(kind(t, "black-cherry"), 8)
	assert.False(t, ok, "no curve is held for cherry")
	_, ok = MeterReading(fir, 5)
	assert.False(t, ok)
}

// Oil enters slower than water as the law of capillaries says: four times the
// viscosity, half the depth.
func TestDrinkTime(t *testing.T) {
	c := Column{Species: kind(t, "sugar-maple"), Along: true, Thickness: 38, M0: 8}
	water, err := c.DrinkTime(0.1, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, 25, water, 1e-9) // (0.1 / 0.020)²
	oil, err := c.DrinkTime(0.1, Penetration(1, 1, 4))
	require.NoError(t, err)
	assert.InEpsilon(t, 4*water, oil, 1e-9)
}
