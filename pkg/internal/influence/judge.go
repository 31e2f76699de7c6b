package influence

import (
	"context"
	"math"
)

// Quiet is the utilisation below which a board counts as not stressed at all:
// far below anything that matters, far above round-off.
const Quiet = 1e-6

// Moment is one joint at one moment; load is nil when it has none yet.
type Moment struct {
	Joint int // −1 when wood away from any glue line governs
	D     Demand
	Load  *Load
	State string  // name of the end state or exposure
	Hour  float64 // h from the start of the exposure, 0 for an end state
}

// Settled is one uniform state judged.
type Settled struct {
	EndState
	Swelling, load *Load   // as the wood moves, as stress remembers
	Width, Height  float64 // mm, change of the extent
	joints         []Demand
	inside         []float64
	Wood           insideResult
	Worst          int     // joint, −1 when none
	U              float64 // of the worst joint or wood
	Elastic        float64 // the same with no relaxation
}

func (m *Model) judge(e EndState) Settled {
	v := Settled{EndState: e, Worst: -1}
	v.Swelling, v.load = m.LoadOf(&e)
	v.Width, v.Height = m.sizeAt(v.Swelling)
	v.joints = make([]Demand, len(m.Joints))
	for j := range m.Joints {
		v.joints[j] = m.Worst(j, v.load)
		if v.joints[j].U > v.U {
			v.U, v.Worst = v.joints[j].U, j
		}
	}
	v.inside, v.Wood = m.Inside(v.load)
	v.U = math.Max(v.U, v.Wood.U)
	v.Elastic = v.U / e.left // u grows in proportion to the stress
	return v
}

// Judged is a board followed through everything the conditions ask for.
type Judged struct {
	States    []Settled
	Histories []*History
	Joints    []Moment     // every joint at its worst; no load where nothing stresses it
	Pieces    []woodMoment // the wood of every piece at its worst
	Press     Moment       // the joint pressed hardest; −1 when none is
	Worst     Moment       // the worst place of all, with the number −1 when wood governs
	Settled   int          // index of the state it stands in, −1 for none
	Course    int          // index of the history it stands in, −1 for none
}

// woodMoment is the wood of a piece at its worst.
type woodMoment struct {
	U     float64
	State string
}

// JudgeAll judges every end state and every exposure. Mishaps that came with a set
// have their own history and raise nothing else. Errors: those of the conditions,
// and the context's.
func (m *Model) JudgeAll(ctx context.Context, c Conditions) (*Judged, error) {
	ends, err := m.EndStates(c)
	if err != nil {
		return nil, err
	}
	events, err := m.Events(c)
	if err != nil {
		return nil, err
	}
	in, err := m.Setting(c)
	if err != nil {
		return nil, err
	}
	out := &Judged{Joints: make([]Moment, len(m.Joints)), Pieces: make([]woodMoment, len(m.Board.Pieces)), Press: Moment{Joint: -1}, Worst: Moment{Joint: -1}, Settled: -1, Course: -1}
	total := len(ends) + len(events)
	for i, e := range ends {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c.Step(i, total, e.Name)
		v := m.judge(e)
		out.States = append(out.States, v)
		for j := range v.joints {
			out.raise(&Moment{Joint: j, D: v.joints[j], Load: v.load, State: v.Name})
		}
		for p, u := range v.inside {
			if u > out.Pieces[p].U {
				out.Pieces[p] = woodMoment{u, v.Name}
			}
		}
		if v.U <= out.Worst.D.U {
			continue
		}
		out.Settled, out.Worst = i, Moment{Joint: -1, D: Demand{U: v.U}, Load: v.load, State: v.Name}
		if v.Wood.U < v.U {
			out.Worst.Joint, out.Worst.D = v.Worst, v.joints[v.Worst]
		}
	}
	for i, ev := range events {
		c.Step(len(ends)+i, total, ev.Name)
		co, err := m.Follow(ctx, ev, in)
		if err != nil {
			return nil, err
		}
		h, err := m.judgeCourse(ctx, co)
		if err != nil {
			return nil, err
		}
		out.Histories = append(out.Histories, h)
		if co.Aside {
			continue
		}
		for j := range h.joints {
			if h.joints[j].Load != nil {
				out.raise(&h.joints[j])
			}
		}
		if h.press.Joint >= 0 {
			out.pressed(&h.press)
		}
		if h.Worst >= 0 && h.Demand.U > out.Worst.D.U {
			out.Settled, out.Course = -1, i
			out.Worst = Moment{h.Worst, h.Demand, h.load, co.Name, h.Hour}
		}
	}
	return out, nil
}

// raise takes a moment of a joint when it is the worst so far.
func (j *Judged) raise(at *Moment) {
	if at.D.U >= math.Max(Quiet, j.Joints[at.Joint].D.U) {
		j.Joints[at.Joint] = *at
	}
	j.pressed(at)
}

func (j *Judged) pressed(at *Moment) {
	if at.D.Press >= Quiet && at.D.Press > j.Press.D.Press {
		j.Press = *at
	}
}

// Step tells how far the work has come.
func (c *Conditions) Step(done, total int, what string) {
	if c.Progress != nil {
		c.Progress(done, total, what)
	}
}
