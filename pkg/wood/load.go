package wood

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// library is everything read from the tables.
type library struct {
	complete, incomplete []*Species
	byName               map[string]*Species // by key, every name that means one wood
	byWords              map[string]*Species // by the words of a name in order
	scientific           map[string]*Species
	senses               map[string]*sense // by key, words that several woods are sold under
	qualifiers           []qualifier
	words                map[string]bool // every word of a name
	trends               map[string]trend
	variation            map[string]Value
	flatSawn             [2]float64 // see FlatSawnPith: mm, and of the width
}

var embedded = sync.OnceValue(func() *library {
	lib, err := load(data.Files)
	if err != nil {
		panic(fmt.Sprintf("wood: the tables built into this program are broken: %v", err))
	}
	return lib
})

// units turns what a table prints into what the module works in: MPa, GPa for the
// bending modulus by its property, N, %, MPa·√mm for toughness. A figure is
// multiplied by the first number and divided by the second, so that 1900 kPa is
// 1.9 MPa to the last bit and prints back as it was read.
var units = map[string][2]float64{
	"%": {1, 1}, "1": {1, 1}, "1/%": {1, 1}, "%/%": {1, 1}, "g/cm3": {1, 1}, "GPa": {1, 1}, "MPa": {1, 1}, "N": {1, 1},
	"J/m2": {1, 1}, "kJ/m3": {1, 1}, "mm": {1, 1},
	"Mpsi":      {6.894757293168361, 1}, // to GPa
	"kPa":       {1, 1e3},
	"psi":       {0.006894757293168361, 1},
	"kPa.m^0.5": {31.622776601683793, 1e3}, // √m to √mm is √1000
}

func unit(r data.Row, name string) (func(float64) float64, error) {
	f, ok := units[name]
	if !ok {
		return nil, r.Errorf("unit %q is not known", name)
	}
	return func(v float64) float64 { return v * f[0] / f[1] }, nil
}

// provenance checks that a row names a known source and a known status.
func provenance(r data.Row, sources map[string]source.Citation) error {
	src, st := r.Get("source"), r.Get("status")
	if src == "" {
		return r.Errorf("no source is given")
	}
	if _, ok := sources[src]; !ok {
		return r.Errorf("source %q is not in sources.csv", src)
	}
	if _, ok := rank[Status(st)]; !ok {
		return r.Errorf("status %q is none of seen, derived, second-hand, memory, estimated", st)
	}
	return nil
}

// woodOf is the wood that a row is about, by the column species.
func woodOf(r data.Row, byID map[string]*Species) (*Species, error) {
	if s := byID[r.Get("species")]; s != nil {
		return s, nil
	}
	return nil, r.Errorf("wood %q is not in species.csv", r.Get("species"))
}

// eachWood reads a table whose rows are each about a wood: for every row, its wood.
func eachWood(files fs.FS, table string, byID map[string]*Species, columns []string, take func(r data.Row, s *Species) error) error {
	rows, err := data.Read(files, table, append(columns, "species")...)
	for i := 0; i < len(rows) && err == nil; i++ {
		var s *Species
		if s, err = woodOf(rows[i], byID); err == nil {
			err = take(rows[i], s)
		}
	}
	return err
}

// eachToldOf is eachWood of a table whose rows have a source and a status.
func eachToldOf(files fs.FS, table string, byID map[string]*Species, sources map[string]source.Citation, columns []string, take func(r data.Row, s *Species) error) error {
	return eachWood(files, table, byID, append(columns, "source", "status"), func(r data.Row, s *Species) error {
		if err := provenance(r, sources); err != nil {
			return err
		}
		return take(r, s)
	})
}

// load reads the tables, whole or not at all.
func load(files fs.FS) (*library, error) {
	sources, err := source.Load(files)
	if err != nil {
		return nil, err
	}
	lib := &library{byName: make(map[string]*Species)}
	species, byID, err := loadNames(files, lib)
	if err != nil {
		return nil, err
	}
	if err := loadNotes(files, byID, sources); err != nil {
		return nil, err
	}
	general, err := loadGeneral(files, sources)
	if err != nil {
		return nil, err
	}
	lib.flatSawn = [2]float64{general["flat-sawn-pith"].V, general["flat-sawn-width"].V}
	if lib.trends, err = loadTrends(files, general); err != nil {
		return nil, err
	}
	if lib.variation, err = loadVariation(files, sources); err != nil {
		return nil, err
	}
	if err := loadAlternatives(files, byID, sources); err != nil {
		return nil, err
	}
	regressions, err := loadRegressions(files)
	if err != nil {
		return nil, err
	}
	values, err := loadValues(files, byID, sources, "species_values.csv", "strength_table.csv")
	if err != nil {
		return nil, err
	}
	if err := loadMissing(files, byID); err != nil {
		return nil, err
	}
	if err := lib.index(files, species, byID, sources); err != nil {
		return nil, err
	}
	differential, err := loadDifferential(files, byID, sources)
	if err != nil {
		return nil, err
	}
	for _, s := range species {
		if err := s.fill(values[s.ID], differential[s.ID], general); err != nil {
			return nil, err
		}
		whole := s.ShrinkR.Known && s.ShrinkT.Known && s.SG12.Known
		switch {
		case whole && s.Missing != "":
			return nil, fmt.Errorf("incomplete.csv: %s has both shrinkages", s.ID)
		case !whole && s.Missing == "":
			return nil, fmt.Errorf("species_values.csv: %s lacks a shrinkage or a density and incomplete.csv does not say why", s.ID)
		case !whole:
			lib.incomplete = append(lib.incomplete, s)
		default:
			lib.complete = append(lib.complete, s)
		}
	}
	for _, list := range [][]*Species{lib.complete, lib.incomplete} {
		slices.SortFunc(list, func(a, b *Species) int { return cmp.Compare(a.ID, b.ID) })
	}
	ratios, err := loadElastic(files, byID, sources)
	if err != nil {
		return nil, err
	}
	toughness, err := loadToughness(files, byID, sources)
	if err != nil {
		return nil, err
	}
	pulls, err := loadPulls(files, byID, sources)
	if err != nil {
		return nil, err
	}
	energies, err := loadOpening(files, byID, sources)
	if err != nil {
		return nil, err
	}
	judged, err := loadJudgements(files, sources)
	if err != nil {
		return nil, err
	}
	for _, s := range lib.complete {
		if err := s.buildElastic(ratios, regressions, lib.trends, general["shear-in-bending"].V); err != nil {
			return nil, err
		}
		if err := s.buildStrength(regressions, lib.trends, toughness, pulls[s.ID], judged); err != nil {
			return nil, err
		}
		s.buildFracture(energies[s.ID], judged)
	}
	for _, s := range byID { // those of the table, and those that another figure overruled
		slices.SortStableFunc(s.alternatives, func(a, b Alternative) int { return cmp.Compare(a.Property, b.Property) })
	}
	return lib, nil
}

