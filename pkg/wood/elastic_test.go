package wood_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// cells reads a long table into wood, property, value as printed.
func cells(t testing.TB, table string) map[string]map[string]float64 {
	t.Helper()
	rows, err := data.Read(data.Files, table, "species", "property", "value")
	require.NoError(t, err)
	out := make(map[string]map[string]float64)
	for _, r := range rows {
		v, err := r.Float("value")
		require.NoError(t, err)
		if out[r.Get("species")] == nil {
			out[r.Get("species")] = make(map[string]float64)
		}
		out[r.Get("species")][r.Get("property")] = v
	}
	return out
}

// Wood Handbook Tables 5-1 and 5-3a with E_L = 1.1 MOE (ELA-01).
func TestSugarMapleByHand(t *testing.T) {
	e := elastic(t, "sugar maple", 12)
	for name, p := range map[string][2]float64{"EL": {13860, e.EL}, "ER": {1830, e.ER}, "ET": {901, e.ET}, "GLR": {1538, e.GLR}, "GLT": {873, e.GLT}} {
		assert.InDelta(t, p[0], p[1], 1, name) // MPa, whole figures in the source
	}
	assert.Equal(t, wood.Estimated, e.Status["GRT"], "the handbook leaves it blank")
	assert.Equal(t, "TANRAD-FIT", e.Source["GRT"])
	assert.Equal(t, wood.Derived, e.Status["ER"])
	assert.Equal(t, "WH190-T5-1", e.Source["ER"])
}

// The printed Poisson pairs are not reciprocal (ELA-02): (ν_RT/E_R)/(ν_TR/E_T) from
// Tables 5-1 and 5-2. The compliance takes the mean of both.
func TestReciprocityOfThePrintedPairs(t *testing.T) {
	ratio, mu := cells(t, "elastic_ratios.csv"), cells(t, "poisson_ratios.csv")
	for id, want := range map[string]float64{
		"sugar-maple": 1.09, "red-maple": 1.03, "northern-red-oak": 1.02, "white-oak": 0.91, "black-walnut": 1.03, "black-cherry": 1.08,
		"yellow-birch": 1.05, "white-ash": 1.22, "yellow-poplar": 1.00, "eastern-cottonwood": 1.70, "baldcypress": 0.54,
	} {
		er, et := ratio[id]["er_el"], ratio[id]["et_el"]
		a, b := mu[id]["mu_rt"]/er, mu[id]["mu_tr"]/et
		assert.InDelta(t, want, a/b, 0.005, id) // two decimals
		e := elastic(t, id, 12)
		assert.InEpsilon(t, (a+b)/2*er, e.NuRT, 1e-9, id)
		assert.InEpsilon(t, mu[id]["mu_lr"], e.NuLR, 1e-12, id)
	}
}

// Stiffness at 45° to the rings over the tangential one (ELA-03, from Tables 5-1
// and 5-2). The handbook's text: about equal in some woods, 40 to 60 % lower in
// others; hardwoods keep it, softwoods lose it.
func TestDiagonalStiffness(t *testing.T) {
	for id, want := range map[string]float64{"black-walnut": 1.16, "yellow-birch": 1.08, "yellow-poplar": 0.85, "sweetgum": 1.25,
		"sitka-spruce": 0.26, "coast-douglas-fir": 0.49, "western-hemlock": 0.36} {
		e := elastic(t, id, 12)
		assert.InDelta(t, want, modulusRT(e, 45)/e.ET, 0.01, id)
	}
	for _, s := range wood.All() {
		e, err := s.Elastic(12)
		require.NoError(t, err)
		x := modulusRT(e, 45) / e.ET
		if s.Class == "hardwood" {
			assert.True(t, x > 0.65 && x < 1.6, "%s %v", s.ID, x)
		} else {
			limit := 0.75
			if s.ID == "red-pine" {
				limit = 0.85 // its recalled row has the highest G_RT over E_T of the softwoods
				assert.Greater(t, x, 0.75, "red pine is no exception any more")
			}
			assert.True(t, x > 0.2 && x < limit, "%s %v", s.ID, x)
		}
	}
}

