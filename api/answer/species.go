package answer

import (
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// SpeciesQuery filters and pages the list of woods.
type SpeciesQuery struct {
	Q       string `json:"q" validate:"max=100"`                                                                 // part of any name
	Class   string `json:"class" validate:"omitempty,oneof=hardwood softwood"`                                   // "" is both
	Bonding string `json:"bonding" validate:"omitempty,oneof=easily well satisfactorily with-difficulty"`        // "" is all
	Colour  string `json:"colour" validate:"omitempty,oneof=pale tan red-brown brown dark yellow purple orange"` // "" is all
	Data    string `json:"data" validate:"omitempty,oneof=complete incomplete"`                                  // "" is complete
	Limit   int    `json:"limit" validate:"gte=1,lte=500"`
	Offset  int    `json:"offset" validate:"gte=0,lte=100000"`
}

// SpeciesList is one page of woods.
type SpeciesList struct {
	Total   int              `json:"total"` // woods that match, on all pages
	Limit   int              `json:"limit"`
	Offset  int              `json:"offset"`
	Species []SpeciesSummary `json:"species"`
}

// SpeciesSummary is a wood in a list.
type SpeciesSummary struct {
	ID             string   `json:"id"`
	CommonName     string   `json:"common_name"`
	ScientificName string   `json:"scientific_name"`
	Class          string   `json:"class"`
	Origin         string   `json:"origin"`
	Bonding        string   `json:"bonding,omitempty"`
	Colour         string   `json:"colour"`
	ColourGroup    string   `json:"colour_group"`
	ShrinkageR     *float64 `json:"shrinkage_r,omitempty"` // % of the green size
	ShrinkageT     *float64 `json:"shrinkage_t,omitempty"`
	SG12           *float64 `json:"sg_12,omitempty"`
	Missing        string   `json:"missing,omitempty"` // what was never published, of an incomplete wood
}

// ListSpecies answers a SpeciesQuery. The error is a fault.List.
func ListSpecies(q SpeciesQuery) (SpeciesList, error) {
	if faults := validate(q); len(faults) > 0 {
		return SpeciesList{}, faults
	}
	woods := wood.All()
	if q.Data == "incomplete" {
		woods = wood.Incomplete()
	}
	part := strings.ToLower(strings.TrimSpace(q.Q))
	matching := woods[:0:0]
	for _, s := range woods {
		if (q.Class == "" || s.Class == q.Class) && (q.Bonding == "" || s.Bonding == q.Bonding) &&
			(q.Colour == "" || s.ColourGroup == q.Colour) && (part == "" || named(s, part)) {
			matching = append(matching, s)
		}
	}
	list := SpeciesList{Total: len(matching), Limit: q.Limit, Offset: q.Offset, Species: []SpeciesSummary{}}
	first := min(q.Offset, len(matching))
	for _, s := range matching[first:min(first+q.Limit, len(matching))] {
		list.Species = append(list.Species, summary(s))
	}
	return list, nil
}

func named(s *wood.Species, part string) bool {
	holds := func(name string) bool {
		name = strings.ToLower(name)
		return strings.Contains(name, part) || strings.Contains(strings.ReplaceAll(name, "-", " "), part)
	}
	return holds(s.ID) || holds(s.CommonName) || holds(s.ScientificName) || slices.ContainsFunc(s.Aliases, holds)
}

func summary(s *wood.Species) SpeciesSummary {
	return SpeciesSummary{
		ID: s.ID, CommonName: s.CommonName, ScientificName: s.ScientificName, Class: s.Class, Origin: s.Origin,
		Bonding: s.Bonding, Colour: s.Colour, ColourGroup: s.ColourGroup,
		ShrinkageR: known(s.ShrinkR), ShrinkageT: known(s.ShrinkT), SG12: known(s.SG12), Missing: s.Missing,
	}
}

func known(v wood.Value) *float64 {
	if !v.Known {
		return nil
	}
	return &v.V
}

// Species is everything about one wood.
type Species struct {
	SpeciesSummary
	Aliases    []string         `json:"aliases"`
	Porosity   string           `json:"porosity,omitempty"`
	Properties []Property       `json:"properties"`
	Elastic    *Elastic         `json:"elastic,omitempty"`  // at 12 % MC
	Strength   *Strength        `json:"strength,omitempty"` // at 12 % MC
	TRRatio    *float64         `json:"t_r_ratio,omitempty"`
	Dust       string           `json:"dust,omitempty"`
	Cautions   []safety.Caution `json:"cautions"`
	Defer      string           `json:"defer"` // that local rules come first
}

// Property is one value with its passport.
type Property struct {
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source"`
	Status string  `json:"status"`
	Note   string  `json:"note,omitempty"`
}

// Elastic holds moduli in MPa and Poisson's ratios.
type Elastic struct {
	EL   float64 `json:"e_l"`
	ER   float64 `json:"e_r"`
	ET   float64 `json:"e_t"`
	GLR  float64 `json:"g_lr"`
	GLT  float64 `json:"g_lt"`
	GRT  float64 `json:"g_rt"`
	NuLR float64 `json:"nu_lr"`
	NuLT float64 `json:"nu_lt"`
	NuRT float64 `json:"nu_rt"`

	Status map[string]wood.Status `json:"status"` // by constant
}

// Strength holds strengths in MPa.
type Strength struct {
	TensionR        float64 `json:"tension_r"`
	TensionT        float64 `json:"tension_t"`
	TensionLong     float64 `json:"tension_long"`
	ShearLong       float64 `json:"shear_long"`
	ShearRolling    float64 `json:"shear_rolling"`
	CompressionPerp float64 `json:"compression_perp"`
}

const standardMC = 12 // % MC at which handbook properties are given

// OneSpecies finds a wood by any of its names. The error is a fault at
// "/species": unknown, or known but without the values needed.
func OneSpecies(name string) (*Species, error) {
	s, err := wood.Find(name)
	if err != nil {
		return nil, fault.At(err, "/species")
	}
	a := &Species{SpeciesSummary: summary(s), Aliases: append([]string{}, s.Aliases...), Porosity: s.Porosity,
		Properties: properties(s), Dust: s.Dust, Cautions: safety.For(s), Defer: safety.Defer}
	ratio := s.ShrinkT.V / s.ShrinkR.V
	a.TRRatio = &ratio
	if e, err := s.Elastic(standardMC); err == nil {
		a.Elastic = &Elastic{EL: e.EL, ER: e.ER, ET: e.ET, GLR: e.GLR, GLT: e.GLT, GRT: e.GRT,
			NuLR: e.NuLR, NuLT: e.NuLT, NuRT: e.NuRT, Status: e.Status}
	}
	k := s.Strength(standardMC)
	a.Strength = &Strength{TensionR: k.TensionR, TensionT: k.TensionT, TensionLong: k.TensionLong,
		ShearLong: k.ShearLong, ShearRolling: k.ShearRolling, CompressionPerp: k.CompressionPerp}
	return a, nil
}

func properties(s *wood.Species) []Property {
	out := []Property{}
	for _, p := range []struct {
		name, unit string
		v          wood.Value
	}{
		{"shrinkage_r", "% of the green size", s.ShrinkR},
		{"shrinkage_t", "% of the green size", s.ShrinkT},
		{"shrinkage_v", "% of the green volume", s.ShrinkV},
		{"coefficient_r", "1 per % MC, of the size at 10 %", s.CR},
		{"coefficient_t", "1 per % MC, of the size at 10 %", s.CT},
		{"sg_basic", "1", s.SGBasic},
		{"sg_12", "1", s.SG12},
		{"moe", "GPa", s.MOE},
		{"mor", "MPa", s.MOR},
		{"compression_perp", "MPa", s.CPerp},
		{"shear", "MPa", s.Shear},
		{"tension_perp", "MPa", s.TPerp},
		{"hardness", "N", s.Hardness},
	} {
		if p.v.Known {
			out = append(out, Property{p.name, p.v.V, p.unit, p.v.Source, string(p.v.Status), p.v.Note})
		}
	}
	return out
}
