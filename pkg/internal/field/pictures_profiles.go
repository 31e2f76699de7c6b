package field

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Profile is the moisture through the thickness of one kind of piece.
type Profile struct {
	Kind string
	Hour float64   // h from the start of the exposure
	Z    []float64 // mm from the mid-plane, rising
	MC   []float64 // % MC
}

// Profiles gives the moisture through the thickness of every kind of piece in an
// exposure of the conditions, at the kept times nearest to hours [h]; nil hours
// takes the start, the ends of its phases, and some between, at most six in all.
// Errors: a fault of
// rule unknown-name at "/exposure", and those of Report.
func (m Board) Profiles(ctx context.Context, d *influence.Demand, exposure string, hours []float64) ([]Profile, error) {
	ev, in, names, err := m.eventOf(d, exposure)
	if err != nil {
		return nil, err
	}
	if ev == nil {
		return nil, fault.List{{Rule: fault.UnknownName, Pointer: "/exposure", Detail: "the check has no such exposure", Found: exposure,
			Nearest: fault.Nearest(exposure, names, 3)}}
	}
	phases, err := moisture.Expand(*ev, in)
	if err != nil {
		return nil, err
	}
	if len(hours) == 0 {
		hours = tellingHours(phases)
	}
	var out []Profile
	kinds := m.KindNames()
	for k := range m.Kinds {
		kd := &m.Kinds[k]
		start, err := moisture.StartMoisture(*ev, in, kd.Start)
		if err != nil {
			return nil, err
		}
		col := m.Column(k, start)
		h, err := moisture.Simulate(ctx, col, phases, moisture.Options{Profiles: true})
		if err != nil {
			return nil, err
		}
		last := -1
		for _, want := range hours {
			at := 0
			for i, t := range h.Times {
				if math.Abs(t-want) < math.Abs(h.Times[at]-want) {
					at = i
				}
			}
			if at != last {
				out = append(out, Profile{kinds[k], h.Times[at], h.Z, h.Profiles[at]})
			}
			last = at
		}
	}
	return out, nil
}

// tellingHours picks times that show how moisture travels: the start, and evenly
// many in and at the end of every phase.
func tellingHours(phases []moisture.Phase) []float64 {
	const most = 6
	out := []float64{0}
	t := 0.0
	inside := len(phases) <= 2 // few phases: show their beginnings too
	step := max(1, (len(phases)+most-2)/(most-1))
	for i, p := range phases {
		if inside {
			out = append(out, t+0.2*p.Hours)
		}
		t += p.Hours
		if (i+1)%step == 0 || i == len(phases)-1 {
			out = append(out, t)
		}
	}
	return out
}
