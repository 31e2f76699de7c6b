package influence

import (
	"context"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// Response tells how fast a kind of piece follows a change of air.
type Response struct {
	Kind         string
	Half, Ninety float64 // h; +Inf when longer than moisture.LongestResponse
	kind         int
}

// The change of air by which boards are compared: from a dry room to a damp one, % and °C.
const responseDry, responseDamp, responseTemperature = 35, 65, 20

// Responses tells how fast every kind of piece follows the air, both faces free:
// the hours until half and until 90 % of its change is done when a room goes from
// dry to damp (35 to 65 % humidity at 20 °C, the same step for every board, so
// that boards compare). The error is a fault when ctx ends first.
func (m *Model) Responses(ctx context.Context) ([]Response, error) {
	var out []Response
	seen := map[string]bool{}
	for k := range m.Kinds {
		kd := &m.Kinds[k]
		if seen[kd.Name] { // the moisture at gluing does not matter here
			continue
		}
		seen[kd.Name] = true
		half, ninety, err := moisture.ResponseTimes(ctx, m.Column(k, kd.Start), responseDry, responseDamp, responseTemperature)
		if err != nil {
			return nil, err
		}
		out = append(out, Response{Kind: kd.Name, Half: half, Ninety: ninety, kind: k})
	}
	return out, nil
}

// Slab is what a response rests on, for the sum by hand.
type Slab struct {
	Dry, Damp   float64 // %, the humidity before and after
	Temperature float64 // °C
	Thickness   float64 // mm
	Diffusion   float64 // mm²/h, through the thickness at the moisture half-way
	Emission    float64 // mm/h, of a face, mean of both
}

// SlabOf gives that of a kind of piece. Errors: as of moisture.Column.Slab.
func (m *Model) SlabOf(r *Response) (Slab, error) {
	d, s, err := m.Column(r.kind, m.Kinds[r.kind].Start).Slab(moisture.Room{Humidity: (responseDry + responseDamp) / 2, Temperature: responseTemperature})
	return Slab{responseDry, responseDamp, responseTemperature, m.Board.Thickness, d, s}, err
}
