package relax

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

var all = []Variant{Typical, Low, High, None}

// The measured sets: creep over elastic and the factor left, as published data give them.
func TestMeasuredSets(t *testing.T) {
	for set, c := range map[string]struct{ phi, left float64 }{
		"spruce-TR-65": {3.16, 0.24}, "spruce-RT-65": {2.07, 0.33}, "spruce-RL-65": {1.42, 0.41}, "spruce-TR-30": {1.85, 0.35},
	} {
		chain, ok := chains()[set]
		require.True(t, ok, set)
		assert.InDelta(t, c.phi, chain.Creep(), 0.01, set) // the sums are listed to two decimals
		assert.InDelta(t, c.left, chain.Relaxation().At(1e6), 0.006, set)
	}
}

// The conversion against its defining integral: creep of the relaxing stress is
// the constant strain, ∫ J(t−s) dσ(s) = J0, by trapezoids on a fine grid of
// logarithms (Volterra, no Laplace transform).
func TestConversionByVolterra(t *testing.T) {
	for set, c := range chains() {
		r := c.Relaxation()
		sum := r.Rest
		for _, x := range r.Terms {
			assert.Greater(t, x.Share, 0.0, set)
			assert.Greater(t, x.Tau, 0.0, set)
			sum += x.Share
		}
		assert.InDelta(t, 1, sum, 1e-12, set)
		for _, at := range []float64{0.037, 0.9, 7.3, 61, 900} {
			strain := creepOf(c, at) // of the jump at 0
			const n = 40000
			last, lastS := 1.0, 0.0
			for i := 1; i <= n; i++ {
				s := at * math.Pow(float64(i)/n, 3) // crowded towards the fast start
				f := r.At(s)
				strain += (f - last) * creepOf(c, at-(s+lastS)/2)
				last, lastS = f, s
			}
			assert.InEpsilon(t, c.J0, strain, 2e-6, "%s at %g h", set, at)
		}
	}
}

// What is measured and what is chosen, told apart. Measured: the four sets of spruce
// (Ferrara & Wittel 2025) after 300 hours bound the variants from below, since they hold the
// creep of days only and no variant may leave less than the fastest of them; clamped
// wood keeps 0.15 after years (Clamp 2019). The season figures 0.2, 0.5 and 0.6 are choices of
// this project (data/creep_relaxation.csv, estimated): the test holds their order and
// that they lie between the measured ends, not their value.
func TestVariantsSpanThePublishedValues(t *testing.T) {
	least := 1.0
	for _, c := range chains() {
		least = math.Min(least, c.Relaxation().At(300))
	}
	t.Logf("least left of a measured set after 300 h: %.2f", least)
	for v := range map[Variant]bool{Low: true, Typical: true, High: true} {
		assert.InDelta(t, 1, Factor(0, v), 1e-12, "variant %d", v)
		assert.Greater(t, Factor(300, v), least-0.02, "variant %d", v)
		assert.Less(t, Factor(Season(), v), 0.7, "the handbook's 0.6 to 0.7 for wood in general is the upper end")
		assert.Greater(t, Factor(Season(), v), 0.15, "of years, not of a season")
	}
	assert.Less(t, Factor(Season(), Low), Factor(Season(), Typical))
	assert.Less(t, Factor(Season(), Typical), Factor(Season(), High))
	assert.InDelta(t, 1, Factor(Season(), None), 1e-12)
	// hours to days: 0.8 to 1 in the cautious variants
	for _, v := range []Variant{Typical, High} {
		assert.Greater(t, Factor(1, v), 0.99)
		assert.Greater(t, Factor(48, v), 0.85)
	}
	// after years: 0.15 to 0.4 where measured
	assert.InDelta(t, 0.15, Factor(5*8760, Low), 0.001)
	last := map[Variant]float64{}
	for _, v := range all {
		last[v] = 1
	}
	for lg := -2.0; lg < 6; lg += 0.1 {
		at := math.Pow(10, lg)
		for _, v := range all {
			f := Factor(at, v)
			assert.LessOrEqual(t, f, last[v]) // falls, never rises
			assert.Greater(t, f, 0.0)
			last[v] = f
		}
		assert.LessOrEqual(t, Factor(at, Low), Factor(at, Typical))
		assert.LessOrEqual(t, Factor(at, Typical), Factor(at, High))
	}
	// the measured variant at the end of the measured range
	assert.InDelta(t, chains()[lowSet].Relaxation().At(300), Factor(300, Low), 0.02)
}