func loadNames(files fs.FS, lib *library) ([]*Species, map[string]*Species, error) {
	rows, err := data.Read(files, "species.csv", "id", "common_name", "printed_name", "scientific_name", "aliases",
		"class", "origin", "porosity", "bonding", "colour_group", "colour", "relation")
	if err != nil {
		return nil, nil, err
	}
	var list []*Species
	byID := make(map[string]*Species, len(rows))
	for _, r := range rows {
		s := &Species{
			ID: r.Get("id"), CommonName: r.Get("common_name"), PrintedName: r.Get("printed_name"), ScientificName: r.Get("scientific_name"),
			Class: r.Get("class"), Origin: r.Get("origin"), Porosity: r.Get("porosity"), Bonding: r.Get("bonding"),
			ColourGroup: r.Get("colour_group"), Colour: r.Get("colour"), relation: r.Get("relation"),
		}
		if s.ID == "" || s.CommonName == "" {
			return nil, nil, r.Errorf("id and common_name must be given")
		}
		if s.Class != "hardwood" && s.Class != "softwood" {
			return nil, nil, r.Errorf("class %q is neither hardwood nor softwood", s.Class)
		}
		if s.relation != "temperate" && s.relation != "tropical" {
			return nil, nil, r.Errorf("relation %q is neither temperate nor tropical", s.relation)
		}
		if r.Get("aliases") != "" {
			s.Aliases = strings.Split(r.Get("aliases"), ";")
		}
		if byID[s.ID] != nil {
			return nil, nil, r.Errorf("id %q is given twice", s.ID)
		}
		byID[s.ID] = s
		list = append(list, s)
		for _, name := range append([]string{s.ID, s.CommonName, s.PrintedName}, s.Aliases...) {
			if other := lib.byName[key(name)]; other != nil && other != s {
				return nil, nil, r.Errorf("name %q already means %s", name, other.ID)
			}
			lib.byName[key(name)] = s
		}
	}
	return list, byID, nil
}

// loadNotes reads what is told of the woods' health, gluing and working, and their place
// in the convention on trade.
func loadNotes(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	err := eachToldOf(files, "wood_notes.csv", byID, sources, []string{"kind", "note"}, func(r data.Row, s *Species) error {
		kind := r.Get("kind")
		if kind != "health" && kind != "gluing" && kind != "working" {
			return r.Errorf("kind %q is none of health, gluing, working", kind)
		}
		s.Notes = append(s.Notes, Note{Kind: kind, Text: r.Get("note"), Source: r.Get("source"), Status: Status(r.Get("status"))})
		return nil
	})
	if err != nil {
		return err
	}
	return eachToldOf(files, "trade_convention.csv", byID, sources, []string{"appendix", "since", "scope"}, func(r data.Row, s *Species) error {
		if s.Convention.Appendix != "" {
			return r.Errorf("%s is given twice", s.ID)
		}
		l := Listing{Appendix: r.Get("appendix"), Since: r.Get("since"), Scope: r.Get("scope"), Source: r.Get("source"), Status: Status(r.Get("status"))}
		if l.Appendix != "I" && l.Appendix != "II" && l.Appendix != "III" {
			return r.Errorf("appendix %q is none of I, II, III", l.Appendix)
		}
		if _, err := time.Parse(time.DateOnly, l.Since); err != nil {
			return r.Errorf("since %q is not a date", l.Since)
		}
		s.Convention = l
		return nil
	})
}

// loadMissing reads what was never published of a wood, and the nearest relative
// that may stand in for it.
func loadMissing(files fs.FS, byID map[string]*Species) error {
	rows, err := data.Read(files, "incomplete.csv", "species", "missing", "reason", "stand_in", "stand_in_reason")
	if err != nil {
		return err
	}
	for _, r := range rows {
		s, err := woodOf(r, byID)
		if err != nil {
			return err
		}
		s.Missing = "no " + r.Get("missing") + " is published here; " + r.Get("reason")
		s.StandIn, s.StandInReason = r.Get("stand_in"), r.Get("stand_in_reason")
		if s.StandIn != "" && (byID[s.StandIn] == nil || s.StandInReason == "") {
			return r.Errorf("stand-in %q is not in species.csv or has no reason", s.StandIn)
		}
	}
	for _, r := range rows {
		if other := byID[r.Get("stand_in")]; other != nil && other.Missing != "" {
			return r.Errorf("stand-in %q is incomplete itself", other.ID)
		}
	}
	return nil
}
