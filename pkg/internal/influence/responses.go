package influence

import (
	"context"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// response tells how fast a kind of piece follows a change of air.
type response struct {
	Kind         string
	Half, Ninety float64 // h; +Inf when longer than moisture.LongestResponse
}

// Responses tells how fast every kind of piece follows the air, both faces free:
// the hours until half and until 90 % of its change is done when a room goes from
// dry to damp (35 to 65 % humidity at 20 °C, the same step for every board, so
// that boards compare). The error is a fault when ctx ends first.
func (m *Model) Responses(ctx context.Context) ([]response, error) {
	const dry, damp, temperature = 35, 65, 20
	var out []response
	seen := map[string]bool{}
	for k := range m.Kinds {
		kd := &m.Kinds[k]
		if seen[kd.Name] { // the moisture at gluing does not matter here
			continue
		}
		seen[kd.Name] = true
		col := m.Column(k, kd.Start)
		half, ninety, err := moisture.ResponseTimes(ctx, col, dry, damp, temperature)
		if err != nil {
			return nil, err
		}
		out = append(out, response{Kind: kd.Name, Half: half, Ninety: ninety})
	}
	return out, nil
}