// Step and ramp in closed form.
func TestClosedForms(t *testing.T) {
	for _, v := range all {
		s := v.Series()
		times := []float64{3, 3.7, 11, 90, 2000}
		step, ramp := make([][]float64, len(times)), make([][]float64, len(times))
		for i, at := range times {
			step[i], ramp[i] = []float64{2.5}, []float64{0.3 * (at - 3)}
		}
		a, b := Relax(times, step, nil, v), Relax(times, ramp, nil, v)
		for i, at := range times {
			x := at - 3
			assert.InDelta(t, 2.5*s.At(x), a[i][0], 1e-12)
			want := s.Rest * x // ∫₀ˣ F
			for _, term := range s.Terms {
				want += term.Share * term.Tau * (1 - math.Exp(-x/term.Tau))
			}
			assert.InDelta(t, 0.3*want, b[i][0], 1e-9)
		}
	}
}

// A crooked history against the integral summed directly.
func TestAgainstQuadrature(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 3))
	times, elastic := []float64{0}, [][]float64{{1.3, -0.4}}
	for range 25 {
		times = append(times, times[len(times)-1]+math.Exp(4*rnd.Float64()-1))
		elastic = append(elastic, []float64{rnd.NormFloat64(), rnd.NormFloat64()})
	}
	for _, v := range all {
		got := Relax(times, elastic, nil, v)
		for row := range times {
			for q := range 2 {
				want := elastic[0][q] * Factor(times[row]-times[0], v)
				for i := 1; i <= row; i++ {
					const n = 400
					for k := range n {
						s := times[i-1] + (float64(k)+0.5)/n*(times[i]-times[i-1])
						want += (elastic[i][q] - elastic[i-1][q]) / n * Factor(times[row]-s, v)
					}
				}
				require.InDelta(t, want, got[row][q], 2e-3, "%s row %d", v, row) // midpoint rule on the fastest term
			}
		}
	}
}

func TestNoneIsElastic(t *testing.T) {
	got := Relax([]float64{0, 1, 5}, [][]float64{{1}, {-2}, {4}}, [][]float64{{0}, {9}, {20}}, None)
	assert.Equal(t, [][]float64{{1}, {-2}, {4}}, got)
	assert.Empty(t, Relax(nil, nil, nil, Typical))
}

func TestTablesNameTheirSources(t *testing.T) {
	for _, table := range []string{"creep_measured.csv", "creep_relaxation.csv", "creep_moisture.csv"} {
		for _, r := range data.Table(table) {
			_, ok := source.Of(r.Get("source"))
			assert.True(t, ok, "%s line %d: %q", table, r.Line, r.Get("source"))
		}
	}
}

func TestWrongUsePanics(t *testing.T) {
	assert.Panics(t, func() { Relax([]float64{0}, nil, nil, Typical) })
	assert.Panics(t, func() { Relax([]float64{0, 0}, [][]float64{{1}, {1}}, nil, Typical) })
	assert.Panics(t, func() { Relax([]float64{0, 1}, [][]float64{{1}, {1, 2}}, nil, Typical) })
	assert.Panics(t, func() { Relax([]float64{0, 1}, [][]float64{{1}, {1}}, [][]float64{{2}, {1}}, Typical) }, "a sum that falls")
	assert.Panics(t, func() { Factor(1, Variant(9)) })
}

