package wood_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// column pairs specific gravity with one property of the printed strength table.
func column(t testing.TB, class, property string) (g, p []float64) {
	rows, err := data.Read(data.Files, "strength_table.csv", "printed_name", "class", "property", "value")
	require.NoError(t, err)
	sg, values := map[string]float64{}, map[string]float64{}
	var order []string
	for _, r := range rows {
		if r.Get("class") != class {
			continue
		}
		switch r.Get("property") {
		case "sg_12":
			sg[r.Get("printed_name")] = number(t, r, "value")
			order = append(order, r.Get("printed_name"))
		case property:
			values[r.Get("printed_name")] = number(t, r, "value")
		}
	}
	for _, name := range order {
		if v, ok := values[name]; ok {
			g, p = append(g, sg[name]), append(p, v)
		}
	}
	return g, p
}

// The relations with specific gravity recalled from Table 5-11a come out of a fit
// to the printed rows of Table 5-3a: hardwood shear 21901·G^1.13 kPa, tension
// across the grain 10092·G^1.30 kPa, with the scatter the estimates carry.
func TestStrengthRelationsRepeatFromTheRows(t *testing.T) {
	for _, c := range []struct {
		class, property string
		a, n, sd        float64
		count           int
	}{
		{"hardwood", "shear_parallel", 21901, 1.13, 0.125, 61},
		{"hardwood", "tension_perp", 10092, 1.30, 0.18, 43},
	} {
		g, p := column(t, c.class, c.property)
		a, n, sd := fit(g, p)
		assert.Len(t, g, c.count, c.property)
		t.Logf("%s %s: %.0f G^%.3f, sd ln %.3f, n %d", c.class, c.property, a, n, sd, len(g))
		assert.InEpsilon(t, c.a, a, 0.001, c.property)
		assert.InDelta(t, c.n, n, 0.005, c.property)
		assert.InDelta(t, c.sd, sd, 0.005, c.property)
	}
	for property, want := range map[string]float64{"tension_perp": 6000 * math.Pow(0.6, 1.11), "shear_parallel": 16600 * math.Pow(0.6, 0.85)} {
		g, p := column(t, "softwood", property)
		a, n, _ := fit(g, p)
		assert.InEpsilon(t, want, a*math.Pow(0.6, n), 0.007, property) // as the facts state at G 0.6
	}
}

// STR-01 and STR-02: a hardwood of gravity 0.60: 5.2 and 12.3 MPa. Live oak has no
// printed tension (G 0.88), so it carries the relation's figure, marked estimated.
func TestEstimatedStrengthIsTheRelation(t *testing.T) {
	assert.InDelta(t, 5.2, 10.1*math.Pow(0.60, 1.30), 0.05)
	assert.InDelta(t, 12.3, 21.9*math.Pow(0.60, 1.13), 0.05)
	v := find(t, "live oak").Strength(12)
	assert.InDelta(t, 10.1*math.Pow(0.88, 1.30), v.TensionT, 1e-9)
	assert.Equal(t, wood.Estimated, v.Values["tension_perp"].Status)
	assert.Equal(t, "WH190-T5-11a", v.Values["tension_perp"].Source)
	assert.InDelta(t, 18.3, v.ShearLong, 1e-12) // printed 18300 kPa
	assert.Equal(t, wood.Seen, v.Values["shear_parallel"].Status)
	for _, id := range []string{"red-maple", "shagbark-hickory", "wenge", "bubinga"} {
		assert.Equal(t, wood.Estimated, find(t, id).Strength(12).Values["tension_perp"].Status, id)
	}
	assert.InDelta(t, 4.8, find(t, "black walnut").Strength(12).TensionR, 1e-12)
}

