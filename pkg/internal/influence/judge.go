package influence

import (
	"context"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Quiet is the utilisation below which a board counts as not stressed at all:
// far below anything that matters, far above round-off.
const Quiet = 1e-6

// Moment is one joint at one moment; load is nil when it has none yet.
type Moment struct {
	Joint int // −1 when wood away from any glue line governs
	D     Critical
	Load  *Load
	State string  // name of the end state or exposure
	Hour  float64 // h from the start of the exposure, 0 for an end state
}

// Settled is one uniform state judged.
type Settled struct {
	EndState
	Swelling, Load *Load   // as the wood moves, as stress remembers
	Width, Height  float64 // mm, change of the extent
	joints         []Critical
	inside         []float64
	Wood           insideResult
	Worst          int        // joint, −1 when wood governs or nothing is stressed
	U              float64    // of the worst joint or wood
	Elastic        float64    // the same with no relaxation
	Line           LineMoment // the worst glue line, by the coupled criterion
	Path           PathMoment // the worst split of the wood
}

func (m *Model) judge(e EndState) Settled {
	v := Settled{EndState: e, Worst: -1}
	v.Swelling, v.Load = m.LoadOf(&e)
	v.Width, v.Height = m.sizeAt(v.Swelling)
	v.joints = make([]Critical, len(m.Joints))
	for j := range m.Joints {
		v.joints[j] = m.Worst(j, v.Load)
		if verdict.Worse(v.joints[j].U, v.U) {
			v.U, v.Worst = v.joints[j].U, j
		}
	}
	v.inside, v.Wood = m.Inside(v.Load)
	if verdict.Worse(v.Wood.U, v.U) {
		v.U, v.Worst = v.Wood.U, -1
	}
	v.Elastic = v.U / e.left // one factor for all kinds, and u grows in proportion
	return v
}

// Judged is a board followed through everything it is asked to bear.
type Judged struct {
	Setting   moisture.Setting
	States    []Settled
	Histories []*History
	Joints    []Moment     // every joint at its worst; no load where nothing stresses it
	Pieces    []woodMoment // the wood of every piece at its worst
	Lines     []LineMoment // every glue line at its worst, by the coupled criterion
	Paths     []PathMoment // splits of the wood, by the coupled criterion, the worst places first
	PathBound float64      // the wood of all other pieces and planes has no v above this
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

// Judge judges every end state and every exposure. Mishaps that came with a set
// have their own history and raise nothing else. Progress may be nil. Errors:
// those of Demand.Check, and the context's.
func (m *Model) Judge(ctx context.Context, d *Demand, progress func(done, total int, what string)) (*Judged, error) {
	ends, err := m.EndStates(d)
	if err != nil {
		return nil, err
	}
	exposures, err := d.Exposures(m.Board)
	if err != nil {
		return nil, err
	}
	in, err := d.Setting(m.Board)
	if err != nil {
		return nil, err
	}
	out := &Judged{Setting: in, Joints: make([]Moment, len(m.Joints)), Pieces: make([]woodMoment, len(m.Board.Pieces)),
		Press: Moment{Joint: -1}, Worst: Moment{Joint: -1}, Settled: -1, Course: -1}
	step := func(done int, what string) {
		if progress != nil {
			progress(done, len(ends)+len(exposures), what)
		}
	}
	sweep := m.newLineSweep()
	for i, e := range ends {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step(i, e.Name)
		v := m.judge(e)
		if !d.NoCracks {
			if v.Line, err = sweep.over(ctx, []*Load{v.Load}, e.Name, []float64{0}, true); err != nil {
				return nil, err
			}
		}
		out.addState(v)
	}
	for i, e := range exposures {
		step(len(ends)+i, e.ID())
		co, err := m.Follow(ctx, e, in)
		if err != nil {
			return nil, err
		}
		h, err := m.judgeCourse(ctx, co)
		if err != nil {
			return nil, err
		}
		if !d.NoCracks {
			if h.Line, err = sweep.over(ctx, h.loads, co.ID(), co.Times, !co.Aside()); err != nil {
				return nil, err
			}
		}
		out.addHistory(h)
	}
	if !d.NoCracks {
		out.Lines = sweep.best
		if err := m.judgePaths(ctx, out); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (j *Judged) addState(v Settled) {
	j.States = append(j.States, v)
	for k := range v.joints {
		j.raise(&Moment{Joint: k, D: v.joints[k], Load: v.Load, State: v.Name})
	}
	for p, u := range v.inside {
		if verdict.Worse(u, j.Pieces[p].U) {
			j.Pieces[p] = woodMoment{u, v.Name}
		}
	}
	if !verdict.Worse(v.U, j.Worst.D.U) {
		return
	}
	j.Settled, j.Worst = len(j.States)-1, Moment{Joint: v.Worst, D: Critical{U: v.U}, Load: v.Load, State: v.Name}
	if v.Worst >= 0 {
		j.Worst.D = v.joints[v.Worst]
	}
}

func (j *Judged) addHistory(h *History) {
	j.Histories = append(j.Histories, h)
	if h.Course.Aside() {
		return
	}
	for k := range h.joints {
		if h.joints[k].Load != nil {
			j.raise(&h.joints[k])
		}
	}
	if h.press.Joint >= 0 {
		j.pressed(&h.press)
	}
	if h.Worst >= 0 && verdict.Worse(h.Critical.U, j.Worst.D.U) {
		j.Settled, j.Course = -1, len(j.Histories)-1
		j.Worst = Moment{h.Worst, h.Critical, h.load, h.Course.ID(), h.Hour}
	}
}

// raise takes a moment of a joint when it is the worst so far.
func (j *Judged) raise(at *Moment) {
	if at.D.U >= Quiet && verdict.Worse(at.D.U, j.Joints[at.Joint].D.U) {
		j.Joints[at.Joint] = *at
	}
	j.pressed(at)
}

func (j *Judged) pressed(at *Moment) {
	if at.D.Press >= Quiet && verdict.Worse(at.D.Press, j.Press.D.Press) {
		j.Press = *at
	}
}