func BenchmarkRelaxYear(b *testing.B) {
	times, elastic := make([]float64, 100), make([][]float64, 100)
	for i := range times {
		times[i], elastic[i] = float64(i)*80, make([]float64, 500)
	}
	for b.Loop() {
		Relax(times, elastic, nil, Typical)
	}
}

// What is left of a stress that came with the season is what the convolution
// itself leaves of a ramp, and within 3 % of what it leaves of the yearly swing
// once the years are alike.
func TestSeasonalIsTheConvolutionsOwn(t *testing.T) {
	for _, v := range []Variant{Typical, Low, High, None} {
		ramp := Relax([]float64{0, Season()}, [][]float64{{0}, {1}}, nil, v)
		assert.InDelta(t, ramp[1][0], Seasonal(0, v), 1e-12, "variant %d", v)
	}
	assert.InDelta(t, 0.590, Seasonal(0, Typical), 5e-4)
	const year, steps = 8760.0, 10 * 365
	times, swing := make([]float64, steps), make([][]float64, steps)
	for i := range times {
		times[i] = year / 365 * float64(i)
		swing[i] = []float64{math.Sin(2 * math.Pi * times[i] / year)}
	}
	most := 0.0
	for i, r := range Relax(times, swing, nil, Typical) {
		if times[i] > 5*year {
			most = math.Max(most, r[0])
		}
	}
	t.Logf("steady year: %.3f of the elastic swing", most)
	round := make([]float64, 365)
	for i := range round {
		round[i] = swing[i][0]
	}
	assert.InDelta(t, most, slices.Max(Steady(round, year/365, 0, Typical)), 1e-9)
	assert.InDelta(t, 0.58, most, 0.005)
	assert.InEpsilon(t, most, Seasonal(0, Typical), 0.03)
}

// A round that is gone through for ever is what Relax comes to.
func TestSteadyIsWhereRelaxComesTo(t *testing.T) {
	round := []float64{3, 5, 4, -2, 7, 1, 1}
	const step, rounds = 400.0, 80
	var times []float64
	var rows [][]float64
	for i := range rounds*len(round) + 1 {
		times, rows = append(times, step*float64(i)), append(rows, []float64{round[i%len(round)]})
	}
	for _, v := range []Variant{Typical, Low, High, None} {
		got, want := Steady(round, step, 0, v), Relax(times, rows, nil, v)
		for i, x := range got {
			assert.InDelta(t, want[(rounds-1)*len(round)+i][0], x, 1e-9, "%v %d", v, i)
		}
	}
}

// Creep and relaxation say one thing: there and back is where one began.
func TestCreepOfARelaxationIsItsOtherSide(t *testing.T) {
	for _, v := range []Variant{Typical, High, Low} {
		s := v.Series()
		back := s.Chain().Relaxation()
		for _, at := range []float64{0, 0.03, 1, 40, 900, 30000} {
			assert.InDelta(t, s.At(at), back.At(at), 1e-9, "%v after %g h", v, at)
		}
	}
}

// The chain gives the points of the published curve (radial spruce tissue under 2 MPa,
// moisture going between 8 and 19 %: Amando de Barros and Wittel 2026), which are told
// in data/sources.csv under BARROS26: strain 0.00661 once the changes add up to 31 %,
// 0.01127 at 177 %, and two cycles without load take back six tenths.
func TestGiveIsThePublishedCurve(t *testing.T) {
	const elastic, stress = 0.002014, 2.0 // 1/MPa, MPa
	at := func(accumulated, load float64, from []float64) (parts []float64, sum float64) {
		for j, g := range Typical.Give() {
			x := from[j] + (g.Share*elastic*load-from[j])*(1-math.Exp(-accumulated/g.Range))
			parts, sum = append(parts, x), sum+x
		}
		return parts, sum
	}
	none := []float64{0, 0}
	_, early := at(31, stress, none)
	assert.InEpsilon(t, 0.00661, early, 0.02)
	held, late := at(177, stress, none)
	assert.InEpsilon(t, 0.01127, late, 0.02)
	_, back := at(2*2*11, 0, held)
	assert.InDelta(t, 0.6, 1-back/late, 0.03)
	assert.InDelta(t, 0.137, Typical.Give()[0].Share/Typical.Give()[0].Range+Typical.Give()[1].Share/Typical.Give()[1].Range, 0.001, "at the start, per % MC")
}