// STR-06, STR-10, STR-11: the rolling shear in use lies between the handbook's rule
// and what was measured on beech, which has its own tests and is about three times
// spruce. Panels of red oak, red maple and yellow-poplar alone came to about 3.5 MPa
// in bending (Forest Products Journal 75(4), 2025, abstract), a lower bound.
func TestRollingShear(t *testing.T) {
	beech := find(t, "European beech").Strength(12)
	assert.Equal(t, 5.6, beech.ShearRolling)
	assert.Equal(t, wood.Seen, beech.Values["rolling_shear"].Status)
	for _, s := range wood.All() {
		v := s.Strength(12)
		share := v.ShearRolling / v.ShearLong
		if s.ID == "european-beech" {
			assert.InDelta(t, 0.40, share, 0.06, s.ID)
			continue
		}
		if s.Class == "softwood" {
			assert.InDelta(t, 0.23, share, 1e-12, s.ID)
		} else {
			assert.InDelta(t, 0.33, share, 1e-12, s.ID)
			assert.InDelta(t, 0.06*v.ShearLong, v.Values["rolling_shear"].Hi-v.ShearRolling, 1e-9, s.ID)
		}
	}
	panels := 0.0
	for _, id := range []string{"northern red oak", "red maple", "yellow-poplar"} {
		panels += find(t, id).Strength(12).ShearRolling / 3
	}
	assert.InDelta(t, 3.5, panels, 1, "MPa")
	spruce := 0.0
	for _, id := range []string{"white-spruce", "red-spruce", "sitka-spruce", "engelmann-spruce", "black-spruce"} {
		spruce += find(t, id).Strength(12).ShearRolling / 5
	}
	assert.InEpsilon(t, 3, beech.ShearRolling/spruce, 0.5) // the review says about 3; factor 1.5
}

// Moisture acts by the tabulated trend of each property, not by Equation 5-3.
func TestStrengthFollowsTheTrends(t *testing.T) {
	for _, s := range wood.All() {
		a, b, c := s.Strength(12), s.Strength(6), s.Strength(20)
		assert.InEpsilon(t, 1.12, b.TensionT/a.TensionT, 1e-12, s.ID)
		assert.InEpsilon(t, 0.80, c.TensionR/a.TensionR, 1e-12, s.ID)
		assert.InEpsilon(t, 1.18, b.ShearLong/a.ShearLong, 1e-12, s.ID)
		assert.InEpsilon(t, 0.82, c.ShearRolling/a.ShearRolling, 1e-12, s.ID)
		assert.InEpsilon(t, 0.70, c.CompressionPerp/a.CompressionPerp, 1e-12, s.ID)
		assert.InEpsilon(t, 0.85, c.TensionLong/a.TensionLong, 1e-12, s.ID)
		assert.Greater(t, a.TensionLong, 5*a.TensionT, s.ID)
	}
}

// White meranti and Peruvian walnut were tested at 15 %: brought to 12 % they are
// stiffer and stronger than printed.
func TestFiguresTestedAtAnotherMoistureAreBroughtTo12(t *testing.T) {
	s := find(t, "white meranti")
	require.Equal(t, 15.0, s.MOE.AtMC)
	f, _ := wood.MoistureFactor("moe", 15)
	e, err := s.Elastic(15)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.1e3*s.MOE.V, e.EL, 1e-12)
	assert.InEpsilon(t, 1.1e3*s.MOE.V/f, elastic(t, s.ID, 12).EL, 1e-12)
	assert.InEpsilon(t, s.Shear.V, s.Strength(15).ShearLong, 1e-12)
}

// Specific gravity at 12 % derived from the basic one through the shrinkage of the
// volume, against the woods that have both in print: the mean within 1 %, single
// woods within 10 %, scatter 2 % (two independent samples of trees).
func TestDerivedGravityAgainstPrintedPairs(t *testing.T) {
	var sum, sq, n float64
	for _, s := range wood.All() {
		if !s.ShrinkV.Known || s.SG12.Status != wood.Seen || s.SGBasic.Status != wood.Seen {
			continue
		}
		x := s.SGBasic.V / (1 - s.ShrinkV.V/100*(s.FSP()-12)/s.FSP()) / s.SG12.V
		assert.InDelta(t, 1, x, 0.10, s.ID)
		sum, sq, n = sum+x-1, sq+(x-1)*(x-1), n+1
	}
	require.Greater(t, n, 60.0)
	t.Logf("n %.0f, mean %.4f, sd %.4f", n, sum/n, math.Sqrt(sq/n-sum*sum/n/n))
	assert.InDelta(t, 0, sum/n, 0.01)
	assert.InDelta(t, 0.02, math.Sqrt(sq/n-sum*sum/n/n), 0.005)
}

