package answer

import (
	"slices"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/source"
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
	Missing        string   `json:"missing,omitempty"`  // what was never published, of an incomplete wood
	StandIn        string   `json:"stand_in,omitempty"` // wood that may be named in the place of an incomplete one
	StandInReason  string   `json:"stand_in_reason,omitempty"`
}

// ListSpecies answers a SpeciesQuery. The error is a fault.List.
func ListSpecies(q SpeciesQuery) (SpeciesList, error) {
	matching, first, err := q.page()
	if err != nil {
		return SpeciesList{}, err
	}
	list := SpeciesList{Total: len(matching), Limit: q.Limit, Offset: q.Offset, Species: []SpeciesSummary{}}
	for _, s := range matching[first:min(first+q.Limit, len(matching))] {
		list.Species = append(list.Species, summary(s))
	}
	return list, nil
}

// MovementQuery says between which two airs, % humidity at 20 °C, woods are drawn.
type MovementQuery struct {
	From float64 `json:"from" validate:"gte=5,lte=95"`
	To   float64 `json:"to" validate:"gte=5,lte=95"`
}

// DefaultMovement is what a heated room goes through in a year.
var DefaultMovement = MovementQuery{30, 60}

// DrawSpecies draws how far the woods of a SpeciesQuery move, as SVG. The error is a
// fault.List.
func DrawSpecies(q SpeciesQuery, m MovementQuery) ([]byte, error) {
	matching, first, err := q.page()
	if l := append(fault.Of(err), validate(m)...); len(l) > 0 {
		return nil, l
	}
	page := matching[first:min(first+q.Limit, len(matching))]
	if len(page) == 0 {
		return nil, fault.List{{Rule: fault.NotAllowed, Pointer: "/q", Detail: "no wood is left to draw", Found: fault.Short(q.Q), Allowed: "filters that some wood meets"}}
	}
	air := func(humidity float64) moisture.Room { return moisture.Room{Humidity: humidity, Temperature: drawnAt} }
	return picture.Woods(page, air(m.From), air(m.To), len(matching)-first-len(page))
}

// drawnAt is the temperature of the airs of a MovementQuery, °C.
const drawnAt = 20

// page gives the woods that match, and where its page of them begins.
func (q *SpeciesQuery) page() (matching []*wood.Species, first int, err error) {
	if faults := validate(q); len(faults) > 0 {
		return nil, 0, faults
	}
	woods := wood.All()
	if q.Data == "incomplete" {
		woods = wood.Incomplete()
	}
	part := strings.ToLower(strings.TrimSpace(q.Q))
	for _, s := range woods {
		if (q.Class == "" || s.Class == q.Class) && (q.Bonding == "" || s.Bonding == q.Bonding) &&
			(q.Colour == "" || s.ColourGroup == q.Colour) && (part == "" || named(s, part)) {
			matching = append(matching, s)
		}
	}
	return matching, min(q.Offset, len(matching)), nil
}

func named(s *wood.Species, part string) bool {
	holds := func(name string) bool {
		name = strings.ToLower(name)
		return strings.Contains(name, part) || strings.Contains(strings.ReplaceAll(name, "-", " "), part)
	}
	return holds(s.ID) || holds(s.CommonName) || holds(s.ScientificName) || slices.ContainsFunc(s.Aliases, holds) ||
		slices.ContainsFunc(s.TradeNames, func(n wood.TradeName) bool { return holds(n.Name) })
}

func summary(s *wood.Species) SpeciesSummary {
	return SpeciesSummary{
		ID: s.ID, CommonName: s.CommonName, ScientificName: s.ScientificName, Class: s.Class, Origin: s.Origin,
		Bonding: s.Bonding, Colour: s.Colour, ColourGroup: s.ColourGroup,
		ShrinkageR: known(s.ShrinkR), ShrinkageT: known(s.ShrinkT), SG12: known(s.SG12), Missing: s.Missing, StandIn: s.StandIn, StandInReason: s.StandInReason,
	}
}

func known(v wood.Value) *float64 {
	if !v.Known {
		return nil
	}
	rounded := figures(v.V, 3)
	return &rounded
}

