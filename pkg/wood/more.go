package wood

import (
	"io/fs"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// Variation returns the coefficient of variation [%] of a property between pieces
// of one wood: "mor", "moe", "compression_parallel", "compression_perp",
// "shear_parallel", "tension_parallel", "tension_perp", "side_hardness",
// "toughness", "sg_12", "work_to_max_load", "impact_bending", "shrinkage"; false
// for any other name (Wood Handbook Table 5-6).
func Variation(property string) (Value, bool) {
	v, ok := embedded().variation[property]
	return v, ok
}

// Alternative is a published figure that differs from the one in use.
type Alternative struct {
	Property string // "shrinkage_t", "coefficient_t", "sg_basic" …
	Value    Value
	Reason   string // why there are two
}

// Alternatives returns the published figures of a wood that are not in use, sorted
// by property; nil when its sources agree.
func (s *Species) Alternatives() []Alternative { return s.alternatives }

func loadVariation(files fs.FS, sources map[string]source.Citation) (map[string]Value, error) {
	rows, err := data.Read(files, "variation.csv", "property", "value", "unit", "source", "status")
	if err != nil {
		return nil, err
	}
	out := make(map[string]Value, len(rows))
	for _, r := range rows {
		v, err := readValue(r, "variation of "+r.Get("property"), sources)
		if err != nil {
			return nil, err
		}
		if out[r.Get("property")].Known {
			return nil, r.Errorf("%s is given twice", r.Get("property"))
		}
		out[r.Get("property")] = v
	}
	return out, nil
}

func loadAlternatives(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	return eachToldOf(files, "alternatives.csv", byID, sources, []string{"property", "value", "unit", "at_mc", "reason"}, func(r data.Row, s *Species) error {
		v, err := readValue(r, r.Get("property"), sources)
		if err != nil {
			return err
		}
		if r.Get("reason") == "" {
			return r.Errorf("no reason is given")
		}
		s.alternatives = append(s.alternatives, Alternative{Property: r.Get("property"), Value: v, Reason: r.Get("reason")})
		return nil
	})
}
