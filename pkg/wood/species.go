package wood

// Status says how far a figure can be trusted.
type Status string

// The statuses, from best to worst.
const (
	Seen       Status = "seen"        // read in print for this project
	Derived    Status = "derived"     // plain algebra or a fit on seen figures
	SecondHand Status = "second-hand" // read where somebody else quotes the named work
	Memory     Status = "memory"      // recalled from the named work, not read
	Estimated  Status = "estimated"   // from a regression on density or a class mean
)

var rank = map[Status]int{Seen: 0, Derived: 1, SecondHand: 2, Memory: 3, Estimated: 4}

// Worst returns the least trusted of some statuses; Seen for none.
func Worst(list ...Status) Status { return worst(list...) }

func worst(list ...Status) Status {
	w := Seen
	for _, s := range list {
		if rank[s] > rank[w] {
			w = s
		}
	}
	return w
}

// Value is one figure with its provenance. The zero Value is "not known".
type Value struct {
	V      float64
	Known  bool
	Lo, Hi float64 // published or estimated range in the unit of V; both 0 when none is given
	AtMC   float64 // moisture content of the test [%]; 0 when the figure has none
	Source string  // key of package source
	Status Status
	Note   string
}

// TradeName is a name of a wood in a language (ISO 639-1).
type TradeName struct {
	Name     string `json:"name"`
	Language string `json:"language"`
	Source   string `json:"source"`
	Status   Status `json:"status"`
}

// Note is one thing told of a wood.
type Note struct {
	Kind   string // "health", "gluing", "working"
	Text   string
	Source string
	Status Status
}

// Listing is a wood's place in the convention on trade in endangered species (CITES).
type Listing struct {
	Appendix string // "I", "II" or "III"; "" when it is not listed
	Since    string // date of entry into force, year-month-day
	Scope    string // populations or species it holds for; "" for all
	Source   string
	Status   Status
}

// Species is one wood. It is built once from the tables, may be used by many
// goroutines, and must not be changed. Find hands out complete woods only; those of
// Incomplete have their printed figures but no law of swelling, stiffness or strength.
type Species struct {
	ID             string // everyday word order: "sugar-maple"
	CommonName     string // "Sugar maple"
	PrintedName    string // as the handbook lists it: "Maple, sugar (hard maple)"
	ScientificName string
	Aliases        []string // handbook order and trade synonyms
	TradeNames     []TradeName
	Class          string  // "hardwood" or "softwood"
	Origin         string  // "domestic" or "imported", as the handbook of the USA sorts them
	Porosity       string  // "ring-porous", "semi-ring-porous", "diffuse-porous" or ""
	Bonding        string  // "easily", "well", "satisfactorily", "with-difficulty" or "" (Wood Handbook Table 10-1)
	Notes          []Note  // on health, gluing and working
	Convention     Listing // of trade in endangered species; zero when it is not listed
	Colour         string  // "#rrggbb", ours, for pictures
	ColourGroup    string  // "pale", "tan", "red-brown", "brown", "dark", "yellow", "purple", "orange"

	ShrinkR, ShrinkT, ShrinkV Value // % of the green size (V: volume), green to oven-dry
	SGBasic                   Value // oven-dry mass over green volume, over the density of water
	SG12                      Value // oven-dry mass over volume at 12 % MC, over the density of water
	MOE                       Value // bending modulus along the grain, GPa
	MOR                       Value // bending strength, MPa
	CPerp                     Value // compression across the grain at the proportional limit, MPa
	Shear                     Value // shear along the grain, MPa
	TPerp                     Value // tension across the grain, mean of R and T, MPa
	Hardness                  Value // side hardness, N
	CR, CT                    Value // printed coefficients of dimensional change, 1 per % MC, of the size at 10 % MC

	// Disputed says that two published sources differ by more than 15 % in how much the
	// wood moves per % MC: the larger is in use, and Lo and Hi of its shrinkages span both.
	Disputed bool

	// Missing says which needed figure was never published and why; "" for a complete wood.
	Missing string
	// StandIn is the id of the nearest relative that may be used in the place of an
	// incomplete wood, by a maker who names it; StandInReason says what they share.
	StandIn, StandInReason string

	alternatives []Alternative
	lengthwise   Value
	relation     string // "temperate" or "tropical": the tests that unprinted strengths are estimated from

	fsp      Value
	rolling  Value
	elastic  baseElastic
	base     baseStrength
	kic      Value // mode I, TL system, MPa·√mm
	fracture fracture
}

// All returns the woods that have both shrinkages, sorted by ID.
func All() []*Species { return append([]*Species(nil), embedded().complete...) }

// Incomplete returns the woods that are listed without one of the shrinkages,
// sorted by ID; their field Missing says what is not there and why.
func Incomplete() []*Species { return append([]*Species(nil), embedded().incomplete...) }
