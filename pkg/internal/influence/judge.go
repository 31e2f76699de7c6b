package influence

import (
	"context"
	"math"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
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
	inside         []WoodDemand // per piece; nil where the wood is not judged
	Wood           insideResult
	Worst          int        // joint, −1 when wood governs or nothing is stressed
	U              float64    // load over the one at which the worst crack starts and runs
	Elastic        float64    // the same with no relaxation
	Line           LineMoment // the worst glue line, by the coupled criterion
	Path           PathMoment // the worst split of the wood
	OutOfFlat      float64    // over its limit
}

func (m *Model) judge(e EndState, linesOnly bool) Settled {
	v := Settled{EndState: e, Worst: -1}
	v.Swelling, v.Load = m.LoadOf(&e)
	shape := m.shapeAt(v.Swelling)
	v.Width, v.Height, v.OutOfFlat = shape.width, shape.height, m.index(&shape)
	v.joints = make([]Critical, len(m.Joints))
	for j := range m.Joints {
		v.joints[j] = m.Worst(j, v.Load)
	}
	if !linesOnly {
		v.inside = m.woodAt(v.Load)
		v.Wood = worstInside(v.inside)
	}
	return v
}

// conclude tells a state by the worst crack of its glue lines and of its wood.
func (v *Settled) conclude(m *Model) {
	v.U, v.Worst = v.Line.Result.V, -1
	if v.Line.Load != nil {
		v.Worst = m.JointOf(&v.Line)
	}
	if verdict.Worse(v.Path.Result.V, v.U) {
		v.U, v.Worst, v.Wood = v.Path.Result.V, -1, v.Path.wood()
	}
	v.Elastic = v.U / v.left // one factor for all kinds, and v is of degree one in the load
}

// Judged is a board followed through everything it is asked to bear.
type Judged struct {
	Setting   moisture.Setting
	States    []Settled
	Histories []*ExposureResult
	Joints    []Moment     // every joint at its worst; no load where nothing stresses it
	Pieces    []woodMoment // the wood of every piece at its worst
	Lines     []LineMoment // every glue line at its worst, by the coupled criterion
	Turns     []LineMoment // paths that turn from one glue line into another and are worse than both
	Paths     []PathMoment // splits of the wood, by the coupled criterion, the worst places first
	PathBound float64      // what the wood of all other pieces and planes comes to at most
	Press     Moment       // the joint pressed hardest; −1 when none is
	Worst     Moment       // the worst place of all, with the number −1 when wood governs
	Settled   int          // index of the state it stands in, −1 for none
	History   int          // index of the history it stands in, −1 for none
	Wood      insideResult // the place, when wood governs
}

// woodMoment is the wood of a piece at its worst.
type woodMoment struct {
	U      float64
	Stress float64 // mean stress over strength
	State  string
}

// Judge judges every end state and every exposure. Mishaps that came with a set
// have their own history and raise nothing else. Progress may be nil. Errors:
// those of Demand.Check, and the context's.
func (m *Model) Judge(ctx context.Context, d *Demand, progress func(done, total int, what string)) (out *Judged, err error) {
	err = plate.Within(ctx, "judge", func(ctx context.Context) (err error) {
		out, err = m.judgeAll(ctx, d, progress)
		return err
	})
	return out, err
}

func (m *Model) judgeAll(ctx context.Context, d *Demand, progress func(done, total int, what string)) (*Judged, error) {
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
	out := m.newJudged()
	out.Setting = in
	step := func(done int, what string) {
		if progress != nil {
			progress(done, len(ends)+len(exposures), what)
		}
	}
	ahead, stop := m.followAll(ctx, exposures, in, d.ByStress)
	defer stop()
	sweep := m.newLineSweep()
	for i, e := range ends {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step(i, e.Name)
		v := m.judge(e, m.solved.Joints)
		if !d.ByStress {
			if v.Line, err = sweep.over(ctx, []*Load{v.Load}, e.Name, []float64{0}, true); err != nil {
				return nil, err
			}
		}
		out.addState(v)
	}
	for i, e := range exposures {
		step(len(ends)+i, e.ID())
		h, err := ahead(i)
		if err != nil {
			return nil, err
		}
		if !d.ByStress && !h.LoadHistory.Aside() {
			if h.Line, err = sweep.over(ctx, h.loads, h.LoadHistory.ID(), h.LoadHistory.Times, true); err != nil {
				return nil, err
			}
			h.End = sweep.end
		}
		out.addHistory(h)
	}
	if d.ByStress {
		out.concludeByStress()
		return out, nil
	}
	out.Lines = sweep.best
	if err := m.judgeBesides(ctx, out); err != nil {
		return nil, err
	}
	return out, out.conclude(ctx, m)
}

