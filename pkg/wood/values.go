package wood

import (
	"fmt"
	"io/fs"
	"maps"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// loadValues reads tables with one value a row into wood and property. One property of
// one wood stands in one place only.
func loadValues(files fs.FS, byID map[string]*Species, sources map[string]source.Citation, tables ...string) (map[string]map[string]Value, error) {
	out := make(map[string]map[string]Value, len(byID))
	for _, table := range tables {
		rows, err := data.Read(files, table, "species", "property", "value", "unit", "at_mc", "source", "status")
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			id, property := r.Get("species"), r.Get("property")
			if id == "" && table == "strength_table.csv" {
				continue // woods of the printed table that have no shrinkage figures
			}
			if _, err := woodOf(r, byID); err != nil {
				return nil, err
			}
			v, err := readValue(r, property, sources)
			if err != nil {
				return nil, err
			}
			if out[id] == nil {
				out[id] = make(map[string]Value)
			}
			if property == "shrinkage_t" && out[id]["shrinkage_r"].V > v.V {
				return nil, r.Errorf("%s shrinks less tangentially (%v %%) than radially (%v %%)", id, v.V, out[id]["shrinkage_r"].V)
			}
			if _, twice := out[id][property]; twice {
				return nil, r.Errorf("%s of %s is given twice", property, id)
			}
			out[id][property] = v
		}
	}
	return out, nil
}

// readValue reads one row in the unit the module works in.
func readValue(r data.Row, property string, sources map[string]source.Citation) (Value, error) {
	if err := provenance(r, sources); err != nil {
		return Value{}, err
	}
	convert, err := unit(r, r.Get("unit"))
	if err != nil {
		return Value{}, err
	}
	if property == "moe" && r.Get("unit") == "MPa" {
		convert = func(v float64) float64 { return v / 1e3 } // Species.MOE is in GPa
	}
	v := Value{Known: true, Source: r.Get("source"), Status: Status(r.Get("status")), Note: r.Get("note")}
	if v.V, err = r.Float("value"); err != nil {
		return Value{}, err
	}
	given := map[string]*float64{"lo": &v.Lo, "hi": &v.Hi, "at_mc": &v.AtMC}
	maps.DeleteFunc(given, func(column string, _ *float64) bool { return r.Get(column) == "" })
	if err := r.Floats(given); err != nil {
		return Value{}, err
	}
	if !(v.V > 0) {
		return Value{}, r.Errorf("%s is %v, which is not above 0", property, v.V)
	}
	if v.Lo > v.V || v.Hi != 0 && v.Hi < v.V {
		return Value{}, r.Errorf("%s is %v, outside its own range of %v to %v", property, v.V, v.Lo, v.Hi)
	}
	if v.AtMC < 0 || v.AtMC > 30 {
		return Value{}, r.Errorf("%s was tested at %v %% moisture, outside 0 to 30", property, v.AtMC)
	}
	v.V, v.Lo, v.Hi = convert(v.V), convert(v.Lo), convert(v.Hi)
	if lim, ok := physical[property]; ok && (v.V < lim[0] || v.V > lim[1]) {
		return Value{}, r.Errorf("%s of %s is %v, outside what wood can have (%v to %v)", property, r.Get("species"), v.V, lim[0], lim[1])
	}
	return v, nil
}

// physical is what no wood goes beyond, in the unit the module works in: from balsa to
// the densest wood known, whose specific gravity is about 1.3 (the cell wall 1.5). A
// slip of unit or of the decimal point falls outside.
var physical = map[string][2]float64{
	"shrinkage_r": {0.3, 15}, "shrinkage_t": {0.5, 25}, "shrinkage_v": {1, 35}, // %
	"sg_basic": {0.05, 1.35}, "sg_12": {0.05, 1.35}, "density_12": {0.06, 1.5}, "density_0": {0.05, 1.4},
	"moe": {1, 40}, "mor": {10, 350}, // GPa, MPa
	"compression_perp": {0.3, 60}, "shear_parallel": {1, 40}, "rolling_shear": {0.3, 15}, "tension_perp": {0.5, 20}, // MPa
	"side_hardness": {200, 25000},                                       // N
	"coefficient_r": {0.0003, 0.0055}, "coefficient_t": {0.0005, 0.008}, // per % MC
	"differential_r": {0.03, 0.55}, "differential_t": {0.05, 0.8}, // % per % MC
	"fibre_saturation": {15, 40}, // % MC
}