// fit is least squares of ln y on ln x: the value at x = 1, the exponent, and the
// residual standard deviation of ln y on n−2 degrees of freedom.
func fit(x, y []float64) (at1, exponent, sd float64) {
	n := float64(len(x))
	var mx, my float64
	for i := range x {
		mx += math.Log(x[i]) / n
		my += math.Log(y[i]) / n
	}
	var sxx, sxy float64
	for i := range x {
		sxx += (math.Log(x[i]) - mx) * (math.Log(x[i]) - mx)
		sxy += (math.Log(x[i]) - mx) * (math.Log(y[i]) - my)
	}
	exponent = sxy / sxx
	a := my - exponent*mx
	for i := range x {
		r := math.Log(y[i]) - a - exponent*math.Log(x[i])
		sd += r * r
	}
	return math.Exp(a), exponent, math.Sqrt(sd / (n - 2))
}

// The rows of our own fits are repeated from the printed tables: Table 5-1 ratio
// times 1.1 times the modulus of Table 5-3a, on the specific gravity of 5-3a.
func TestElasticFitsRepeat(t *testing.T) {
	ratios := cells(t, "elastic_ratios.csv")
	done := 0
	for _, r := range fitRows(t) {
		property, class := r.Get("property"), r.Get("class")
		column := map[string]string{"e_r": "er_el", "e_t": "et_el", "g_lr": "glr_el", "g_lt": "glt_el", "g_rt": "grt_el"}[property]
		if column == "" {
			continue
		}
		at, value, exponent, sd, n := number(t, r, "at"), number(t, r, "value"), number(t, r, "exponent_or_slope"), number(t, r, "sd_ln"), number(t, r, "n")
		var x, y []float64
		for _, s := range wood.All() {
			v, ok := ratios[s.ID][column]
			if !ok || s.Class != class || s.MOE.Source != "WH190-T5-3a" {
				continue
			}
			x, y = append(x, s.SG12.V/at), append(y, v*1.1*1e3*s.MOE.V)
		}
		v, e, s := fit(x, y)
		name := class + " " + property
		assert.EqualValues(t, n, len(x), name)
		assert.InEpsilon(t, value, v, 0.005, name) // rounded to a few MPa
		assert.InDelta(t, exponent, e, 0.01, name) // two decimals
		assert.InDelta(t, sd, s, 0.011, name)      // two decimals
		done++
	}
	assert.Equal(t, 10, done)
}

func fitRows(t testing.TB) (list []data.Row) {
	rows, err := data.Read(data.Files, "elastic_regression.csv", "source", "property")
	require.NoError(t, err)
	for _, r := range rows {
		if r.Get("source") == "TANRAD-FIT" {
			list = append(list, r)
		}
	}
	return list
}

func number(t testing.TB, r data.Row, column string) float64 {
	v, err := r.Float(column)
	require.NoError(t, err)
	return v
}

// ELA-04: the fit and the recalled model of Guitard and El Amri (1987), which share
// no data, agree within 20 % at the reference density for E_R, E_T and the shear
// moduli. ELA-05: Bodig and Jayne's average ratios, orders of magnitude.
func TestEstimatesAgreeWithOtherModels(t *testing.T) {
	rows, err := data.Read(data.Files, "elastic_regression.csv", "source", "class", "property", "value", "at")
	require.NoError(t, err)
	var ours, theirs = map[string]float64{}, map[string]float64{}
	for _, r := range rows {
		if r.Get("class") != "hardwood" {
			continue
		}
		switch r.Get("source") {
		case "TANRAD-FIT":
			ours[r.Get("property")] = number(t, r, "value")
		case "GUITARD87":
			theirs[r.Get("property")] = number(t, r, "value")
		}
	}
	for p, v := range ours {
		assert.InEpsilon(t, theirs[p], v, 0.20, p)
	}
	e := elastic(t, "wenge", 12) // every transverse constant estimated
	assert.InDelta(t, 20, e.EL/e.ET, 10)
	assert.InDelta(t, 1.6, e.ER/e.ET, 0.5)
	assert.InDelta(t, 14, e.EL/e.GLR, 6)
}