// judgeBesides looks for cracks that turn and for splits of the wood, which know nothing
// of each other: at once where there are workers. On a large board that is not kept the
// stiffness of its glue lines makes room for the boards that are cut. Errors: the context's.
func (m *Model) judgeBesides(ctx context.Context, out *Judged) error {
	loads := m.loadsOf(out)
	spare := m.large() && m.laid == nil
	if m.solved.Workers < 2 || spare {
		if err := m.judgeTurns(ctx, out); err != nil {
			return err
		}
		if spare {
			m.forgetLines()
		}
		return m.judgePaths(ctx, out, loads)
	}
	var group sync.WaitGroup
	var turns error
	group.Go(func() { turns = m.judgeTurns(ctx, out) })
	splits := m.judgePaths(ctx, out, loads)
	group.Wait()
	if turns != nil {
		return turns
	}
	return splits
}

// followAll gives the exposures one by one, followed and judged by all but the cracks of
// whole lines where they count, for those take the worst of earlier ones into account;
// with several workers another is ahead of what is asked for, until stop. Errors: those of
// Follow, and the context's.
func (m *Model) followAll(ctx context.Context, exposures []moisture.Event, in moisture.Setting, byStress bool) (ahead func(i int) (*ExposureResult, error), stop func()) {
	one := func(i int) (*ExposureResult, error) {
		c, err := m.Follow(ctx, exposures[i], in)
		if err != nil {
			return nil, err
		}
		h, err := m.judgeExposure(ctx, c)
		if err == nil && !byStress {
			h.Faces, err = m.judgeFaces(ctx, c, h.loads)
		}
		if err == nil && !byStress && c.Aside() {
			sweep := m.newLineSweep()
			h.Line, err = sweep.over(ctx, h.loads, c.ID(), c.Times, false)
			h.End = sweep.end
		}
		return h, err
	}
	if m.solved.Workers < 2 {
		return one, func() {}
	}
	ctx, stop = context.WithCancel(ctx)
	type followed struct {
		h   *ExposureResult
		err error
	}
	ready := make(chan followed, len(exposures))
	go func() {
		for i := range exposures {
			h, err := one(i)
			select {
			case ready <- followed{h, err}:
			case <-ctx.Done():
				return
			}
		}
	}()
	return func(int) (*ExposureResult, error) {
		select {
		case f := <-ready:
			return f.h, f.err
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}, stop
}

func (m *Model) newJudged() *Judged {
	return &Judged{Joints: make([]Moment, len(m.Joints)), Pieces: make([]woodMoment, len(m.Board.Pieces)),
		Press: Moment{Joint: -1}, Worst: Moment{Joint: -1}, Settled: -1, History: -1}
}

// judgeEnds judges end states alone; linesOnly leaves the wood out. Errors: the context's.
func (m *Model) judgeEnds(ctx context.Context, ends []EndState, linesOnly bool) (*Judged, error) {
	out, sweep := m.newJudged(), m.newLineSweep()
	for _, e := range ends {
		v := m.judge(e, linesOnly)
		var err error
		if v.Line, err = sweep.over(ctx, []*Load{v.Load}, e.Name, []float64{0}, true); err != nil {
			return nil, err
		}
		out.addState(v)
	}
	out.Lines = sweep.best
	if err := m.judgeTurns(ctx, out); err != nil {
		return nil, err
	}
	if !linesOnly {
		if err := m.judgePaths(ctx, out, m.loadsOf(out)); err != nil {
			return nil, err
		}
	}
	return out, out.conclude(ctx, m)
}

// concludeByStress tells everything by stress over strength.
func (j *Judged) concludeByStress() {
	for i := range j.Joints {
		j.Joints[i].D.Stress = j.Joints[i].D.U
		if at := &j.Joints[i]; at.Load != nil && verdict.Worse(at.D.U, j.Worst.D.U) {
			j.Worst = *at
		}
	}
	for i := range j.States {
		v := &j.States[i]
		for k := range v.joints {
			if verdict.Worse(v.joints[k].U, v.U) {
				v.U, v.Worst = v.joints[k].U, k
			}
		}
		if verdict.Worse(v.Wood.U, v.U) {
			v.U, v.Worst = v.Wood.U, -1
		}
		v.Elastic = v.U / v.left
		if v.Worst < 0 && verdict.Worse(v.U, j.Worst.D.U) {
			j.Worst, j.Wood = Moment{Joint: -1, D: Critical{U: v.U, Stress: v.U, How: joint.Splits}, Load: v.Load, State: v.Name}, v.Wood
		}
	}
	j.stand()
}

// conclude tells everything by the worst cracks, now that all are known. Errors: the context's.
func (j *Judged) conclude(ctx context.Context, m *Model) error {
	for i := range j.States {
		j.States[i].conclude(m)
	}
	known := map[int]*pieceUnits{} // several histories often split one piece
	of := func(piece int) (n *pieceUnits, err error) {
		if n = known[piece]; n == nil {
			n, err = m.near(ctx, []int{piece})
			known[piece] = n
		}
		return n, err
	}
	for _, h := range j.Histories {
		if err := h.conclude(ctx, m, of); err != nil {
			return err
		}
	}
	j.settleJoints(m)
	j.settlePieces()
	for _, all := range [2][]LineMoment{j.Lines, j.Turns} {
		for i := range all {
			if l := &all[i]; l.Load != nil && verdict.Worse(l.Result.V, j.Worst.D.U) {
				j.Worst = m.MomentOf(l)
			}
		}
	}
	for i := range j.Paths {
		if p := &j.Paths[i]; p.Load != nil && verdict.Worse(p.Result.V, j.Worst.D.U) {
			j.Worst = Moment{Joint: -1, D: Critical{U: p.Result.V, Stress: p.Result.Stress, How: joint.Splits}, Load: p.Load, State: p.State, Hour: p.Hour}
			j.Wood = p.wood()
		}
	}
	j.stand()
	return nil
}

// stand tells in which state or history the worst place of all stands.
func (j *Judged) stand() {
	for i := range j.States {
		if j.Worst.Load != nil && j.States[i].Name == j.Worst.State {
			j.Settled = i
		}
	}
	for i, h := range j.Histories {
		if j.Worst.Load != nil && h.LoadHistory.ID() == j.Worst.State {
			j.Settled, j.History = -1, i
		}
	}
}

// JointOf is the joint that bears most of a line's crack.
func (m *Model) JointOf(l *LineMoment) int {
	return l.lm.Line.Joints[l.Result.Joint].Joint
}

// bear tells a joint that it bears most of a crack.
func (m *Model) bear(d *Critical, l *LineMoment) {
	r := &l.Result
	lj := l.lm.Line.Joints[r.Joint]
	part := r.Part
	if lj.Reversed {
		part = fracture.Parts - 1 - part
	}
	d.U, d.Crack, d.How, d.Level = r.V, l, joint.Slides, l.Level()
	if r.Opens {
		d.How = joint.Opens
	}
	d.Part, d.Mode = m.Joints[lj.Joint].Capacity.Named(part, r.Opens)
}

// MomentOf is the joint that bears most of the crack of a line, at the moment of that
// crack.
func (m *Model) MomentOf(l *LineMoment) Moment {
	j := m.JointOf(l)
	d := m.Worst(j, l.Load)
	d.Stress = d.U
	m.bear(&d, l)
	return Moment{Joint: j, D: d, Load: l.Load, State: l.State, Hour: l.Hour}
}

// settleJoints lowers what stress alone asks of the joints to what the worst crack of
// their line bears out, or of a path that turns through them where that is worse: exact
// for the joint that bears most of that crack, for the others an upper bound of every
// crack that stays within them.
func (j *Judged) settleJoints(m *Model) {
	for i := range j.Lines {
		l := &j.Lines[i]
		for _, lj := range m.Lines[i].Line.Joints {
			d := &j.Joints[lj.Joint].D
			d.Stress, d.U = d.U, min(d.U, l.Result.V)
		}
		if l.Load == nil {
			continue
		}
		at := m.MomentOf(l)
		j.Joints[at.Joint] = at
	}
	for i := range j.Turns {
		if l := &j.Turns[i]; verdict.Worse(l.Result.V, j.Joints[m.JointOf(l)].D.U) {
			at := m.MomentOf(l)
			j.Joints[at.Joint] = at
		}
	}
	for i := range j.Turns {
		for _, lj := range j.Turns[i].lm.Line.Joints {
			d := &j.Joints[lj.Joint].D
			if v := min(d.Stress, j.Turns[i].Result.V); verdict.Worse(v, d.U) {
				d.U, d.Crack, d.Bound = v, nil, &j.Turns[i]
			}
		}
	}
}

// settlePieces tells the wood of every piece: the v of a path laid in it, and of the
// others their stress times what the worst path has of its own, an estimate, and no more
// than the worst path, which runs where a split is likeliest.
func (j *Judged) settlePieces() {
	for i := range j.Pieces {
		j.Pieces[i].Stress = j.Pieces[i].U
	}
	share, most := j.WoodShare()
	for i := range j.Pieces {
		j.Pieces[i].U = min(share*j.Pieces[i].Stress, most)
	}
	for i := len(j.Paths) - 1; i >= 0; i-- { // the worst stands first
		if p := &j.Paths[i]; p.Load != nil {
			j.Pieces[p.Piece].U, j.Pieces[p.Piece].State = p.Result.V, p.State
		}
	}
}

// WoodShare is the largest share (dimensionless) that the v of a path laid in a piece has of
// the stress over strength of that piece, and the largest such v; 1 and no limit where no
// path was laid.
func (j *Judged) WoodShare() (share, most float64) {
	if len(j.Paths) == 0 {
		return 1, math.Inf(1)
	}
	for i := range j.Paths {
		p := &j.Paths[i]
		if s := j.Pieces[p.Piece].Stress; s > 0 && p.Result.V > 0 {
			share = max(share, min(1, p.Result.V/s))
			most = max(most, p.Result.V)
		}
	}
	return share, most
}

func (j *Judged) addState(v Settled) {
	j.States = append(j.States, v)
	for k := range v.joints {
		j.raise(&Moment{Joint: k, D: v.joints[k], Load: v.Load, State: v.Name})
	}
	for p := range v.inside {
		u := v.inside[p].U
		if verdict.Worse(u, j.Pieces[p].U) {
			j.Pieces[p] = woodMoment{U: u, State: v.Name}
		}
	}
}

func (j *Judged) addHistory(h *ExposureResult) {
	j.Histories = append(j.Histories, h)
	if h.LoadHistory.Aside() {
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
