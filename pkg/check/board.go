package check

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// reporter writes reports about a prepared board.
type reporter struct{ *influence.Model }

// Prepared is a board prepared once: any season, exposure or what-if of moisture
// is then cheap.
type Prepared struct {
	m    reporter
	from *Prepared // of a session: the board with which it shares what was solved, nil for none

	once    sync.Mutex
	replies []Reply
}

// Board judges a board under conditions.
//
// Errors: a fault.List for what the user can mend, in the conditions (see Check) or
// in the board; the context's own error when time ran out. A Report never holds
// NaN or infinity.
func Board(ctx context.Context, b *layout.Board, c Conditions) (*Report, error) {
	m, err := Prepare(ctx, b, c)
	if err != nil {
		return nil, err
	}
	return m.Report(ctx, c)
}

// Prepare does the part of a check that does not depend on moisture: geometry,
// stiffness and the influence of every kind of piece. Without histories bending is
// left out, and no Report of histories can be asked for. Errors: those of Board.
func Prepare(ctx context.Context, b *layout.Board, c Conditions) (*Prepared, error) {
	if err := c.Check(b).Err(); err != nil {
		return nil, err
	}
	m, err := influence.Prepare(ctx, b, c.Solving())
	if err != nil {
		return nil, err
	}
	return &Prepared{m: reporter{m}}, nil
}

// Model is the prepared board for the sister packages that search.
func (p *Prepared) Model() *influence.Model { return p.m.Model }

// Report judges the prepared board. It may be called again with other
// conditions of moisture; a second call costs no factorisation.
func (p *Prepared) Report(ctx context.Context, c Conditions) (*Report, error) {
	j, err := p.judge(ctx, c, true)
	if err != nil {
		return nil, err
	}
	return p.report(ctx, c, j)
}

// report tells what was judged.
func (p *Prepared) report(ctx context.Context, c Conditions, j *influence.Judged) (r *Report, err error) {
	m := p.m
	b := m.Board
	r = &Report{States: []State{}, Name: b.Name, Units: b.Units, Notices: b.Notices, Width: b.Width, Height: b.Height, Thickness: b.Thickness,
		Size:  Range{b.Width, b.Width, b.Height, b.Height},
		Model: ModelFacts{Pieces: len(b.Pieces), Joints: len(b.Joints), Elements: len(m.Mesh.Elements), Nodes: len(m.Mesh.Nodes), Unknowns: m.Plate.Unknowns(), MinAngle: m.Mesh.MinAngle},
	}
	m.startJoints(r)
	m.startPieces(r)
	for i := range j.States {
		m.addState(r, &j.States[i])
	}
	for _, h := range j.Histories {
		m.addExposure(r, h, c)
	}
	for k := range j.Joints {
		m.tellJoint(&r.Joints[k], &j.Joints[k])
	}
	for i, p := range j.Pieces {
		r.Pieces[i].Utilisation, r.Pieces[i].State = p.U, p.State
	}
	m.tellPress(r, &j.Press)
	r.Words = ScaleOf(b)
	for i := range r.Joints {
		r.Joints[i].Verdict = r.Words.Of(r.Joints[i].Utilisation)
	}
	r.Utilisation = j.Worst.D.U
	if r.Utilisation >= influence.Quiet {
		r.Worst = m.worstOf(j)
	}
	r.Modes = m.modes(j)
	at, index, word := governing(r.Modes)
	r.Index, r.Verdict = index, word
	if at >= 0 {
		r.Mode = r.Modes[at].Mode
	}
	r.Headline = headline(r)
	if !c.NoHistories && len(c.Events) > 0 && !slices.ContainsFunc(c.Events, moisture.Event.IsOrdinary) {
		r.Headline += " Ordinary use was not asked for."
	}
	r.Check = m.sanity()
	r.GlueUp, r.Safety = m.glueUp(j), m.cautions()
	if err := p.respond(ctx, r.Exposures); err != nil {
		return nil, err
	}
	if g := &j.Worst; r.Worst != nil && g.Joint >= 0 && !c.NoCauses && !c.Joints {
		in, err := m.InfluenceOf(ctx, g.Joint, g.D, g.Load)
		if err != nil {
			return nil, err
		}
		r.Causes = m.causes(in, g.Load)
	}
	if !c.NoCracks {
		m.tellCracks(r, j)
	}
	r.Stages = m.stages(j)
	if !c.ByStress { // it is of a crack
		if r.AtOnce, err = m.AtOnce(ctx, j); err != nil {
			return nil, err
		}
	}
	if !c.NoChance {
		r.Chance = chanceOf(r.Modes)
	}
	if r.Limitations, err = m.limitations(ctx, c, r, j); err != nil {
		return nil, err
	}
	if c.Explain != "" {
		if r.Derivation, err = m.derivation(ctx, j, r.Modes, c.Explain); err != nil {
			return nil, err
		}
	}
	if c.Progress != nil {
		total := len(j.States) + len(j.Histories)
		c.Progress(total, total, "done")
	}
	if err := finite(reflect.ValueOf(r), "report"); err != nil {
		return nil, err
	}
	return r, nil
}

