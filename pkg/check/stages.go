package check

import (
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Stage is one glue-up of a board that is glued in stages. A joint is free of stress
// when it is glued; what moves until the next glue-up strains what is glued by then,
// and what that brings stays in the board.
type Stage struct {
	Name     string             `json:"name"`             // "the field", "border 1"
	Days     float64            `json:"days"`             // that what was glued before has rested
	Joints   int                `json:"joints"`           // glued now
	Moisture map[string]float64 `json:"moisture"`         // % MC by stock when it is glued, mean over the area
	Share    float64            `json:"share"`            // of the worst place's load, what moves from now to the next glue-up, of the last all from then on; they sum to 1, a negative one eases it
	Stress   float64            `json:"stress,omitempty"` // stress over strength at the worst joint when it has rested, had nothing eased
	Joint    string             `json:"joint,omitempty"`  // that joint
}

// stages tells the glue-ups; none of a board glued in one go.
func (m reporter) stages(j *influence.Judged) []Stage {
	var out []Stage
	for _, g := range m.GlueUps(j) {
		s := Stage{Name: g.Name, Days: g.Rest.Days, Joints: len(g.Joints), Moisture: map[string]float64{}, Share: g.Share, Stress: g.Stress}
		if g.Joint >= 0 {
			s.Joint = m.Board.Joints[g.Joint].ID
		}
		area := map[string]float64{}
		for k, i := range g.Pieces {
			pc := &m.Board.Pieces[i]
			area[pc.Stock] += pc.Area
			s.Moisture[pc.Stock] += pc.Area * g.Moisture[k]
		}
		for key, a := range area {
			s.Moisture[key] /= a
		}
		out = append(out, s)
	}
	return out
}
