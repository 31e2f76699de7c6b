package wood

import (
	"fmt"
)

// Strength is the strength of clear, straight-grained wood at one moisture [MPa].
// Values holds the figures at 12 % MC with their sources, keyed "tension_perp",
// "shear_parallel", "rolling_shear", "compression_perp", "tension_parallel", and
// "tension_r", "tension_t" where the two were tested apart; it is shared between calls and must not be changed.
type Strength struct {
	TensionR, TensionT float64 // across the grain
	ShearLong          float64 // sliding along the grain
	ShearRolling       float64 // sliding across the grain, fibres rolling over each other
	CompressionPerp    float64 // across the grain, at the proportional limit
	TensionLong        float64 // along the grain
	Values             map[string]Value
}

type baseStrength struct {
	values                          map[string]Value
	tension, shear, compress, along trend
	r, t                            float64 // tension along R and T over their mean
}

// Strength returns the strength at a moisture [% MC, at least 0: the caller
// answers for that].
//
// Figures are those printed for the species at 12 % MC; where none is printed, the
// handbook's relation with specific gravity (Table 5-11a; hardwoods: tension across
// the grain 10.1·G^1.30, shear 21.9·G^1.13 MPa), for tropical hardwoods lines through
// Brazilian tests (5.18·G^0.66, 19.5·G^1.13), marked estimated. Tension across
// the grain and shear are printed as means of equally many radial and tangential
// tests; where green wood of the species was tested along R and T apart, the mean
// is parted in that ratio, else R and T have the same figure (the handbook: about as
// many woods are stronger the one way as the other). Rolling shear is the wood's
// own or a share of shear along the grain (data/strength_judgements.csv). Bending strength stands in for tension
// along the grain, on the low side. Moisture follows the middle trends of Table
// 5-14, held below 4 and above 25 % MC.
func (s *Species) Strength(mc float64) Strength {
	b := &s.base
	t := b.values["tension_perp"].V * b.tension.factor(mc)
	shear := b.shear.factor(mc)
	return Strength{
		TensionR: t * b.r, TensionT: t * b.t,
		ShearLong:       b.values["shear_parallel"].V * shear,
		ShearRolling:    b.values["rolling_shear"].V * shear,
		CompressionPerp: b.values["compression_perp"].V * b.compress.factor(mc),
		TensionLong:     b.values["tension_parallel"].V * b.along.factor(mc),
		Values:          b.values,
	}
}

func (s *Species) buildStrength(regressions map[regressionKey]regression, trends map[string]trend, t toughnessTable, green pull, judged judgements) error {
	b := baseStrength{values: make(map[string]Value), tension: trends["tension_perp"], shear: trends["shear_parallel"],
		compress: trends["compression_perp"], along: trends["tension_parallel"], r: 1, t: 1}
	for property, own := range map[string]Value{"tension_perp": s.TPerp, "shear_parallel": s.Shear, "compression_perp": s.CPerp, "tension_parallel": s.MOR} {
		relationOf, move := property, trends[property]
		if property == "tension_parallel" {
			relationOf, move = "mor", trends["mor"]
		}
		v := own
		if !v.Known && property == "tension_perp" && green.t.Known {
			v = green.dry(judged)
		} else if !v.Known {
			v = s.strengthRegression(regressions, relationOf).estimate(s.SG12, "relation with specific gravity")
		} else if v.AtMC != 0 && v.AtMC != 12 {
			v.V /= move.factor(v.AtMC)
			v.AtMC, v.Status, v.Note = 12, worst(Derived, v.Status), "brought to 12 % moisture"
		}
		if property == "tension_parallel" && v.Known {
			v.Status, v.Note = Estimated, "bending strength stands in for tension along the grain"
		}
		if !v.Known {
			return fmt.Errorf("%s: no figure and no density to estimate %s from", s.ID, property)
		}
		b.values[property] = v
	}
	if mean := b.values["tension_perp"]; green.t.Known {
		r, t := green.along(mean, green.r.V), green.along(mean, green.t.V)
		b.values["tension_r"], b.values["tension_t"] = r, t
		b.r, b.t = r.V/mean.V, t.V/mean.V
	}
	b.values["rolling_shear"] = s.rollingShear(b.values["shear_parallel"], judged["rolling-"+s.Class])
	s.base = b
	s.kic = t[s.ID]
	return nil
}

func (s *Species) rollingShear(along, share Value) Value {
	if s.rolling.Known {
		return s.rolling
	}
	return Value{V: share.V * along.V, Known: true, Lo: share.Lo * along.V, Hi: share.Hi * along.V, AtMC: 12, Source: share.Source, Status: share.Status,
		Note: fmt.Sprintf("%.0f %% of shear along the grain", 100*share.V)}
}