// addExposure enters one history into the report.
func (m reporter) addExposure(r *Report, a *influence.ExposureResult, c Conditions) {
	e := m.exposureOf(a)
	e.Series = m.series(a, c.Series)
	r.Exposures = append(r.Exposures, e)
	if e.Mishap {
		return
	}
	for i := range a.Width {
		r.Size.widen(r.Width+a.Width[i], r.Height+a.Height[i])
	}
}

// exposureOf is a history as it is told.
func (m reporter) exposureOf(a *influence.ExposureResult) Exposure {
	co := a.LoadHistory
	e := Exposure{Name: co.ID(), Event: co.Name, Given: co.Given, Text: co.Shown.Text, Never: co.Shown.Never, Mishap: co.Aside(), Hours: co.Times[len(co.Times)-1],
		Utilisation: a.Critical.U, WorstHour: a.Hour, Elastic: a.Elastic,
		Cup: a.Most.Cup, CupHour: a.Most.CupHour, Bow: a.Most.Bow, BowHour: a.Most.BowHour, Twist: a.Most.Twist, TwistHour: a.Most.TwistHour}
	if a.Critical.U > influence.Quiet {
		e.Worst = m.Board.Pieces[a.Wood.Piece].ID
		if a.Worst >= 0 {
			e.Worst = m.Board.Joints[a.Worst].ID
		}
	}
	e.Gap, e.Rocks, e.Flatness, e.FlatnessHour, e.FlatnessEnd = a.Stands.Gap, a.Stands.Rocks, a.Stands.Index, a.Stands.Hour, a.Stands.End
	e.FlatnessPeak = a.Stands.Peak
	first := m.worstOfHistory(a)
	e.Mode, e.Index, e.Verdict, e.After, e.words = first.mode, first.index, first.word, first.after, first.words
	if k := a.Check; k.U > 0 {
		e.Checking = Checking{k.U, k.Hour, m.Board.Pieces[k.Piece].ID, k.Level}
	}
	e.Checks, e.End = m.checks(&a.Opens), m.end(&a.End)
	e.Face = m.opensAtFace(&a.Faces)
	return e
}

// judge judges everything that is asked of the board.
func (p *Prepared) judge(ctx context.Context, c Conditions, mishaps bool) (*influence.Judged, error) {
	if err := c.Check(p.m.Board).Err(); err != nil {
		return nil, err
	}
	if !c.NoHistories && !p.m.Bends {
		return nil, fault.List{{Rule: fault.NotAllowed, Pointer: "/events", Detail: "the board was prepared without histories", Allowed: "end states only"}}
	}
	d := c.Demand()
	d.NoMishaps = !mishaps // they do not touch the verdict
	return p.m.Judge(ctx, d, c.Progress)
}