// Known pieces of the published European beech set near 12 % MC (Journal of Wood
// Science 2019), with the rolling-shear tests' G_RT (Aicher et al. 2016).
func TestEuropeanBeechUsesItsMeasuredSet(t *testing.T) {
	e := elastic(t, "European beech", 12)
	assert.Equal(t, []float64{12205, 1858, 774, 899, 595, 370}, []float64{e.EL, e.ER, e.ET, e.GLR, e.GLT, e.GRT})
	assert.InEpsilon(t, (0.526/1858+0.373/774)/2*1858, e.NuRT, 1e-12)
	assert.Equal(t, wood.Seen, e.Status["GRT"])
	assert.Equal(t, "AICHER16", e.Source["GRT"])
}

// The linear moisture lines recalled for European beech (Hering et al. 2012) fall
// by 32 % (E_R) and 39 % (E_T) from 6 to 18 %; the general trend gives 31 %.
func TestTransverseStiffnessFallsWithMoistureAsInBeech(t *testing.T) {
	line := func(p0, s, m float64) float64 { return p0 + s*m }
	er := line(2565.6, -59.7, 18) / line(2565.6, -59.7, 6)
	a, b := elastic(t, "European beech", 6), elastic(t, "European beech", 18)
	assert.InDelta(t, er, b.ER/a.ER, 0.03)
	assert.InDelta(t, line(885.4, -23.4, 18)/line(885.4, -23.4, 6), b.ET/a.ET, 0.10)
}

// Wood Handbook Table 5-14, printed points, and the limits beyond which it holds.
func TestMoistureTrends(t *testing.T) {
	for property, p := range map[string][2]float64{"moe": {1.09, 0.87}, "moe_perp": {1.20, 0.77}, "shear_modulus": {1.20, 0.80},
		"tension_perp": {1.12, 0.80}, "shear_parallel": {1.18, 0.82}, "compression_perp": {1.30, 0.70}} {
		at := func(mc float64) float64 {
			f, ok := wood.MoistureFactor(property, mc)
			require.True(t, ok)
			return f
		}
		assert.InDelta(t, p[0], at(6), 1e-12, property)
		assert.Equal(t, 1.0, at(12), property)
		assert.InDelta(t, p[1], at(20), 1e-12, property)
		assert.Equal(t, at(4), at(0), property)
		assert.Equal(t, at(25), at(60), property)
		assert.InDelta(t, at(14)*at(14), at(16), 1e-12, property) // geometric
		assert.Greater(t, at(24), at(24.9), property)
	}
	_, ok := wood.MoistureFactor("colour", 12)
	assert.False(t, ok)
}

// Where the trend stops: the green values of Table 5-11a over those at 12 %, for a
// wood of basic gravity 0.56 (0.62 at 12 %). Holding at 25 % meets the modulus and
// shear within 7 %, and stays below the printed tension across the grain.
func TestTrendStopsNearTheGreenValues(t *testing.T) {
	ratio := func(a12, n12, ag, ng float64) float64 { return ag * math.Pow(0.56, ng) / (a12 * math.Pow(0.62, n12)) }
	at30 := func(p string) float64 { f, _ := wood.MoistureFactor(p, 30); return f }
	assert.InEpsilon(t, ratio(16500, 0.70, 13900, 0.72), at30("moe"), 0.07)
	assert.InEpsilon(t, ratio(21900, 1.13, 17800, 1.24), at30("shear_parallel"), 0.07)
	assert.Less(t, at30("tension_perp"), ratio(10100, 1.30, 10500, 1.37))
}

func TestElasticRefusesImpossibleMoisture(t *testing.T) {
	s := find(t, "teak")
	for _, mc := range []float64{-0.1, math.NaN(), math.Inf(1), 101} {
		_, err := s.Elastic(mc)
		var f fault.Fault
		require.ErrorAs(t, err, &f, "%v", mc)
		assert.Equal(t, fault.OutOfRange, f.Rule)
	}
	_, err := wood.Incomplete()[0].Elastic(12)
	var f fault.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, fault.MissingData, f.Rule)
}