// fill takes the figures of one wood, derives the densities that follow from
// others, and refuses what cannot be.
func (s *Species) fill(values map[string]Value, tables []differential, general judgements) error {
	s.lengthwise = general["longitudinal-shrinkage"]
	for property, into := range map[string]*Value{
		"shrinkage_r": &s.ShrinkR, "shrinkage_t": &s.ShrinkT, "shrinkage_v": &s.ShrinkV,
		"sg_basic": &s.SGBasic, "sg_12": &s.SG12, "moe": &s.MOE, "mor": &s.MOR,
		"compression_perp": &s.CPerp, "shear_parallel": &s.Shear, "rolling_shear": &s.rolling,
		"tension_perp": &s.TPerp, "side_hardness": &s.Hardness,
		"coefficient_r": &s.CR, "coefficient_t": &s.CT, "fibre_saturation": &s.fsp,
	} {
		*into = values[property]
	}
	if !s.fsp.Known {
		s.fsp = Value{V: NominalFSP, Known: true, Source: "WH190-CH4", Status: Seen, Note: "convention of the shrinkage law"}
	}
	if err := s.check(); err != nil { // as printed, before another table overrules it
		return err
	}
	s.settle(tables, general["disagreement"].V)
	if d := values["density_0"]; d.Known && !s.SG12.Known {
		// from oven-dry to 12 % MC the volume grows with the movement across the grain
		grow := 1 + 12/s.fsp.V*(s.ShrinkR.V+s.ShrinkT.V)/(100-s.ShrinkR.V-s.ShrinkT.V)
		s.SG12 = Value{V: d.V / grow, Known: true, AtMC: 12, Source: d.Source, Status: worst(Derived, d.Status), Note: "oven-dry density over the volume swollen to 12 %"}
	}
	if d := values["density_12"]; d.Known && !s.SG12.Known {
		// density counts the water in the wood: 12 % of the dry mass
		s.SG12 = Value{V: d.V / 1.12, Known: true, AtMC: 12, Source: d.Source, Status: worst(Derived, d.Status), Note: "density at 12 % over 1.12"}
	}
	s.deriveGravity()
	return s.check()
}

// deriveGravity fills one specific gravity from the other. From green to 12 % MC
// the volume shrinks by S_V·(F−12)/F, and the dry mass stays.
func (s *Species) deriveGravity() {
	v := s.ShrinkV
	if !v.Known {
		if !s.ShrinkR.Known || !s.ShrinkT.Known {
			return
		}
		v = Value{V: s.ShrinkR.V + s.ShrinkT.V, Status: worst(s.ShrinkR.Status, s.ShrinkT.Status)}
	}
	f := s.fsp.V
	shrunk := 1 - v.V/100*(f-12)/f
	switch {
	case !s.SG12.Known && s.SGBasic.Known:
		b := s.SGBasic
		s.SG12 = Value{V: b.V / shrunk, Known: true, Lo: b.Lo / shrunk, Hi: b.Hi / shrunk, AtMC: 12, Source: b.Source,
			Status: worst(Derived, b.Status, v.Status), Note: "basic specific gravity over the volume at 12 %"}
	case !s.SGBasic.Known && s.SG12.Known:
		s.SGBasic = Value{V: s.SG12.V * shrunk, Known: true, Source: s.SG12.Source,
			Status: worst(Derived, s.SG12.Status, v.Status), Note: "specific gravity at 12 % over the green volume"}
	}
}

// check refuses figures that cannot stand together.
func (s *Species) check() error {
	if r, t := s.ShrinkR, s.ShrinkT; r.Known && t.Known && t.V < r.V {
		return fmt.Errorf("species_values.csv: %s shrinks less tangentially (%v %%) than radially (%v %%)", s.ID, t.V, r.V)
	}
	if s.SG12.Known && s.SGBasic.Known && s.SG12.V < s.SGBasic.V {
		return fmt.Errorf("species_values.csv: %s is lighter at 12 %% (%v) than its basic specific gravity (%v)", s.ID, s.SG12.V, s.SGBasic.V)
	}
	return nil
}
