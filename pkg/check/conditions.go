package check

import (
	"time"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/field"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Conditions says what to check a board against, and how. The zero value is the
// documented default: the driest and dampest month of the board's own home
// (DefaultHome when its file names none), the standard set of exposures
// (moisture.StandardSet), and those that the file lists.
type Conditions struct {
	Climate     *moisture.Climate    // overrides the board's home
	Air         []moisture.NamedRoom // further end states: settled in an air, as in a month of the home
	Moistures   []float64            // further end states: every piece suddenly at one % MC
	Shifts      []float64            // further end states: every piece suddenly changed by % MC from its gluing moisture
	Events      []moisture.Event     // override the exposures of the board's file
	NoHistories bool                 // follow no exposure at all: end states only

	Series   int    // most points of each time series in the report; 0 leaves series out
	NoCracks bool   // leave the lists of glue lines and splits out of the answer
	ByStress bool   // judge by stress over strength alone: the surrogate by which a search ranks; not a verdict
	Joints   bool   // by stress, of joints alone: the wood between them, causes and what the answer leans on are left out
	NoCauses bool   // leave out the shares of the worst demand
	NoChance bool   // leave out the chance of failure
	Explain  string // what is derived step by step: a joint, a piece, a mode, WhyWorst, WhyChance or WhySize, each where it is worst or "@" a state or exposure; "" for none

	Refine   int                                // halvings of every element, 0 to MaxRefine
	Budget   int64                              // bytes that solving may take, refused before anything is made; 0 is 8 GiB
	Longest  time.Duration                      // that a check may take of one core, by an estimate from the size of the board, refused likewise; 0 is without bounds
	Workers  int                                // 0 means 1
	Cache    *Cache                             // kept between checks of boards that differ little; nil keeps one for this check only
	Progress func(done, total int, what string) // may be nil
}

// Cache keeps parts of solved boards between checks. It may be shared by several
// goroutines; an answer does not depend on it.
type Cache = influence.Cache

// NewCache makes a cache of at most so many bytes; 0 is without bounds.
func NewCache(bytes int64) *Cache { return influence.NewCache(bytes) }

// DefaultHome is the climate of a board whose file names none.
const DefaultHome = influence.DefaultHome

// MaxRefine is how often elements can be halved.
const MaxRefine = 2

// Check lists what of the conditions cannot be asked of a board. Pointers are
// into the conditions: "/air/0/humidity", "/moistures/0", "/shifts/0",
// "/events/0/minutes", "/refine", "/series"; those of the exposures
// of the board's own file into that file, "/exposures/0/minutes".
func (c Conditions) Check(b *layout.Board) fault.List {
	d := c.Demand()
	l := d.Check(b)
	for _, n := range []struct {
		name        string
		value, most int
	}{{"refine", c.Refine, MaxRefine}, {"series", c.Series, mostSeries}} {
		l = append(l, fault.Range("/"+n.name, n.name, float64(n.value), 0, float64(n.most), "")...)
	}
	return l
}

// Bounds of what one report can hold.
const (
	mostSeries = 10_000
)

// Remember gives the conditions a cache where they have none, for callers that
// check several boards which differ little.
func (c *Conditions) Remember() {
	if c.Cache == nil {
		c.Cache = NewCache(0)
	}
}

// Demand is the part of the conditions that says what the board has to bear, for
// the sister packages that search.
func (c Conditions) Demand() *influence.Demand {
	return &influence.Demand{Climate: c.Climate, Air: c.Air, Moistures: c.Moistures, Shifts: c.Shifts, Events: c.Events, NoHistories: c.NoHistories, ByStress: c.ByStress}
}

// Solving is the part of the conditions that says how the board is solved, for
// the sister packages that search.
func (c Conditions) Solving() influence.Options {
	return influence.Options{Bending: !c.NoHistories, Refine: c.Refine, Joints: c.Joints && c.ByStress, Budget: c.Budget, Longest: c.Longest, Workers: c.Workers, Events: c.Events, ByStress: c.ByStress, Cache: c.Cache}
}

// ClimateOf gives the climate in which a board is checked: that of the conditions,
// else the board's own, else DefaultHome. Errors: a fault of an unknown name or of
// the board's own months, below "/home".
func (c Conditions) ClimateOf(b *layout.Board) (moisture.Climate, error) {
	in, err := c.Demand().Setting(b)
	return in.Home, err
}

// What pictures show.
type (
	Instant = field.Instant
	Heights = field.Heights
	Profile = field.Profile
)