// cov.csv against check case STR-08.
func TestCoefficientsOfVariation(t *testing.T) {
	for p, want := range map[string]float64{"mor": 16, "moe": 22, "compression_parallel": 18, "compression_perp": 28, "shear_parallel": 14, "sg_12": 10, "tension_perp": 25} {
		v, ok := wood.Variation(p)
		require.True(t, ok, p)
		assert.Equal(t, want, v.V, p)
	}
	v, _ := wood.Variation("tension_perp")
	assert.Equal(t, wood.Memory, v.Status)
	_, ok := wood.Variation("beauty")
	assert.False(t, ok)
}

// The French sheet of wenge prints the density at 12 % moisture, 0.87 g/cm³, and
// shrinkages of 5.9 and 9.1 % with a fibre saturation of 22 %.
func TestGravityFromTheDensityOfASheet(t *testing.T) {
	s := find(t, "wenge")
	assert.InEpsilon(t, 0.87/1.12, s.SG12.V, 1e-12)
	assert.InEpsilon(t, 0.87/1.12*(1-0.150*10/22), s.SGBasic.V, 1e-12)
	assert.Equal(t, wood.Derived, s.SG12.Status)
}

// Every recalled relation of Table 5-11a carries the scatter of the printed rows of
// Table 5-3a about it; the mean of the rows lies on the line within 2 %.
func TestScatterAboutTheRelations(t *testing.T) {
	rows, err := data.Read(data.Files, "elastic_regression.csv", "class", "property", "value", "variable", "exponent_or_slope", "n", "sd_ln", "source")
	require.NoError(t, err)
	checked := 0
	for _, r := range rows {
		if r.Get("source") != "WH190-T5-11a" || r.Get("variable") != "sg_12" {
			continue
		}
		checked++
		name := r.Get("class") + " " + r.Get("property")
		g, p := column(t, r.Get("class"), r.Get("property"))
		var sum, sq float64
		for i := range g {
			e := math.Log(p[i] / (number(t, r, "value") * math.Pow(g[i], number(t, r, "exponent_or_slope"))))
			sum, sq = sum+e, sq+e*e
		}
		n := float64(len(g))
		assert.Equal(t, number(t, r, "n"), n, name)
		assert.InDelta(t, number(t, r, "sd_ln"), math.Sqrt(sq/(n-2)), 0.0051, name) // two decimals
		assert.InDelta(t, 0, sum/n, 0.02, name)
	}
	assert.Equal(t, 14, checked)
	v := find(t, "red maple").Strength(12).Values["tension_perp"]
	assert.InEpsilon(t, v.V*math.Exp(0.18), v.Hi, 1e-12)
}

// Published figures that are data only, looked up as printed: DIM-04 (commercial red
// oak), DIM-08 (along the grain), FRA-01 (bond lines in beech, mode II).
func TestLookUps(t *testing.T) {
	assert.Equal(t, 0.00369, find(t, "northern red oak").CT.V)
	l := find(t, "teak").LongitudinalShrinkage()
	assert.Equal(t, []float64{0.1, 0.2}, []float64{l.Lo, l.Hi})
	assert.True(t, l.V > l.Lo && l.V < l.Hi)
	rows, err := data.Read(data.Files, "fracture_toughness.csv", "printed_name", "value", "unit", "source")
	require.NoError(t, err)
	got := map[string]float64{}
	for _, r := range rows {
		if r.Get("source") == "HOLZFORSCHUNG21" {
			require.Equal(t, "J/m2", r.Get("unit"))
			name := r.Get("printed_name")
			got[name[len(name)-3:]] = number(t, r, "value")
		}
	}
	assert.Equal(t, map[string]float64{"PUR": 5400, "MUF": 2330, "EPI": 1800, "PRF": 1590}, got)
}

