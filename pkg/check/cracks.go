package check

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Crack is the coupled criterion on one path, a whole glue line or a split of the
// wood: a crack needs stress enough to start and energy enough to run, over one and
// the same stretch. Its utilisation is the load over the load at which both are met,
// of the stretch where it is highest.
type Crack struct {
	Utilisation float64    `json:"utilisation"`
	Verdict     Verdict    `json:"verdict"`
	Joints      []string   `json:"joints,omitempty"` // of a glue line, in order
	Pieces      []string   `json:"pieces,omitempty"` // that a split passes, in order
	From        layout.XY  `json:"from"`             // mm, ends of the path
	To          layout.XY  `json:"to"`
	TurnsAt     *layout.XY `json:"turns_at,omitempty"`   // mm, where it turns from one glue line into another
	Length      float64    `json:"length"`               // mm, of the path
	OpensFrom   *layout.XY `json:"opens_from,omitempty"` // mm, the stretch that opens; left out where nothing stresses the path
	OpensTo     *layout.XY `json:"opens_to,omitempty"`
	Size        float64    `json:"size"`    // mm, length of that stretch
	Stress      float64    `json:"stress"`  // its mean stress over strength
	Energy      float64    `json:"energy"`  // square root of the energy set free over the energy needed
	Release     float64    `json:"release"` // J/m² set free
	Needed      float64    `json:"needed"`  // J/m² needed at this share of sliding
	Sliding     float64    `json:"sliding"` // share of the energy that sliding sets free
	Governs     string     `json:"governs"` // "strength", "energy" or "both"
	How         string     `json:"how"`     // "opens", "slides", "wood splits"
	Weakest     string     `json:"weakest"` // what gives: "the wood of block 4 of row 3 (black walnut), rolling shear"
	Level       string     `json:"level"`
	State       string     `json:"state"` // end state or exposure
	Hour        float64    `json:"hour"`
	Text        string     `json:"text"` // one sentence
}

// tellCracks enters glue lines and splits into the report.
func (m reporter) tellCracks(r *Report, j *influence.Judged) {
	r.Lines = make([]Crack, 0, len(j.Lines)+len(j.Turns))
	for i := range j.Lines {
		r.Lines = append(r.Lines, m.alongGlue(j, &j.Lines[i]))
	}
	for i := range j.Turns {
		r.Lines = append(r.Lines, m.alongGlue(j, &j.Turns[i]))
	}
	r.Splits = []Crack{}
	for i := range j.Paths {
		p := &j.Paths[i]
		c := m.crackOf(&p.Path.Line, &p.LineMoment)
		u := 0.0
		seen := map[int]bool{}
		for _, lj := range p.Path.Line.Joints {
			jt := &p.Path.Joints[lj.Joint]
			if of := p.Path.Of[jt.A]; of == p.Path.Of[jt.B] && !seen[of] {
				seen[of] = true
				c.Pieces = append(c.Pieces, m.Board.Pieces[of].ID)
				u = math.Max(u, j.Pieces[of].Stress)
			}
		}
		if p.Load != nil {
			c.How = string(joint.Splits)
			lj := p.Path.Line.Joints[p.Result.Joint]
			_, mode := p.Capacity(lj.Joint).Named(0, p.Result.Opens)
			c.Weakest = m.gives(p.Opens(), mode)
		}
		c.Text = runs(c.Utilisation, u, m.length(c.Size, 0))
		r.Splits = append(r.Splits, c)
	}
	r.SplitsBound = j.PathBound
}

// alongGlue tells a glue line, or a path that turns from one into another.
func (m reporter) alongGlue(j *influence.Judged, at *influence.LineMoment) Crack {
	l := at.Path()
	c := m.crackOf(l, at)
	if l.Corner > 0 {
		via := roundXY(l.Via)
		c.TurnsAt = &via
	}
	u := 0.0
	for _, lj := range l.Joints {
		c.Joints = append(c.Joints, m.Board.Joints[lj.Joint].ID)
		u = math.Max(u, j.Joints[lj.Joint].D.Stress)
	}
	if at.Load != nil {
		c.How = string(joint.Slides)
		if at.Result.Opens {
			c.How = string(joint.Opens)
		}
		lj := l.Joints[at.Result.Joint]
		part := at.Result.Part
		if lj.Reversed {
			part = 3 - part
		}
		d := influence.Critical{}
		d.Part, d.Mode = m.Joints[lj.Joint].Capacity.Named(part, at.Result.Opens)
		c.Weakest = m.partName(lj.Joint, &d)
	}
	c.Text = runs(c.Utilisation, u, m.length(c.Size, 0))
	return c
}

// crackOf is what glue lines and splits tell alike.
func (m reporter) crackOf(l *layout.Line, at *influence.LineMoment) Crack {
	res := &at.Result
	c := Crack{Utilisation: res.V, Verdict: m.word(res.V), From: roundXY(l.From), To: roundXY(l.To), Length: l.Length,
		Size: res.To - res.From, Stress: res.Stress, Energy: res.Energy, Release: jPerM2 * res.Release, Needed: jPerM2 * res.Needed, Sliding: res.Sliding,
		Governs: string(res.Governs), State: at.State, Hour: at.Hour, Level: levelName(0)}
	if at.Load == nil {
		return c
	}
	place := func(s float64) *layout.XY {
		q := roundXY(l.Place(s))
		return &q
	}
	c.OpensFrom, c.OpensTo = place(res.From), place(res.To)
	c.Level = levelName(at.Level())
	return c
}

const jPerM2 = 1000 // of one N/mm

// runs tells what v means beside the stress u at the worst spot, for a crack of a size.
func runs(v, u float64, size string) string {
	switch {
	case v >= verdict.FromFails:
		return fmt.Sprintf("A crack of %s starts, and has the energy to run.", size)
	case u >= verdict.FromFails:
		return "May show a hairline at a corner, which stops: the energy to run is not there."
	case v < influence.Quiet:
		return "Nothing stresses it."
	}
	return fmt.Sprintf("A crack needs %.1f times this load.", 1/v)
}