// A group row of the handbook ("Oak, red") serves the members, marked derived at best.
func TestKinTakeTheRowOfTheirGroup(t *testing.T) {
	a, b := elastic(t, "northern red oak", 12), elastic(t, "scarlet oak", 12)
	assert.InEpsilon(t, a.ER/a.EL, b.ER/b.EL, 1e-12)
	assert.Equal(t, wood.Derived, b.Status["NuLR"])
	assert.Equal(t, wood.Seen, a.Status["NuLR"])
	assert.Equal(t, wood.Estimated, elastic(t, "live oak", 12).Status["ER"], "live oak is neither red nor white")
}

// Table 5-2 prints for quaking aspen only the ratio under tangential load, 0.496.
func TestAspenTakesTheOneRatioThereIs(t *testing.T) {
	e := elastic(t, "quaking aspen", 12)
	assert.InEpsilon(t, 0.496/e.ET, e.NuRT/e.ER, 1e-12)
}

// Pau marfim has no modulus: 1.1·16500·G^0.70 MPa at 12 % (Table 5-11a).
func TestLengthModulusFromGravity(t *testing.T) {
	s := find(t, "pau marfim")
	require.False(t, s.MOE.Known)
	e := elastic(t, s.ID, 12)
	assert.InEpsilon(t, 1.1*16500*math.Pow(s.SG12.V, 0.70), e.EL, 1e-12)
	assert.Equal(t, wood.Estimated, e.Status["EL"])
	assert.InEpsilon(t, 1961*math.Pow(s.SG12.V/0.65, 1.46), e.ER, 1e-12)
}

// Every constant follows its own trend from 12 to 20 % MC; Poisson's ratios stay.
func TestEveryConstantFollowsItsTrend(t *testing.T) {
	for _, s := range wood.All() {
		a, b := elastic(t, s.ID, 12), elastic(t, s.ID, 20)
		for want, pairs := range map[float64][][2]float64{
			0.87: {{a.EL, b.EL}}, 0.77: {{a.ER, b.ER}, {a.ET, b.ET}}, 0.80: {{a.GLR, b.GLR}, {a.GLT, b.GLT}, {a.GRT, b.GRT}},
			1: {{a.NuLR, b.NuLR}, {a.NuLT, b.NuLT}, {a.NuRT, b.NuRT}},
		} {
			for _, p := range pairs {
				assert.InEpsilon(t, want, p[1]/p[0], 1e-12, s.ID)
			}
		}
	}
}

// Stiffening is the mean of the tabulated trend on the way, by summing it here; the
// oracle's stiffness of the end (15 % more at 12 → 7 % MC, 14 % less at 12 → 17)
// bounds it, and there and back it is the same work.
func TestStiffeningIsTheMeanOnTheWay(t *testing.T) {
	maple := find(t, "sugar maple")
	at := func(mc float64) float64 {
		f, ok := wood.MoistureFactor("moe_perp", mc)
		require.True(t, ok)
		return f
	}
	for _, p := range [][2]float64{{12, 7}, {12, 17}, {8, 6}, {6, 20}, {2, 0}, {30, 3}, {26, 29}, {9, 9}} {
		const n = 20000
		sum := 0.0
		for i := range n {
			sum += at(p[0]+(p[1]-p[0])*(float64(i)+0.5)/n) / n
		}
		got := maple.Stiffening(p[0], p[1])
		assert.InEpsilon(t, sum/at(p[0]), got, 1e-6, "%v", p)
		assert.InEpsilon(t, got*at(p[0]), maple.Stiffening(p[1], p[0])*at(p[1]), 1e-9, "%v", p)
	}
	mahogany := find(t, "Honduran mahogany") // saturated at 22 %
	assert.InEpsilon(t, mahogany.Stiffening(22, 9)*at(22), mahogany.Stiffening(28, 9)*at(28), 1e-9)
	assert.InEpsilon(t, at(22)/at(28), mahogany.Stiffening(28, 25), 1e-9)
	assert.InDelta(t, 1.079, maple.Stiffening(12, 7), 0.002)
	assert.InDelta(t, 0.923, maple.Stiffening(12, 17), 0.002)
}
