package influence

import (
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// Kept is the share of a stress that is left, at the moment looked at, of what a
// piece glued off its moisture brought and of what a shift of the air brings.
type Kept struct{ Glued, Air float64 }

// KeptAt finds how much of early and slow moisture differences still stresses
// the board in a state or exposure of the report.
//
// What the user states exactly does not scatter: a state "at 6 %" has no spread
// of the air, a shift from the gluing moisture none at all. Differences of slow
// states have relaxed for a season. In an exposure that starts at gluing they
// have had the hours since; they are taken as whole by then, which is early by
// the days a piece needs to follow the air.
func (m *Model) KeptAt(c Conditions, state string, hour float64) (Kept, error) {
	ends, err := m.EndStates(c)
	if err != nil {
		return Kept{}, err
	}
	season := relax.Seasonal(relax.Typical)
	for i := range ends {
		e := &ends[i]
		if e.Name != state {
			continue
		}
		switch {
		case e.left < 1:
			return Kept{e.left, e.left}, nil
		case i >= len(ends)-len(c.Shifts): // shifts come last
			return Kept{}, nil
		}
		return Kept{1, 0}, nil
	}
	events, err := m.Events(c)
	if err != nil {
		return Kept{}, err
	}
	for _, ev := range events {
		if ev.ID() == state {
			started, err := m.startsGlued(ev, c)
			if err != nil {
				return Kept{}, err
			}
			if started {
				f := relax.Factor(hour, relax.Typical)
				return Kept{f, f}, nil
			}
		}
	}
	return Kept{season, season}, nil
}

// startsGlued says whether an event follows the board from its glue-up.
func (m *Model) startsGlued(ev moisture.Event, c Conditions) (bool, error) {
	in, err := m.Setting(c)
	if err != nil {
		return false, err
	}
	// An event that starts at gluing hands back whatever it is given.
	for _, mc := range [2]float64{5, 15} {
		start, err := moisture.StartMoisture(ev, in, mc)
		if err != nil {
			return false, err
		}
		if start != mc {
			return false, nil
		}
	}
	return true, nil
}

// Setting is the air an exposure happens in.
func (m *Model) Setting(c Conditions) (moisture.Setting, error) {
	home, err := ClimateOf(m.Board, c)
	if err != nil {
		return moisture.Setting{}, err
	}
	return moisture.Setting{Home: home, Shop: m.Board.GlueUp}, nil
}
