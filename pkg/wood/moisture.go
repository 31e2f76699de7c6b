package wood

import (
	"io/fs"
	"math"

	"github.com/tanrad/tanrad/data"
)

// trend is how one property changes with moisture: its value at 6 and at 20 % MC
// over that at 12 % (Wood Handbook Table 5-14), and the moistures [% MC] outside which
// the value at the limit holds (data/wood_general.csv).
type trend struct{ at6, at20, low, high float64 }

// factor returns the property at a moisture over its value at 12 % MC. Between
// the printed points, and on to the limits, it is geometric: equal steps of
// moisture change the property by equal ratios, as in Equation 5-3.
func (t trend) factor(mc float64) float64 {
	mc = max(t.low, min(t.high, mc))
	if mc <= 12 {
		return math.Pow(t.at6, (12-mc)/6)
	}
	return math.Pow(t.at20, (mc-12)/8)
}

// MoistureFactor returns a property at a moisture [% MC] over its value at 12 %:
// "moe", "moe_perp", "shear_modulus", "mor", "tension_parallel", "tension_perp",
// "shear_parallel", "compression_parallel" or "compression_perp"; false for any
// other name. Below 4 and above 25 % MC the value at that limit holds. For tension
// across the grain this tabulated trend replaces the handbook's Equation 5-3,
// which its authors do not recommend for that property.
func MoistureFactor(property string, mc float64) (float64, bool) {
	t, ok := embedded().trends[property]
	if !ok {
		return 0, false
	}
	return t.factor(mc), true
}

// Stiffening returns the mean of the modulus of elasticity across the grain while
// the wood swells or shrinks from one moisture to another [% MC], over that at the
// first: the mean of the trend of Wood Handbook Table 5-14 on the way, above 1 for
// wood that dries. Above fibre saturation nothing moves, so that part of the way does
// not count.
//
// It is the factor on a stress worked out with the stiffness of the first moisture.
// Strain held back while wood dries is held back bit by bit, each by the wood as
// stiff as it is by then (dσ = E(M)·dε, the incremental law of drying stress), so the
// mean on the way counts. All of the strain at the stiffness of the end would be
// 8 % more at 12 → 7 % MC, and 7 % less at 12 → 17.
func (s *Species) Stiffening(from, to float64) float64 {
	t, a, b := embedded().trends["moe_perp"], s.BoundWater(from), s.BoundWater(to)
	if math.Abs(b-a) < 1e-6 {
		return t.factor(a) / t.factor(from)
	}
	return (t.integral(b) - t.integral(a)) / (b - a) / t.factor(from)
}

// integral is ∫factor from 12 % MC to a moisture.
func (t trend) integral(mc float64) float64 {
	inner := max(t.low, min(t.high, mc))
	beyond := (mc - inner) * t.factor(inner)
	if inner <= 12 {
		return beyond - 6/math.Log(t.at6)*(t.factor(inner)-1)
	}
	return beyond + 8/math.Log(t.at20)*(t.factor(inner)-1)
}

func loadTrends(files fs.FS, general judgements) (map[string]trend, error) {
	rows, err := data.Read(files, "moisture_trends.csv", "property", "mc", "change_from_12")
	if err != nil {
		return nil, err
	}
	out := make(map[string]trend)
	for _, r := range rows {
		change, err := r.Float("change_from_12")
		if err != nil {
			return nil, err
		}
		t := out[r.Get("property")]
		t.low, t.high = general["trend-low"].V, general["trend-high"].V
		switch r.Get("mc") {
		case "6":
			t.at6 = 1 + change/100
		case "20":
			t.at20 = 1 + change/100
		default:
			return nil, r.Errorf("moisture %q is neither 6 nor 20", r.Get("mc"))
		}
		out[r.Get("property")] = t
	}
	for _, p := range []string{"moe", "moe_perp", "shear_modulus", "mor", "tension_parallel", "tension_perp", "shear_parallel", "compression_perp"} {
		if t := out[p]; !(t.at6 > 0 && t.at20 > 0) {
			return nil, rows[0].Errorf("no complete trend for %s", p)
		}
	}
	return out, nil
}
