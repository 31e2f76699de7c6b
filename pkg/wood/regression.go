package wood

import (
	"io/fs"
	"math"

	"github.com/tanrad/tanrad/data"
)

// regression is a power law on specific gravity at 12 % MC: P = value·(G/at)^exponent.
type regression struct {
	value, at, exponent float64
	spread              float64 // standard deviation of ln P about the line, 0 when not known
	source              string
}

func (r regression) of(g float64) float64 { return r.value * math.Pow(g/r.at, r.exponent) }

// estimate returns its value for a wood as a Value marked estimated,
// with a range of one standard deviation where the scatter is known.
func (r regression) estimate(g Value, note string) Value {
	if !g.Known {
		return Value{}
	}
	v := Value{V: r.of(g.V), Known: true, AtMC: 12, Source: r.source, Status: Estimated, Note: note}
	if r.spread > 0 {
		v.Lo, v.Hi = v.V*math.Exp(-r.spread), v.V*math.Exp(r.spread)
	}
	return v
}

// relationKey is class and property; class "" holds for both.
type regressionKey struct{ class, property string }

// loadRegressions keeps the power laws on specific gravity at 12 % MC; the laws on
// other variables in the table are there for comparison.
func loadRegressions(files fs.FS) (map[regressionKey]regression, error) {
	rows, err := data.Read(files, "elastic_regression.csv",
		"form", "class", "property", "value", "unit", "variable", "at", "exponent_or_slope", "sd_ln", "source", "status")
	if err != nil {
		return nil, err
	}
	out := make(map[regressionKey]regression)
	for _, r := range rows {
		if r.Get("form") != "power" || r.Get("variable") != "sg_12" {
			continue
		}
		convert, err := unit(r, r.Get("unit"))
		if err != nil {
			return nil, err
		}
		rel := regression{source: r.Get("source")}
		if err := r.Floats(map[string]*float64{"value": &rel.value, "at": &rel.at, "exponent_or_slope": &rel.exponent}); err != nil {
			return nil, err
		}
		if r.Get("sd_ln") != "" {
			if rel.spread, err = r.Float("sd_ln"); err != nil {
				return nil, err
			}
		}
		rel.value = convert(rel.value)
		k := regressionKey{r.Get("class"), r.Get("property")}
		if _, twice := out[k]; twice {
			return nil, r.Errorf("a second power law for %s of %s", k.property, k.class)
		}
		out[k] = rel
	}
	for _, class := range []string{"hardwood", "softwood"} {
		for _, p := range []string{"e_r", "e_t", "g_lr", "g_lt", "g_rt", "moe", "mor", "shear_parallel", "tension_perp", "compression_perp"} {
			if _, ok := out[regressionKey{class, p}]; !ok {
				return nil, rows[0].Errorf("no power law for %s of a %s", p, class)
			}
		}
	}
	for _, k := range []regressionKey{{"hardwood", "tension_perp_tropical"}, {"hardwood", "shear_parallel_tropical"}} {
		if _, ok := out[k]; !ok {
			return nil, rows[0].Errorf("no power law for %s", k.property)
		}
	}
	return out, nil
}

// strengthRegression picks the line for a strength that is not printed: tropical
// hardwoods are weaker across the grain and in shear than North American woods of
// their density (246 and 244 tests of the Brazilian database), so they have lines
// of their own; for the rest the handbook's lines serve.
func (s *Species) strengthRegression(all map[regressionKey]regression, property string) regression {
	if s.relation == "tropical" {
		if own, ok := all[regressionKey{s.Class, property + "_tropical"}]; ok {
			return own
		}
	}
	return all[regressionKey{s.Class, property}]
}
