package wood

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// elasticTables is what is published about stiffness beyond the bending modulus,
// by wood: ratios to E_L, Poisson's ratios, whole measured sets; and by class the
// mean Poisson's ratios.
type elasticTables struct {
	ratios   map[string]map[string]Value
	poisson  map[string]map[string]Value
	measured map[string]map[string]Value
	mean     map[regressionKey]float64
}

func loadElastic(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) (elasticTables, error) {
	t := elasticTables{mean: make(map[regressionKey]float64), measured: make(map[string]map[string]Value)}
	var err error
	if t.ratios, err = loadValues(files, byID, sources, "elastic_ratios.csv"); err != nil {
		return t, err
	}
	if t.poisson, err = loadValues(files, byID, sources, "poisson_ratios.csv"); err != nil {
		return t, err
	}
	count := make(map[regressionKey]float64)
	for _, id := range slices.Sorted(maps.Keys(t.poisson)) { // in order, so that the last bit is always the same
		for property, v := range t.poisson[id] {
			k := regressionKey{byID[id].Class, property}
			count[k]++
			t.mean[k] += (v.V - t.mean[k]) / count[k]
		}
	}
	if err := t.loadKin(files, byID, sources); err != nil {
		return t, err
	}
	return t, t.loadMeasured(files, byID, sources)
}

// loadKin gives the members of a trade group the row the handbook prints for the
// group ("Oak, red"), marked derived at best.
func (t *elasticTables) loadKin(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	rows, err := data.Read(files, "elastic_kin.csv", "species", "row", "reason", "source", "status")
	if err != nil {
		return err
	}
	for _, r := range rows {
		id, from := r.Get("species"), r.Get("row")
		if err := provenance(r, sources); err != nil {
			return err
		}
		if byID[id] == nil || t.ratios[from] == nil || t.ratios[id] != nil {
			return r.Errorf("%q cannot take the row of %q", id, from)
		}
		for _, table := range []map[string]map[string]Value{t.ratios, t.poisson} {
			own := make(map[string]Value, len(table[from]))
			for property, v := range table[from] {
				v.Status = worst(v.Status, Derived)
				v.Note = r.Get("reason")
				own[property] = v
			}
			table[id] = own
		}
	}
	return nil
}

// loadMeasured keeps whole published sets near 12 % MC (European beech). Its
// G_RT is the one of the rolling-shear tests: the set's own 195 MPa was chosen
// for a model and lies at half of every direct measurement.
func (t *elasticTables) loadMeasured(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	rows, err := data.Read(files, "elastic_measured.csv", "species", "property", "value", "unit", "set", "source", "status")
	if err != nil {
		return err
	}
	for _, r := range rows {
		id, set := r.Get("species"), r.Get("set")
		if id == "" {
			if err := provenance(r, sources); err != nil {
				return err
			}
			continue
		}
		if _, err := woodOf(r, byID); err != nil {
			return err
		}
		v, err := readValue(r, r.Get("property"), sources)
		if err != nil {
			return err
		}
		if set != "static-12" && set != "two-plate" {
			continue
		}
		if t.measured[id] == nil {
			t.measured[id] = make(map[string]Value)
		}
		if set == "two-plate" || !t.measured[id][r.Get("property")].Known {
			t.measured[id][r.Get("property")] = v
		}
	}
	return nil
}