// respond puts the responses beside the longest exposure, where slow pieces show.
func (p *Prepared) respond(ctx context.Context, exposures []Exposure) (err error) {
	var longest *Exposure
	for i := range exposures {
		if longest == nil || exposures[i].Hours > longest.Hours {
			longest = &exposures[i]
		}
	}
	if longest != nil {
		longest.Responses, err = p.Responses(ctx)
	}
	return err
}

// Responses tells how fast every kind of piece follows the air, both faces free:
// the hours until half and until 90 % of its change is done when a room goes from
// dry to damp. Nothing that is asked of the board changes them. The error is that
// of the context.
func (p *Prepared) Responses(ctx context.Context) ([]Reply, error) {
	p.once.Lock()
	defer p.once.Unlock()
	if p.replies != nil {
		return p.replies, nil
	}
	found, err := p.m.Responses(ctx)
	if err != nil {
		return nil, err
	}
	for _, r := range found {
		reply := Reply{Kind: r.Kind, Half: within(r.Half), Ninety: within(r.Ninety)}
		if reply.Half == nil || reply.Ninety == nil {
			reply.BeyondYears = moisture.LongestResponse / moisture.HoursPerYear
		}
		p.replies = append(p.replies, reply)
	}
	return p.replies, nil
}

// within is a time [h], nil for one too long to have been followed.
func within(hours float64) *float64 {
	if math.IsInf(hours, 1) {
		return nil
	}
	return &hours
}

func (m reporter) startJoints(r *Report) {
	r.Joints = make([]Joint, len(m.Joints))
	for j := range m.Joints {
		jt := &m.Board.Joints[j]
		lim := m.Joints[j].Capacity.At(joint.Scale{})
		ten, sh := lim.Least()
		r.Joints[j] = Joint{ID: jt.ID, A: m.Board.Pieces[jt.A].ID, B: m.Board.Pieces[jt.B].ID, From: roundXY(jt.From), To: roundXY(jt.To),
			Verdict: Holds, Place: m.Place(j, 0), TensionCapacity: ten.Value, ShearCapacity: sh.Value, Length: m.Joints[j].Capacity.Length}
	}
}

func (m reporter) startPieces(r *Report) {
	r.Pieces = make([]Piece, len(m.Board.Pieces))
	for i := range m.Board.Pieces {
		pc := &m.Board.Pieces[i]
		r.Pieces[i] = Piece{ID: pc.ID, Part: pc.Part, Stock: pc.Stock, Species: pc.Species, Outline: pc.Outline,
			RingAngle: pc.RingAngle, GrainUp: pc.Grain.Up, GrainAngle: pc.Grain.Angle, Moisture: pc.Moisture}
	}
}

// addState enters one state into the report.
func (m reporter) addState(r *Report, v *influence.Settled) {
	s := State{Name: v.Name, Text: v.Text, Moisture: map[string]float64{}, Width: v.Width, Height: v.Height,
		Utilisation: v.U, Elastic: v.Elastic, Verdict: m.word(v.U)}
	if v.Room != nil {
		s.Humidity, s.Temperature = v.Room.Humidity, v.Room.Temperature
	}
	for i := range m.Board.Pieces {
		s.Moisture[m.Board.Pieces[i].Stock] = m.Of(v.Moisture, i)
	}
	if v.Worst >= 0 {
		s.Worst = m.Board.Joints[v.Worst].ID
	}
	if v.Worst < 0 && v.U > influence.Quiet {
		s.Worst = m.Board.Pieces[v.Wood.Piece].ID
	}
	r.States = append(r.States, s)
	r.Size.widen(v.Width+r.Width, v.Height+r.Height)
}

func (s *Range) widen(w, h float64) {
	s.WidthMin, s.WidthMax = math.Min(s.WidthMin, w), math.Max(s.WidthMax, w)
	s.HeightMin, s.HeightMax = math.Min(s.HeightMin, h), math.Max(s.HeightMax, h)
}

