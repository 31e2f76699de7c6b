package window

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/relax"
)

// SpreadWindow is how far the pieces may differ in moisture when they are glued,
// % MC between the dampest and the driest, for a board that is otherwise under
// no stress and settles to one moisture afterwards.
type SpreadWindow struct {
	Below       float64 `json:"below"`
	Season      bool    `json:"season"`
	Spread      float64 `json:"spread"`      // whichever pieces are damp and whichever dry
	Worst       string  `json:"worst"`       // joint or piece that sets it
	Alternating float64 `json:"alternating"` // damp and dry pieces taking turns, neighbour by neighbour
}

// spreadWindows are in proportion to the limit: stress is to the spread.
func spreadWindows(ctx context.Context, m *influence.Model, f *layout.File, c check.Conditions) ([]SpreadWindow, error) {
	s, err := arrange.SpreadOf(ctx, m, f, c)
	if s == nil || err != nil {
		return nil, err
	}
	var out []SpreadWindow
	for _, season := range []bool{false, true} {
		kept := 1.0
		if season {
			kept = relax.Seasonal(0, relax.Typical)
		}
		for _, below := range []float64{belowTight, belowDoubtful} {
			bears := func(u float64) float64 { return math.Floor(100*2*below/(kept*u)) / 100 }
			out = append(out, SpreadWindow{below, season, bears(s.Worst), s.Place, bears(s.Alternating)})
		}
	}
	return out, nil
}
