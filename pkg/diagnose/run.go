package diagnose

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// demand is what one explanation asks of one joint or piece.
type demand struct {
	u     float64
	level int     // 1 top face, −1 bottom face, 0 through
	month int     // 1 to 12, 0: any
	days  float64 // from gluing, −1: not told
}

// outcome is what one explanation asks of the board: of every joint, of the wood
// of every piece held by its neighbours, of the surface of every piece while it dries or
// wets unevenly, and how near the board comes to the other ways of failing.
type outcome struct {
	joints, pieces, surfaces []demand
	flat, rocks, end, glue   way
	endJoint                 string // id of the joint nearest to opening from its end
}

// runner judges scenes on one variant of the board.
type runner struct {
	board *layout.Board
	model *check.Prepared
}

func newRunner(ctx context.Context, v *layout.Board, c check.Conditions, bending bool) (*runner, error) {
	r := &runner{board: v}
	c.NoHistories, c.Events = !bending, nil
	var err error
	r.model, err = check.Prepare(ctx, r.board, c)
	return r, err
}

// report checks the board in one scene.
func (r *runner) report(ctx context.Context, s *scene) (*check.Report, error) {
	c := check.Conditions{NoCracks: true, NoChance: true, NoCauses: true}
	home, err := moisture.FromMonths(s.home.Months, "")
	if err != nil {
		return nil, err
	}
	c.Climate, c.NoHistories = &home, s.event == nil
	if s.event != nil {
		c.Events = []moisture.Event{*s.event}
	}
	return r.model.Report(ctx, c)
}

// run judges one scene.
func (r *runner) run(ctx context.Context, s *scene) (*outcome, error) {
	rep, err := r.report(ctx, s)
	if err != nil {
		return nil, err
	}
	o := &outcome{joints: make([]demand, len(rep.Joints)), pieces: make([]demand, len(rep.Pieces)), surfaces: make([]demand, len(rep.Pieces))}
	for j := range rep.Joints {
		jt := &rep.Joints[j]
		d := demand{u: jt.Utilisation, level: levelOf(jt.Level)}
		d.month, d.days = s.when(jt.State, jt.Hour)
		o.joints[j] = d
	}
	for i := range rep.Pieces {
		d := demand{u: rep.Pieces[i].Utilisation}
		d.month, d.days = s.when(rep.Pieces[i].State, 0)
		o.pieces[i] = d
	}
	o.ways(rep, s)
	if f := o.glue.figure; f >= 1 { // glue that gives way bears so much less
		for j := range o.joints {
			o.joints[j].u *= f
		}
	}
	for k := range rep.Exposures {
		o.check(r.board, &rep.Exposures[k], s)
	}
	return o, nil
}

// check enters the checking of a face. The report names one piece, of the kind
// of wood that checks most; the others of its grain direction follow in the ratio
// of their brittleness.
func (o *outcome) check(b *layout.Board, e *check.Exposure, s *scene) {
	at, ok := b.PieceByID(e.Checking.Piece)
	if !ok {
		return
	}
	worst := brittle(&b.Pieces[at])
	for i := range b.Pieces {
		p := &b.Pieces[i]
		if p.Grain.Up != b.Pieces[at].Grain.Up || worst == 0 {
			continue
		}
		u := e.Checking.Utilisation * math.Min(1, brittle(p)/worst)
		if u <= o.surfaces[i].u {
			continue
		}
		d := demand{u: u, level: levelOf(e.Checking.Level)}
		d.month, d.days = s.when(e.Name, e.Checking.Hour)
		o.surfaces[i] = d
	}
}

// brittle is the stress of a surface that may not shrink by one per cent of
// moisture, over the wood's strength, both tangential: E_T·ε_T/f_T, per % MC.
func brittle(p *layout.Piece) float64 {
	s, err := wood.Find(p.Species)
	if err != nil {
		return 0
	}
	e, err := s.Elastic(p.Moisture)
	if err != nil {
		return 0
	}
	_, _, t := s.Swelling(p.Moisture, math.Max(0, p.Moisture-1))
	return -e.ET * t / s.Strength(p.Moisture).TensionT
}

func levelOf(name string) int {
	switch name {
	case "top face":
		return 1
	case "bottom face":
		return -1
	}
	return 0
}

// when gives the month and the age [days] at which a demand is worst.
func (s *scene) when(state string, hour float64) (month int, days float64) {
	const hoursPerMonth = 730.5
	switch {
	case s.settled > 0:
		return s.settled, -1
	case s.event == nil || state == "":
		return 0, -1
	case state != s.event.Name && s.start > 0: // an end state of the event's own months
		return s.extreme(state), -1
	case state != s.event.Name:
		return 0, -1 // as it had settled before the event
	case s.start > 0:
		return (s.start-1+int(hour/hoursPerMonth))%12 + 1, hour / 24
	case s.fromGlue:
		return 0, math.Max(judged("day-one"), hour/24)
	}
	return 0, -1
}

// weaker is the outcome with one joint bearing only a part of its capacity.
func (o *outcome) weaker(joint int, keeps float64) *outcome {
	w := *o
	w.joints = append([]demand(nil), o.joints...)
	w.joints[joint].u /= keeps
	return &w
}