// buildElastic works out the set at 12 % MC.
func (s *Species) buildElastic(t elasticTables, regressions map[regressionKey]regression, trends map[string]trend, bending float64) error {
	b := baseElastic{along: trends["moe"], across: trends["moe_perp"], shear: trends["shear_modulus"]}
	set := func(property string) Value {
		rel := regressions[regressionKey{s.Class, property}]
		return rel.estimate(s.SG12, "power law on specific gravity")
	}
	el := s.lengthModulus(regressions, b.along, bending)
	ratio := func(property, fallback string) Value {
		v := t.ratios[s.ID][property]
		if !v.Known {
			return set(fallback)
		}
		return Value{V: v.V * el.V, Known: true, AtMC: 12, Source: v.Source, Status: worst(Derived, v.Status, el.Status), Note: v.Note}
	}
	m := map[string]Value{
		"EL": el, "ER": ratio("er_el", "e_r"), "ET": ratio("et_el", "e_t"),
		"GLR": ratio("glr_el", "g_lr"), "GLT": ratio("glt_el", "g_lt"), "GRT": ratio("grt_el", "g_rt"),
	}
	pair := t.poisson[s.ID]
	if got := t.measured[s.ID]; got != nil {
		for name, property := range map[string]string{"EL": "e_l", "ER": "e_r", "ET": "e_t", "GLR": "g_lr", "GLT": "g_lt", "GRT": "g_rt"} {
			if got[property].Known {
				m[name] = got[property]
			}
		}
		pair = map[string]Value{"mu_lr": got["nu_lr"], "mu_lt": got["nu_lt"], "mu_rt": got["nu_rt"], "mu_tr": got["nu_tr"]}
	}
	s.poisson(m, pair, t.mean)
	e := Elastic{Status: make(map[string]Status), Source: make(map[string]string)}
	for name, into := range map[string]*float64{"EL": &e.EL, "ER": &e.ER, "ET": &e.ET, "GLR": &e.GLR, "GLT": &e.GLT, "GRT": &e.GRT,
		"NuLR": &e.NuLR, "NuLT": &e.NuLT, "NuRT": &e.NuRT} {
		v := m[name]
		if !v.Known {
			return fmt.Errorf("%s: no figure and no density to estimate %s from", s.ID, name)
		}
		*into, e.Status[name], e.Source[name] = v.V, v.Status, v.Source
	}
	b.at12 = e
	s.elastic = b
	return nil
}

// lengthModulus returns E_L at 12 % MC [MPa]: 1.10 times the bending modulus. A
// modulus tested at another moisture is first brought to 12 %.
func (s *Species) lengthModulus(regressions map[regressionKey]regression, along trend, bending float64) Value {
	moe := s.MOE
	if !moe.Known {
		v := regressions[regressionKey{s.Class, "moe"}].estimate(s.SG12, "bending modulus from specific gravity")
		v.V, v.Lo, v.Hi = bending*v.V, bending*v.Lo, bending*v.Hi
		return v
	}
	v := Value{V: bending * 1e3 * moe.V, Known: true, AtMC: 12, Source: moe.Source, Status: worst(Derived, moe.Status), Note: "1.10 times the bending modulus"}
	if moe.AtMC != 0 && moe.AtMC != 12 {
		v.V /= along.factor(moe.AtMC)
		v.Note += ", brought to 12 % moisture"
	}
	return v
}

// poisson makes the Poisson's ratios symmetric. The printed pairs are not
// reciprocal, since ν_RL and ν_TL can hardly be measured: for LR and LT the well
// measured ratio under load along L is taken; for RT the compliance is the mean of
// both, S_RT = −½(ν_RT/E_R + ν_TR/E_T), or the one there is.
func (s *Species) poisson(m, pair map[string]Value, mean map[regressionKey]float64) {
	get := func(property string) Value {
		if pair != nil {
			return pair[property]
		}
		return Value{V: mean[regressionKey{s.Class, property}], Known: true, Source: "WH190-T5-2", Status: Estimated, Note: "mean of its class in Table 5-2"}
	}
	m["NuLR"], m["NuLT"] = get("mu_lr"), get("mu_lt")
	rt, tr := get("mu_rt"), get("mu_tr")
	er, et := m["ER"], m["ET"]
	v := rt
	switch {
	case rt.Known && tr.Known:
		v.V = (rt.V/er.V + tr.V/et.V) / 2 * er.V
		v.Note = "mean of both printed ratios of the pair"
	case tr.Known:
		v = tr
		v.V = tr.V / et.V * er.V
		v.Note = "from the ratio under tangential load, the other is not printed"
	}
	v.Status = worst(Derived, rt.statusOr(Seen), tr.statusOr(Seen), er.Status, et.Status)
	m["NuRT"] = v
}

func (v Value) statusOr(s Status) Status {
	if !v.Known {
		return s
	}
	return v.Status
}