func BenchmarkFind(b *testing.B) {
	for b.Loop() {
		_, _ = wood.Find("Maple, sugar")
	}
}

func BenchmarkElasticPlaneStress(b *testing.B) {
	s, f := find(b, "black walnut"), wood.EndGrain(37)
	for b.Loop() {
		e, _ := s.Elastic(8.3)
		_ = e.PlaneStress(f)
	}
}

// Record 1914, Table III: green wood pulled along T (parting it along the rays) and
// along R, lb/in². The handbook's mean of both directions is parted in that ratio;
// sugar maple has no mean in print, so Record's is brought to 12 %: 5.68 and 8.04 MPa.
func TestTensionAlongRAndT(t *testing.T) {
	for id, psi := range map[string][2]float64{
		"white-ash": {645, 671}, "american-basswood": {226, 303}, "american-beech": {633, 969}, "yellow-birch": {446, 526}, "slippery-elm": {765, 832},
		"hackberry": {661, 786}, "honeylocust": {1133, 1445}, "sugar-maple": {610, 864}, "post-oak": {714, 924}, "northern-red-oak": {639, 874},
		"swamp-white-oak": {757, 909}, "white-oak": {622, 749}, "american-sycamore": {540, 781}, "water-tupelo": {472, 796},
	} {
		if id == "swamp-white-oak" {
			continue // its shrinkage is not in print
		}
		v := find(t, id).Strength(12)
		mean := v.Values["tension_perp"].V
		assert.InEpsilon(t, psi[1]/psi[0], v.TensionR/v.TensionT, 1e-12, id)
		assert.InEpsilon(t, mean, (v.TensionR+v.TensionT)/2, 1e-12, id)
		assert.Equal(t, v.TensionT, v.Values["tension_t"].V, id)
		assert.Equal(t, v.TensionR, v.Values["tension_r"].V, id)
		assert.Equal(t, "RECORD14", v.Values["tension_t"].Source, id)
		if id != "sugar-maple" {
			assert.Equal(t, wood.Seen, v.Values["tension_perp"].Status, "%s: the mean is the handbook's", id)
		}
	}
	maple := find(t, "sugar maple").Strength(12)
	assert.InDelta(t, 5.68, maple.TensionT, 0.005)
	assert.InDelta(t, 8.04, maple.TensionR, 0.005)
	assert.Equal(t, wood.Memory, maple.Values["tension_t"].Status)
	apart := 0
	for _, s := range wood.All() {
		if v := s.Strength(9); v.TensionR != v.TensionT {
			apart++
			assert.Greater(t, v.TensionR, v.TensionT, s.ID)
		}
	}
	assert.Equal(t, 14, apart, "thirteen woods, and European beech by its genus")
}

// The least factor from green to 12 % is that of the woods that stand in both tables:
// thirteen, scatter 0.28 in the logarithm.
func TestFactorFromGreenTo12(t *testing.T) {
	rows, err := data.Read(data.Files, "tension_across.csv", "species", "value", "status")
	require.NoError(t, err)
	green := map[string]float64{}
	for _, r := range rows {
		if r.Get("status") == "seen" && r.Get("species") != "sugar-maple" {
			green[r.Get("species")] += number(t, r, "value") / 2 * 0.006894757293168361
		}
	}
	sum, sq := 0.0, 0.0
	for _, s := range append(wood.All(), wood.Incomplete()...) {
		if green[s.ID] == 0 {
			continue
		}
		x := math.Log(s.TPerp.V / green[s.ID])
		sum, sq = sum+x, sq+x*x
	}
	n := float64(len(green))
	require.Equal(t, 13.0, n)
	assert.InDelta(t, 1.07, math.Exp(sum/n), 0.005)
	assert.InDelta(t, 0.28, math.Sqrt((sq-sum*sum/n)/(n-1)), 0.01)
	f, _ := wood.MoistureFactor("tension_perp", 30)
	assert.InDelta(t, 1.44, 1/f, 0.005, "the trend of Table 5-14")
}