// Species is everything about one wood.
type Species struct {
	SpeciesSummary
	Aliases      []string         `json:"aliases"`
	TradeNames   []wood.TradeName `json:"trade_names"`
	Notice       string           `json:"notice,omitempty"` // which wood an ambiguous name was taken for
	Porosity     string           `json:"porosity,omitempty"`
	Properties   []Property       `json:"properties"`
	Disputed     bool             `json:"disputed"`     // published sources differ by more than 15 % in how much it moves
	Alternatives []Property       `json:"alternatives"` // published figures that are not in use
	Elastic      []Property       `json:"elastic"`      // at 12 % MC, MPa and Poisson's ratios
	Strength     []Property       `json:"strength"`     // at 12 % MC
	TRRatio      float64          `json:"t_r_ratio"`
	Cautions     []safety.Caution `json:"cautions"`
	Defer        string           `json:"defer"` // that local rules come first
}

// Property is one value with its provenance.
type Property struct {
	Name     string      `json:"name"`
	Value    float64     `json:"value"` // rounded to what is known of it
	Unit     string      `json:"unit"`
	Basis    string      `json:"basis,omitempty"` // what the value is counted on
	AtMC     *float64    `json:"at_mc,omitempty"` // % MC of the test
	Low      *float64    `json:"low,omitempty"`
	High     *float64    `json:"high,omitempty"`
	Source   string      `json:"source"`   // key
	Citation string      `json:"citation"` // the printed work
	Status   wood.Status `json:"status"`
	Note     string      `json:"note,omitempty"`
}

const standardMC = 12 // % MC at which handbook properties are given

// OneSpecies finds a wood by any of its names. The error is a fault at
// "/species": unknown, or known but without the values needed.
func OneSpecies(name string) (*Species, error) {
	found, err := wood.FindIn(name, wood.Anywhere)
	if err != nil {
		return nil, fault.At(err, "/species")
	}
	s := found.Species
	elastic, err := s.Elastic(standardMC)
	if err != nil {
		return nil, fault.At(err, "/species")
	}
	a := &Species{SpeciesSummary: summary(s), Aliases: append([]string{}, s.Aliases...), TradeNames: append([]wood.TradeName{}, s.TradeNames...),
		Notice: found.Notice, Porosity: s.Porosity, Properties: properties(s), Disputed: s.Disputed, Alternatives: []Property{},
		TRRatio: figures(s.ShrinkT.V/s.ShrinkR.V, 3), Cautions: safety.For(s), Defer: safety.Defer}
	for _, o := range s.Alternatives() {
		p := property(o.Property, o.Value)
		p.Note = o.Reason
		a.Alternatives = append(a.Alternatives, p)
	}
	for _, e := range []struct {
		key, name string
		v         float64
	}{
		{"EL", "e_l", elastic.EL}, {"ER", "e_r", elastic.ER}, {"ET", "e_t", elastic.ET},
		{"GLR", "g_lr", elastic.GLR}, {"GLT", "g_lt", elastic.GLT}, {"GRT", "g_rt", elastic.GRT},
		{"NuLR", "nu_lr", elastic.NuLR}, {"NuLT", "nu_lt", elastic.NuLT}, {"NuRT", "nu_rt", elastic.NuRT},
	} {
		a.Elastic = append(a.Elastic, property(e.name, wood.Value{V: e.v, AtMC: standardMC, Source: elastic.Source[e.key], Status: elastic.Status[e.key]}))
	}
	a.Strength = strengths(s)
	return a, nil
}

// strengths are the strengths in use, R and T apart.
func strengths(s *wood.Species) []Property {
	k := s.Strength(standardMC)
	out := []Property{}
	for _, p := range []struct {
		name, key string
		v         float64
	}{
		{"tension_r", "tension_r", k.TensionR}, {"tension_t", "tension_t", k.TensionT}, {"tension_long", "tension_parallel", k.TensionLong},
		{"shear_long", "shear_parallel", k.ShearLong}, {"shear_rolling", "rolling_shear", k.ShearRolling}, {"compression_perp", "compression_perp", k.CompressionPerp},
	} {
		v, ok := k.Values[p.key]
		if !ok {
			v = k.Values["tension_perp"] // R and T were not tested apart
			v.Note = strings.TrimPrefix(v.Note+"; mean of R and T", "; ")
		}
		v.V, v.AtMC = p.v, standardMC
		out = append(out, property(p.name, v))
	}
	return out
}

