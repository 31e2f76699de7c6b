package moisture

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Patch is the part of a face that an event wets or heats: a rectangle, or a circle. Lengths are
// those of its board file, and mm once the board is laid out, from the lower left corner
// of the board.
type Patch struct {
	Centre [2]float64
	Size   [2]float64 // of a rectangle, along x and y
	Radius float64    // of a circle
}

// MarshalJSON writes a patch as a board file tells it.
func (p Patch) MarshalJSON() ([]byte, error) {
	if p.Radius != 0 {
		return json.Marshal(map[string]any{"centre": p.Centre, "radius": p.Radius})
	}
	return json.Marshal(map[string]any{"centre": p.Centre, "size": p.Size})
}

// String tells a patch that is in mm.
func (p Patch) String() string {
	if p.Radius > 0 {
		return fmt.Sprintf("a patch of radius %.4g mm round %.4g, %.4g", p.Radius, p.Centre[0], p.Centre[1])
	}
	return fmt.Sprintf("a patch of %.4g × %.4g mm round %.4g, %.4g", p.Size[0], p.Size[1], p.Centre[0], p.Centre[1])
}

// Scaled is a patch with all lengths times a factor (dimensionless).
func (p Patch) Scaled(f float64) Patch {
	for i := range 2 {
		p.Centre[i] *= f
		p.Size[i] *= f
	}
	p.Radius *= f
	return p
}

// half is half of its extent along x and y.
func (p Patch) half() (h [2]float64) {
	if p.Radius > 0 {
		return [2]float64{p.Radius, p.Radius}
	}
	return [2]float64{p.Size[0] / 2, p.Size[1] / 2}
}

// roundSides is the number of sides by which a circle is cut out: their area is 0.04 %
// less than the circle's.
const roundSides = 128

// Outline are its corners [mm], counter-clockwise; a circle is a polygon of the same area.
func (p Patch) Outline() [][2]float64 {
	if p.Radius > 0 {
		step := 2 * math.Pi / roundSides
		r := p.Radius * math.Sqrt(step/math.Sin(step))
		out := make([][2]float64, roundSides)
		for i := range out {
			s, c := math.Sincos(float64(i) * step)
			out[i] = [2]float64{p.Centre[0] + r*c, p.Centre[1] + r*s}
		}
		return out
	}
	h, c := p.half(), p.Centre
	return [][2]float64{{c[0] - h[0], c[1] - h[1]}, {c[0] + h[0], c[1] - h[1]}, {c[0] + h[0], c[1] + h[1]}, {c[0] - h[0], c[1] + h[1]}}
}

// patchEdge is how far a patch may stand over the edge of a board, mm: round-off of
// inches.
const patchEdge = 1e-6

// Within lists what keeps a patch from lying on a board of a width and a height [mm]:
// one fault, or none. Pointers are relative to the patch.
func (p Patch) Within(width, height float64) fault.List {
	h := p.half()
	for i, board := range [2]float64{width, height} {
		key := [2]string{"/size/0", "/size/1"}[i]
		if p.Radius != 0 {
			key = "/radius"
		}
		if !(h[i] > 0) || math.IsInf(h[i], 1) {
			found := p.Size[i]
			if p.Radius != 0 {
				found = p.Radius
			}
			return fault.List{{Rule: fault.OutOfRange, Pointer: key, Detail: "a patch needs an extent", Found: fmt.Sprintf("%g mm", found), Allowed: "above 0 mm"}}
		}
		if at := p.Centre[i]; !(at-h[i] >= -patchEdge && at+h[i] <= board+patchEdge) {
			return fault.List{{Rule: fault.OutOfRange, Pointer: fmt.Sprintf("/centre/%d", i), Detail: "the patch reaches beyond the board",
				Found: fmt.Sprintf("%.4g to %.4g mm", at-h[i], at+h[i]), Allowed: fmt.Sprintf("0 to %.4g mm", board)}}
		}
	}
	return nil
}

// Outside are the phases of an event where its patch does not reach: the air of the room
// instead of water or of heat, or a dry counter instead of a wet one.
func Outside(phases []Phase) []Phase {
	out := make([]Phase, len(phases))
	for i, p := range phases {
		for _, f := range []*Face{&p.Top, &p.Bottom} {
			switch f.Kind {
			case Water:
				f.Kind = Air
			case OnWetCounter:
				f.Kind = OnDryCounter
			}
			if f.Beside != nil {
				f.Room = *f.Beside
			}
			f.Supply, f.Beside = 0, nil
		}
		out[i] = p
	}
	return out
}
