// Package influence prepares a board once and judges it under any moisture: woods
// and frames, mesh and stiffness, and for every kind of piece the tractions that
// one per cent of moisture brings on every stretch of every joint. Seasons,
// exposures and what-ifs are then sums.
package influence

import (
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Conditions says what to check the board against. The zero value is the
// documented default: the driest and dampest month of the board's own home
// (continental-heated when it names none) and the exposures the file lists, or
// the standard set when it lists none.
type Conditions struct {
	Home      string      // named climate; overrides the board's
	Air       []NamedRoom // further end states as air
	Moistures []float64   // further end states as one % MC for every piece
	Shifts    []float64   // further end states as a change of % MC of every piece from its gluing moisture
	Exposures []string    // names; "none" leaves histories out, "standard" is the default set
	Series    int         // most points of each time series in the report; 0 leaves series out
	Workers   int         // 0 means 1
	Refine    int         // 0 is the documented mesh; each step halves every element
	Coarsest  float64     // mm, largest element; 0 is the documented mesh
	NoCracks  bool        // leave out the energy check of the worst joints
	NoCauses  bool        // leave out the shares of the worst demand
	NoChance  bool        // leave out the chance of failure
	Samples   int         // Monte Carlo samples of the chance; 0 leaves it to first-order reliability
	Seed      uint64
	Cache     *sparse.Cache                      // kept between checks of boards that differ little; nil keeps one for this check only
	BendCache *sparse.Cache                      // the same for bending
	Progress  func(done, total int, what string) // may be nil
}

// NamedRoom is a state of air under a name of the user's.
type NamedRoom struct {
	Name string `json:"name"`
	moisture.Room
}

// Remember gives the conditions caches where they have none, for callers that
// check several boards which differ little.
func (c *Conditions) Remember() {
	if c.Cache == nil {
		c.Cache = &sparse.Cache{}
	}
	if c.BendCache == nil {
		c.BendCache = &sparse.Cache{}
	}
}