// tellJoint enters the worst moment of a joint into its answer.
func (m reporter) tellJoint(out *Joint, at *influence.Moment) {
	if at.Load == nil {
		return
	}
	j, d := at.Joint, &at.D
	lim := m.Joints[j].Capacity.At(m.Scale(&m.Joints[j], at.Load, d.Level))
	ten, sh := lim.Least()
	out.Utilisation, out.Stress, out.State, out.Hour = d.U, d.Stress, at.State, at.Hour
	out.How, out.Place, out.Level = string(d.How), roundXY(m.Place(j, d.Window)), levelName(d.Level)
	out.Normal, out.Shear, out.TensionCapacity, out.ShearCapacity = d.N, d.T, ten.Value, sh.Value
	out.Weakest = m.partName(j, d)
}

// worstOf tells the worst place of all.
func (m reporter) worstOf(a *influence.Judged) *Worst {
	w := &Worst{State: a.Worst.State, Hour: a.Worst.Hour, Stress: a.Worst.D.Stress}
	mean := a.Worst.Load.Mean
	if a.Settled >= 0 {
		v := &a.States[a.Settled]
		w.When, w.Elastic = v.When, v.Elastic
		mean = v.Swelling.Mean
		if a.Worst.Joint < 0 {
			m.worstWood(w, a.Wood.Piece, a.Wood.At)
			return w
		}
	} else {
		h := a.Histories[a.History]
		w.When, w.Elastic = h.LoadHistory.When(h.Place), h.Elastic
		if a.Worst.Joint < 0 {
			m.worstWood(w, a.Wood.Piece, a.Wood.At)
			return w
		}
	}
	j, d := a.Worst.Joint, &a.Worst.D
	w.Joint, w.Where, w.How, w.Place, w.Level = m.Board.Joints[j].ID, m.Board.WhereJoint(j), string(d.How), roundXY(m.Place(j, d.Window)), levelName(d.Level)
	w.Normal, w.Shear, w.Weakest, w.Why = d.N, d.T, m.partName(j, d), m.why(j, mean)
	return w
}

// worstWood tells that the wood of a piece is the worst place.
func (m reporter) worstWood(w *Worst, piece int, at layout.XY) {
	who := m.describe(piece)
	w.Piece, w.Where, w.How, w.Place, w.Level, w.Weakest = m.Board.Pieces[piece].ID, m.Board.WherePiece(piece), string(joint.Splits), roundXY(at), levelName(0), who
	w.Why = fmt.Sprintf("The pieces around %s keep it from moving as freely as it would.", who)
}

// tellPress enters the hardest pressure.
func (m reporter) tellPress(r *Report, at *influence.Moment) {
	if at.Joint < 0 {
		return
	}
	u := at.D.Press
	c := &Crushing{Verdict: VerdictOf(u), Utilisation: u, Joint: m.Board.Joints[at.Joint].ID, State: at.State, Hour: at.Hour,
		Text: "Pressed joints stay well below what crushes the wood."}
	switch c.Verdict {
	case Tight, Doubtful:
		c.Text = "Pressed joints come near to what crushes the wood across the grain."
	case Fails:
		c.Text = "The wood beside a pressed joint is crushed across the grain; it keeps its new size, and the joint may open when the wood shrinks again."
	}
	r.Crushing = c
}

// sanity compares a board of one wood, one moisture and one ring direction with
// the closed form: it moves freely and carries no stress.
func (m reporter) sanity() *SanityCheck {
	for i := range m.Wood {
		if len(m.Kinds) != 1 || m.Wood[i].At != nil || m.Wood[i].Q != m.Wood[0].Q || m.Wood[i].Unit != m.Wood[0].Unit {
			return nil
		}
	}
	const change = 3 // % MC
	l := &influence.Load{Mean: []float64{change}}
	s := &SanityCheck{}
	for j := range m.Joints {
		d := m.Worst(j, l)
		s.Stress = math.Max(s.Stress, math.Max(math.Abs(d.N), math.Abs(d.T)))
	}
	mv := m.Plate.MeanStrain(m.Stretched(l))
	s.Width = math.Abs(mv.Exx/(change*m.Wood[0].Unit[0]) - 1)
	s.Height = math.Abs(mv.Eyy/(change*m.Wood[0].Unit[1]) - 1)
	return s
}
