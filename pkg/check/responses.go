package check

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// Responses tells how fast every kind of piece follows the air, both faces free:
// the hours until half and until 90 % of its change is done when a room goes from
// dry to damp (35 to 65 % humidity at 20 °C, the same step for every board, so
// that boards compare). The error is a fault when ctx ends first.
func (m *Model) Responses(ctx context.Context) ([]Reply, error) {
	const dry, damp, temperature = 35, 65, 20
	var out []Reply
	seen := map[string]bool{}
	for k := range m.kinds {
		kd := &m.kinds[k]
		if seen[kd.name] { // the moisture at gluing does not matter here
			continue
		}
		seen[kd.name] = true
		col := moisture.Column{Species: kd.species, Along: kd.up, Thickness: m.board.Thickness, Finish: m.board.Finish, M0: kd.start}
		half, ninety, err := moisture.ResponseTimes(ctx, col, dry, damp, temperature)
		if err != nil {
			return nil, err
		}
		r := Reply{Kind: kd.name, Half: within(half), Ninety: within(ninety)}
		if r.Half == nil || r.Ninety == nil {
			r.BeyondYears = moisture.LongestResponse / moisture.HoursPerYear
		}
		out = append(out, r)
	}
	return out, nil
}

// within is a time [h], nil for one too long to have been followed.
func within(hours float64) *float64 {
	if math.IsInf(hours, 1) {
		return nil
	}
	return &hours
}
