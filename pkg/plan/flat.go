package plan

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
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

// flattening bends the board, bare, in the shop's own air, and adds what the saw and
// the clamps leave.
func (m *maker) flattening(p *Plan) error {
	l := m.ledger()
	bare := m.f.Clone()
	bare.Finish = "none"
	b, faults := bare.Board()
	if len(faults) > 0 {
		return faults
	}
	air := m.air()
	months := make([]moisture.Room, 12)
	for i := range months {
		months[i] = air
	}
	shop, err := moisture.FromMonths(months, "/shop")
	if err != nil {
		return err
	}
	change := -math.Min(nightChange, math.Floor(air.Humidity))
	c := check.Conditions{Climate: &shop, Cache: m.c.Cache, Budget: m.c.Budget, NoCracks: true, NoChance: true, NoCauses: true, ByStress: true,
		Events: []moisture.Event{{Name: "flat-on-dry-counter", Values: map[string]float64{"humidity_change": change, "days": nightDays, "after_days": 0.1}}}}
	r, err := check.Board(m.ctx, b, c)
	if err != nil {
		return err
	}
	e := r.Exposures[0]
	flat := &p.Flattening
	*flat = Flattening{Cup: math.Abs(e.Cup), Bow: math.Abs(e.Bow), Twist: math.Abs(e.Twist), Saw: l.use("stop"), Slip: l.use("slip"), Clean: 2 * l.use("clean-up")}
	bent := math.Max(flat.Cup, flat.Bow) + flat.Twist
	flat.Leave = math.Ceil(10*(bent+flat.Saw+flat.Slip+flat.Clean)) / 10
	flat.PerFace = flat.Leave / 2
	switch {
	case bent < 0.05:
		flat.Thinnest = "evenly: the board hardly bends in this shop"
	case flat.Twist > math.Max(flat.Cup, flat.Bow):
		flat.Thinnest = "at two opposite corners"
	case e.Cup < 0 || e.Bow < 0:
		flat.Thinnest = "in the middle of the upper face and at the edges of the lower"
	default:
		flat.Thinnest = "at the edges of the upper face and in the middle of the lower"
	}
	flat.Rule = fmt.Sprintf("leave = larger of cup and bow + twist + saw + slip + clean-up; cup, bow and twist of the bare board after %.0f h flat on the bench while the air of the shop (%.0f %%, %.0f °C) is %.0f %% drier, by the check", 24*nightDays, air.Humidity, air.Temperature, -change)
	flat.Safety = "End grain does not go through a thickness planer: drum sander, or a router sled with shallow passes and a chamfer on the far edge. Work from the edges inwards."
	flat.Figures = l.told()
	return nil
}
