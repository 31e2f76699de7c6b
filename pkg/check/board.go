package check

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// quiet is the utilisation below which a board counts as not stressed at all:
// far below anything that matters, far above round-off.
const quiet = 1e-6

// work is a report in the making.
type work struct {
	r      *Report
	worst  governing
	joints []governing // the worst moment of every joint
}

// Board judges a board under conditions.
//
// Errors: fault.List or fault.Fault for what the user can mend, the context's
// own error when time ran out. A Report never holds NaN or infinity.
func Board(ctx context.Context, b *layout.Board, c Conditions) (*Report, error) {
	m, err := Prepare(ctx, b, c)
	if err != nil {
		return nil, err
	}
	return m.Report(ctx, c)
}

// Prepare does the part of a check that does not depend on moisture: geometry,
// stiffness and the influence of every kind of piece. Bending is left out when
// the conditions ask for no exposures.
func Prepare(ctx context.Context, b *layout.Board, c Conditions) (*Model, error) {
	bending := !(len(c.Exposures) == 1 && c.Exposures[0] == NoExposures)
	return build(ctx, b, c, bending)
}

// governing is the worst found so far.
type governing struct {
	worst *Worst
	joint int // −1 when wood governs
	d     demand
	load  *load
}

// verdictState is one uniform state judged.
type verdictState struct {
	endState
	swelling, load *load   // as the wood moves, as stress remembers
	width, height  float64 // mm, change of the extent
	joints         []demand
	inside         []float64
	wood           insideResult
	worst          int     // joint, −1 when none
	u              float64 // of the worst joint or wood
	elastic        float64 // the same with no relaxation
}

func (m *Model) judge(e endState) verdictState {
	v := verdictState{endState: e, worst: -1}
	v.swelling, v.load = m.loadOf(&e)
	v.width, v.height = m.sizeAt(v.swelling)
	v.joints = make([]demand, len(m.joints))
	for j := range m.joints {
		v.joints[j] = m.worst(j, v.load)
		if v.joints[j].u > v.u {
			v.u, v.worst = v.joints[j].u, j
		}
	}
	v.inside, v.wood = m.inside(v.load)
	v.u = math.Max(v.u, v.wood.u)
	v.elastic = v.u
	if e.slow && v.load.mean[0] != 0 {
		v.elastic *= v.swelling.mean[0] / v.load.mean[0] // one factor for all kinds, and u grows in proportion
	}
	return v
}

// Report judges the prepared board. It may be called again with other
// conditions of moisture; a second call costs no factorisation.
func (m *Model) Report(ctx context.Context, c Conditions) (*Report, error) {
	ends, err := m.endStates(c)
	if err != nil {
		return nil, err
	}
	events, err := m.events(c)
	if err != nil {
		return nil, err
	}
	b := m.board
	r := &Report{Name: b.Name, Units: b.Units, Width: b.Width, Height: b.Height, Thickness: b.Thickness,
		Size:  Range{b.Width, b.Width, b.Height, b.Height},
		Model: ModelFacts{Pieces: len(b.Pieces), Joints: len(b.Joints), Elements: len(m.Mesh.Elements), Nodes: len(m.Mesh.Nodes), Unknowns: m.Plate.Unknowns(), MinAngle: m.Mesh.MinAngle},
	}
	m.startJoints(r)
	m.startPieces(r)
	w := &work{r: r, worst: governing{joint: -1}, joints: make([]governing, len(m.joints))}
	total := len(ends) + len(events)
	for i, e := range ends {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c.progress(i, total, e.name)
		v := m.judge(e)
		m.addState(w, &v)
		if v.u > r.Utilisation {
			r.Utilisation = v.u
			w.worst = governing{m.worstOf(&v), -1, demand{}, v.load}
			if v.wood.u < v.u {
				w.worst.joint, w.worst.d = v.worst, v.joints[v.worst]
			}
		}
	}
	for i, ev := range events {
		c.progress(len(ends)+i, total, ev.Name)
		if err := m.addExposure(ctx, w, ev, c); err != nil {
			return nil, err
		}
	}
	m.checking(r)
	for i := range r.Joints {
		r.Joints[i].Verdict = VerdictOf(r.Joints[i].Utilisation)
	}
	if r.Utilisation >= quiet {
		r.Worst = w.worst.worst
	}
	r.Verdict = VerdictOf(r.Utilisation)
	r.Headline = headline(r)
	r.Check = m.sanity()
	r.GlueUp = m.glueUp()
	if g := &w.worst; r.Worst != nil && g.joint >= 0 && !c.NoCauses {
		in, err := m.influenceOf(g.joint, g.d, g.load)
		if err != nil {
			return nil, err
		}
		r.Causes = m.causes(in, g.load)
	}
	if !c.NoCracks {
		if r.Cracks, err = m.cracks(ctx, w.joints); err != nil {
			return nil, err
		}
	}
	if !c.NoChance {
		if r.Chance, err = m.chance(ctx, c, w); err != nil {
			return nil, err
		}
	}
	if r.Notes, err = m.honesty(ctx, c, w); err != nil {
		return nil, err
	}
	c.progress(total, total, "done")
	return r, nil
}