// A strain held while the moisture changes, so fast that time does nothing: by an
// explicit integration of the chain in ten thousand steps.
func TestHeldWhileMoistureChanges(t *testing.T) {
	for _, v := range []Variant{Low, Typical, High} {
		const n, total = 40, 30.0
		times, held, accumulated := []float64{}, [][]float64{}, [][]float64{}
		for i := range n + 1 {
			times, held, accumulated = append(times, 1e-9*float64(i)), append(held, []float64{3}), append(accumulated, []float64{total * float64(i) / n})
		}
		got := Relax(times, held, accumulated, v)
		give := v.Give()
		x := make([]float64, len(give))
		s := 3.0
		const fine = 20000
		for range fine {
			sum := 0.0
			for j, g := range give {
				x[j] += total / fine / g.Range * (g.Share*s - x[j])
				sum += x[j]
			}
			s = 3 - sum
		}
		assert.InEpsilon(t, s, got[n][0], 2e-3, "variant %d", v)
		assert.Less(t, s, 3*0.6, "most of it is gone")
	}
}

// More change never leaves more, and without any the answer is that of time alone.
func TestMoistureChangesOnlyTakeAway(t *testing.T) {
	for _, v := range all {
		last := math.Inf(1)
		for _, change := range []float64{0, 0.5, 2, -4, 8, 20} {
			s := Seasonal(change, v)
			if v == None {
				assert.InDelta(t, 1, s, 1e-12)
				continue
			}
			assert.Less(t, s, last, "%s %g", v, change)
			last = s
		}
	}
	assert.InDelta(t, 0.504, Seasonal(4, Typical), 1e-3)
	assert.Less(t, Seasonal(4, Low), Seasonal(4, Typical))
	assert.Less(t, Seasonal(4, Typical), Seasonal(4, High))
}

// A season in sixteen steps is one in a thousand, and the rounds that are followed are
// enough for one to be as the next.
func TestStepsAndRoundsAreEnough(t *testing.T) {
	for _, change := range []float64{0.5, 4, 10} {
		const fine = 1000
		times, elastic, accumulated := make([]float64, fine+1), make([][]float64, fine+1), make([][]float64, fine+1)
		for i := range times {
			u := float64(i) / fine
			times[i], elastic[i], accumulated[i] = u*Season(), []float64{u}, []float64{u * change}
		}
		assert.InDelta(t, Relax(times, elastic, accumulated, Typical)[fine][0], Seasonal(change, Typical), 1e-3, "%g", change)
	}
	for _, half := range []float64{0.3, 1, 3} { // % MC, half of the swing of a year
		var round, twice []float64
		for m := range 12 {
			round = append(round, half*math.Sin(2*math.Pi*float64(m)/12))
		}
		once := Steady(round, 730.5, 1, Typical)
		twice = Steady(append(round, round...), 730.5, 1, Typical) // twice as many years
		for i := range once {
			assert.InDelta(t, twice[i], once[i], 1e-3*half, "month %d, %g", i, half)
		}
	}
}

// creepOf is the compliance of a chain a time [h] after a unit stress was put on.
func creepOf(c Chain, t float64) float64 {
	j := c.J0
	for i, x := range c.J {
		j += x * (1 - math.Exp(-t/c.Tau[i]))
	}
	return j
}