func properties(s *wood.Species) []Property {
	out := []Property{}
	for _, p := range []struct {
		name string
		v    wood.Value
	}{
		{"shrinkage_r", s.ShrinkR}, {"shrinkage_t", s.ShrinkT}, {"shrinkage_v", s.ShrinkV}, {"fibre_saturation", s.FSPValue()},
		{"coefficient_r", s.CR}, {"coefficient_t", s.CT}, {"sg_basic", s.SGBasic}, {"sg_12", s.SG12}, {"moe", s.MOE}, {"mor", s.MOR},
		{"compression_perp", s.CPerp}, {"shear_parallel", s.Shear}, {"tension_perp", s.TPerp}, {"side_hardness", s.Hardness},
	} {
		if p.v.Known {
			out = append(out, property(p.name, p.v))
		}
	}
	return out
}

// units and bases of the properties, as they are shown.
var shown = map[string]struct{ unit, basis string }{
	"shrinkage_r": {"%", "of the green size, green to oven-dry"}, "shrinkage_t": {"%", "of the green size, green to oven-dry"},
	"shrinkage_v": {"%", "of the green volume, green to oven-dry"}, "fibre_saturation": {"% MC", "where the law of shrinkage begins"},
	"coefficient_r": {"1/% MC", "of the size at 10 % MC"}, "coefficient_t": {"1/% MC", "of the size at 10 % MC"},
	"differential_r": {"% per % MC", "movement in ordinary air"}, "differential_t": {"% per % MC", "movement in ordinary air"},
	"sg_basic": {"1", "oven-dry mass over green volume"}, "sg_12": {"1", "oven-dry mass over volume at 12 % MC"},
	"moe": {"GPa", "bending of clear wood along the grain"}, "mor": {"MPa", "bending of clear wood"},
	"compression_perp": {"MPa", "at the proportional limit"}, "shear_parallel": {"MPa", "mean of radial and tangential planes"},
	"tension_perp": {"MPa", "mean of radial and tangential"}, "side_hardness": {"N", "half a ball of 11.3 mm into side grain"},
	"tension_r": {"MPa", "pulled along R"}, "tension_t": {"MPa", "pulled along T"}, "tension_long": {"MPa", "along the grain"},
	"shear_long": {"MPa", "sliding along the grain"}, "shear_rolling": {"MPa", "sliding across the grain"},
	"e_l": {"MPa", ""}, "e_r": {"MPa", ""}, "e_t": {"MPa", ""}, "g_lr": {"MPa", ""}, "g_lt": {"MPa", ""}, "g_rt": {"MPa", ""},
	"nu_lr": {"1", "load along the first axis"}, "nu_lt": {"1", "load along the first axis"}, "nu_rt": {"1", "load along the first axis"},
}

// property gives a value its provenance. A printed value keeps four figures; one that
// was worked out or estimated three.
func property(name string, v wood.Value) Property {
	n := 4
	if v.Status == wood.Derived || v.Status == wood.Estimated {
		n = 3
	}
	u := shown[name]
	p := Property{Name: name, Value: figures(v.V, n), Unit: u.unit, Basis: u.basis, Source: v.Source, Citation: source.Text(v.Source), Status: v.Status, Note: v.Note}
	if v.AtMC != 0 {
		p.AtMC = &v.AtMC
	}
	if v.Lo != 0 {
		low := figures(v.Lo, n)
		p.Low = &low
	}
	if v.Hi != 0 {
		high := figures(v.Hi, n)
		p.High = &high
	}
	return p
}

// figures rounds to n figures.
func figures(v float64, n int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', n, 64), 64)
	if err != nil {
		return v
	}
	return r
}