func (c *Conditions) progress(done, total int, what string) {
	if c.Progress != nil {
		c.Progress(done, total, what)
	}
}

// addExposure follows one event and enters it into the report.
func (m *Model) addExposure(ctx context.Context, w *work, ev moisture.Event, c Conditions) error {
	r := w.r
	home, err := climateOf(m.board, c)
	if err != nil {
		return err
	}
	shop := m.board.GlueUp
	co, err := m.follow(ctx, ev, moisture.Setting{Home: home, Shop: shop})
	if err != nil {
		return err
	}
	a, err := m.answer(ctx, co)
	if err != nil {
		return err
	}
	a.Series = a.series(m, co, c.Series)
	r.Exposures = append(r.Exposures, a.Exposure)
	for i := range a.width {
		r.Size.widen(r.Width+a.width[i], r.Height+a.height[i])
	}
	for j := range a.joints {
		if a.loads[j] != nil {
			m.raise(w, j, &a.joints[j], a.Name, a.hours[j], a.loads[j])
		}
	}
	w.press(m, a.pressed, a.press, a.Name, a.pressHour)
	if a.Utilisation > r.Utilisation && a.worst >= 0 {
		r.Utilisation = a.Utilisation
		j, d := a.worst, a.demand
		w.worst = governing{&Worst{Joint: m.board.Joints[j].ID, State: a.Name, Hour: a.WorstHour, When: co.when(a.place), How: string(d.how),
			Place: roundXY(m.place(j, d.window)), Level: levelName(d.level), Utilisation: d.u, Elastic: a.Elastic,
			Normal: d.n, Shear: d.t, Weakest: m.partName(j, &d), Why: m.why(j, a.load.mean)}, j, d, a.load}
	}
	return nil
}

func (m *Model) startJoints(r *Report) {
	r.Joints = make([]Joint, len(m.joints))
	for j := range m.joints {
		jt := &m.board.Joints[j]
		lim := m.joints[j].capacity.At(joint.Scale{})
		ten, sh := lim.Least()
		r.Joints[j] = Joint{ID: jt.ID, A: m.board.Pieces[jt.A].ID, B: m.board.Pieces[jt.B].ID, From: roundXY(jt.From), To: roundXY(jt.To),
			Verdict: Holds, Place: m.place(j, 0), TensionCapacity: ten.Value, ShearCapacity: sh.Value, Length: m.joints[j].capacity.Length}
	}
}

func (m *Model) startPieces(r *Report) {
	r.Pieces = make([]Piece, len(m.board.Pieces))
	for i := range m.board.Pieces {
		pc := &m.board.Pieces[i]
		r.Pieces[i] = Piece{ID: pc.ID, Part: pc.Part, Stock: pc.Stock, Species: pc.Species, Outline: pc.Outline,
			RingAngle: pc.RingAngle, GrainUp: pc.Grain.Up, GrainAngle: pc.Grain.Angle, Moisture: pc.Moisture}
	}
}

// addState enters one state into the report and raises the joints it is worst for.
func (m *Model) addState(w *work, v *verdictState) {
	r := w.r
	s := State{Name: v.name, Text: v.text, Moisture: map[string]float64{}, Width: v.width, Height: v.height,
		Utilisation: v.u, Elastic: v.elastic, Verdict: VerdictOf(v.u)}
	if v.room != nil {
		s.Humidity, s.Temperature = v.room.Humidity, v.room.Temperature
	}
	for i := range m.board.Pieces {
		s.Moisture[m.board.Pieces[i].Stock] = v.moisture[m.kindOf[i]]
	}
	if v.worst >= 0 {
		s.Worst = m.board.Joints[v.worst].ID
	}
	if v.wood.u > quiet && v.wood.u >= v.u {
		s.Worst = m.board.Pieces[v.wood.piece].ID
	}
	r.States = append(r.States, s)
	r.Size.widen(v.width+r.Width, v.height+r.Height)
	for j := range v.joints {
		m.raise(w, j, &v.joints[j], v.name, 0, v.load)
		w.press(m, j, v.joints[j].press, v.name, 0)
	}
	for i, u := range v.inside {
		if u > r.Pieces[i].Utilisation {
			r.Pieces[i].Utilisation, r.Pieces[i].State = u, v.name
		}
	}
}

