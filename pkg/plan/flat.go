package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Flattening is what the glued board stands out of flat, and what to leave for it.
type Flattening struct {
	Cup      float64  `json:"cup"`   // mm, after a night flat on the bench while the shop's air goes drier
	Bow      float64  `json:"bow"`   // mm, the same along the board
	Twist    float64  `json:"twist"` // mm
	Saw      float64  `json:"saw"`   // mm, slices off one stop differ
	Slip     float64  `json:"slip"`  // mm, pieces stand past each other
	Clean    float64  `json:"clean"` // mm, to make saw marks go, both faces
	Leave    float64  `json:"leave"` // mm in all: how much thicker than the board a slice is sawn
	PerFace  float64  `json:"per_face"`
	Stages   []Bent   `json:"stages"` // at each stage of the work
	Thinnest string   `json:"thinnest"`
	Rule     string   `json:"rule"`
	Safety   string   `json:"safety"`
	Figures  []Figure `json:"figures"`
}

// night is the exposure that bends a board on the bench: a night flat, the shop's air
// meanwhile drier by so many % of humidity.
const (
	nightDays   = 0.6
	nightChange = 10.0
)

// Bent is how far out of flat one stage of the work is.
type Bent struct {
	Name  string  `json:"name"` // "field", "with border 1"
	Cup   float64 `json:"cup"`  // mm, across; positive: edges up
	Bow   float64 `json:"bow"`  // mm, along
	Twist float64 `json:"twist"`
}

// flattening bends the board at each stage, bare, in the shop's own air, and adds what
// the saw and the clamps leave.
func (m *maker) flattening(p *Plan) error {
	l := m.ledger()
	flat := &p.Flattening
	*flat = Flattening{Clean: 2 * l.use("clean-up"), Stages: []Bent{}}
	if len(m.b.Joints) > 0 {
		flat.Saw, flat.Slip = l.use("stop"), l.use("slip")
	}
	air := m.shop.air()
	change := -math.Min(nightChange, math.Floor(air.Humidity))
	var worst Bent
	for k := 0; k <= len(m.f.Borders); k++ {
		b, err := m.bent(k, change)
		if err != nil {
			return err
		}
		if b == nil {
			continue
		}
		flat.Stages = append(flat.Stages, *b)
		if b.out() >= worst.out() {
			worst = *b
		}
	}
	flat.Cup, flat.Bow, flat.Twist = math.Abs(worst.Cup), math.Abs(worst.Bow), math.Abs(worst.Twist)
	flat.Leave = math.Ceil(10*(worst.out()+flat.Saw+flat.Slip+flat.Clean)) / 10
	flat.PerFace = flat.Leave / 2
	switch {
	case worst.out() < 0.05:
		flat.Thinnest = "nowhere in particular: the board hardly bends in this shop"
	case flat.Twist > math.Max(flat.Cup, flat.Bow):
		flat.Thinnest = "at two opposite corners"
	case worst.Cup < 0 || worst.Bow < 0:
		flat.Thinnest = "in the middle of the upper face and at the edges of the lower"
	default:
		flat.Thinnest = "at the edges of the upper face and in the middle of the lower"
	}
	flat.Rule = fmt.Sprintf("leave = larger of cup and bow + twist, at the stage that is worst, + saw + slip + clean-up; cup, bow and twist of the bare board at each stage after %.0f h flat on the bench while the air of the shop (%.0f %%, %.0f °C) is %.0f %% drier, by the check", 24*nightDays, air.Humidity, air.Temperature, -change)
	flat.Safety = "Take the same off both faces, and look at it with a straight edge along and across."
	if slices.ContainsFunc(m.b.Pieces, func(p layout.Piece) bool { return p.Grain.Up }) {
		flat.Safety = "End grain does not go through a thickness planer: drum sander, or a router sled with shallow passes and a chamfer on the far edge. Work from the edges inwards."
	}
	flat.Figures = l.told()
	return nil
}

// out is how far a stage stands out of flat, mm.
func (b *Bent) out() float64 {
	return math.Max(math.Abs(b.Cup), math.Abs(b.Bow)) + math.Abs(b.Twist)
}

// bent checks the board with its first borders on, for one night on the bench; nil
// for a stage that is no board by itself.
func (m *maker) bent(borders int, change float64) (*Bent, error) {
	f := m.f.Clone()
	f.Finish, f.FinishBottom, f.Ends, f.Renewed, f.Exposures, f.Borders = "none", "", "", nil, nil, f.Borders[:borders] // bare in the shop
	for id := range f.Pieces {
		for k := borders; k < len(m.f.Borders); k++ {
			if strings.HasPrefix(id, fmt.Sprintf("b%d.", k+1)) {
				delete(f.Pieces, id)
			}
		}
	}
	b, faults := f.Board()
	if len(faults) > 0 {
		if borders == len(m.f.Borders) {
			return nil, faults
		}
		return nil, nil // what has been measured after a rest, say, is not there yet
	}
	months := make([]moisture.Room, 12)
	for i := range months {
		months[i] = m.shop.air()
	}
	shop, err := moisture.FromMonths(months, "/shop")
	if err != nil {
		return nil, err
	}
	c := check.Conditions{Climate: &shop, Cache: m.c.Cache, Budget: m.c.Budget, NoCracks: true, NoChance: true, NoCauses: true, ByStress: true,
		Events: []moisture.Event{{Name: "flat-on-dry-counter", Values: map[string]float64{"humidity_change": change, "days": nightDays, "after_days": 0.1}}}}
	r, err := m.session.Board(m.ctx, b, c)
	if err != nil {
		return nil, err
	}
	e := r.Exposures[0]
	out := &Bent{Name: "field", Cup: e.Cup + 0, Bow: e.Bow + 0, Twist: e.Twist + 0} // no −0
	if borders > 0 {
		out.Name = fmt.Sprintf("with border %d", borders)
	}
	return out, nil
}