func (s *Range) widen(w, h float64) {
	s.WidthMin, s.WidthMax = math.Min(s.WidthMin, w), math.Max(s.WidthMax, w)
	s.HeightMin, s.HeightMax = math.Min(s.HeightMin, h), math.Max(s.HeightMax, h)
}

// raise enters a demand into a joint's answer when it is the worst so far.
func (m *Model) raise(w *work, j int, d *demand, state string, hour float64, l *load) {
	out := &w.r.Joints[j]
	if d.u < out.Utilisation || d.u < quiet {
		return
	}
	w.joints[j] = governing{joint: j, d: *d, load: l}
	lim := m.joints[j].capacity.At(m.scale(&m.joints[j], l, d.level))
	ten, sh := lim.Least()
	out.Utilisation, out.State, out.Hour = d.u, state, hour
	out.How, out.Place, out.Level = string(d.how), roundXY(m.place(j, d.window)), levelName(d.level)
	out.Normal, out.Shear, out.TensionCapacity, out.ShearCapacity = d.n, d.t, ten.Value, sh.Value
	out.Weakest = m.partName(j, d)
}

func (m *Model) worstOf(v *verdictState) *Worst {
	if v.wood.u >= v.u {
		pc := &m.board.Pieces[v.wood.piece]
		return &Worst{Piece: pc.ID, State: v.name, When: v.when, How: string(joint.Splits), Place: roundXY(v.wood.at), Level: levelName(0),
			Utilisation: v.wood.u, Elastic: v.elastic, Weakest: m.describe(v.wood.piece),
			Why: fmt.Sprintf("The pieces around %s keep it from moving as freely as it would.", m.describe(v.wood.piece))}
	}
	j := v.worst
	d := &v.joints[j]
	return &Worst{Joint: m.board.Joints[j].ID, State: v.name, When: v.when, How: string(d.how), Place: roundXY(m.place(j, d.window)), Level: levelName(d.level),
		Utilisation: d.u, Elastic: v.elastic, Normal: d.n, Shear: d.t, Weakest: m.partName(j, d), Why: m.why(j, v.swelling.mean)}
}

// press enters a pressure when it is the hardest so far.
func (w *work) press(m *Model, j int, u float64, state string, hour float64) {
	c := w.r.Crushing
	if u < quiet || (c != nil && u <= c.Utilisation) {
		return
	}
	c = &Crushing{Verdict: VerdictOf(u), Utilisation: u, Joint: m.board.Joints[j].ID, State: state, Hour: hour,
		Text: "Pressed joints stay well below what crushes the wood."}
	switch c.Verdict {
	case Tight, Doubtful:
		c.Text = "Pressed joints come near to what crushes the wood across the grain."
	case Fails:
		c.Text = "The wood beside a pressed joint is crushed across the grain; it keeps its new size, and the joint may open when the wood shrinks again."
	}
	w.r.Crushing = c
}

// checking picks the worst self-balanced tension of all exposures.
func (m *Model) checking(r *Report) {
	for i := range r.Exposures {
		e := &r.Exposures[i]
		if e.Checking <= quiet || (r.Checking != nil && e.Checking <= r.Checking.Utilisation) {
			continue
		}
		r.Checking = &Checking{Verdict: VerdictOf(e.Checking), Utilisation: e.Checking, Exposure: e.Name, Hour: e.CheckingHour, Piece: e.CheckingPiece, Level: e.CheckingLevel}
	}
	if c := r.Checking; c != nil {
		c.Text = "The wood itself takes uneven drying without harm."
		switch c.Verdict {
		case Tight:
			c.Text = "Uneven drying or wetting brings the wood near to fine checks."
		case Doubtful, Fails:
			c.Text = "Fine checks in the wood are likely while it dries or wets unevenly; a slower change of air or a denser finish helps."
		}
	}
}

// sanity compares a board of one wood, one moisture and one ring direction with
// the closed form: it moves freely and carries no stress.
func (m *Model) sanity() *SanityCheck {
	for i := range m.wood {
		if len(m.kinds) != 1 || m.wood[i].At != nil || m.wood[i].Q != m.wood[0].Q || m.wood[i].Unit != m.wood[0].Unit {
			return nil
		}
	}
	const change = 3 // % MC
	l := &load{mean: []float64{change}}
	s := &SanityCheck{}
	for j := range m.joints {
		d := m.worst(j, l)
		s.Stress = math.Max(s.Stress, math.Max(math.Abs(d.n), math.Abs(d.t)))
	}
	mv := m.Plate.Moves(combine(m.shift, l.mean))
	s.Width = math.Abs(mv.Exx/(change*m.wood[0].Unit[0]) - 1)
	s.Height = math.Abs(mv.Eyy/(change*m.wood[0].Unit[1]) - 1)
	return s
}
