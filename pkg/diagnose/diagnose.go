package diagnose

import (
	"context"
	"fmt"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Diagnosis is the look back at one opened board.
type Diagnosis struct {
	Headline   string       `json:"headline"`   // the answer in a sentence or two
	Seen       Observation  `json:"seen"`       // as understood: ids as the board spells them
	Hypotheses []Hypothesis `json:"hypotheses"` // the most likely first
	LookedAt   int          `json:"looked_at"`  // explanations run, also those too unlikely to list
	Notes      []string     `json:"notes"`
}

// Hypothesis is one explanation, held against what was seen.
type Hypothesis struct {
	Key         string   `json:"key"`
	Kind        string   `json:"kind"` // "season", "exposure", "gluing", "bond", "construction"
	Text        string   `json:"text"`
	Chance      float64  `json:"chance"`      // share of the scores of all explanations looked at
	Rank        int      `json:"rank"`        // from 1; what cannot be told apart by what was seen shares one
	Alike       bool     `json:"alike"`       // cannot be told from the first by what was seen
	Mode        string   `json:"mode"`        // by which it failed where it was seen, see check.Mode
	Utilisation float64  `json:"utilisation"` // at the seen place
	Elsewhere   float64  `json:"elsewhere"`   // the largest utilisation anywhere else, 0 when nothing else is left
	Rival       string   `json:"rival,omitempty"`
	Level       string   `json:"level"`           // "top face", "bottom face", "through"
	Month       int      `json:"month,omitempty"` // when it is worst, 1 to 12; left out when in any month
	Days        *float64 `json:"days,omitempty"`  // days from gluing, for what runs from there
	For         []string `json:"for"`
	Against     []string `json:"against"`
	Factors     Factors  `json:"factors"` // the score is their product

	score float64
}

// Options says where the board lived and how to work. The zero value is the
// documented default.
type Options struct {
	Home       string           // named climate; "" is the board's own
	Conditions check.Conditions // caches and workers for the checks; the rest is set here
	Most       int              // most hypotheses to list; 0 means 12
}

const defaultMost = 12

// leastShare is the share of all scores below which an explanation is not listed.
const leastShare = 0.001

// Board looks for what most likely opened a board as observed. Errors: a
// fault.List with pointers into the observation (or "/home"), those of package
// check, that of the context. Equal questions get equal answers.
func Board(ctx context.Context, f *layout.File, o Observation, opt Options) (*Diagnosis, error) {
	w, err := begin(ctx, f, &o, opt)
	if err != nil {
		return nil, err
	}
	if err := w.all(); err != nil {
		return nil, err
	}
	most := opt.Most
	if most <= 0 {
		most = defaultMost
	}
	return w.diagnosis(most), nil
}

// begin finds the place on the board, with its unknown rings as in a typical draw.
func begin(ctx context.Context, f *layout.File, o *Observation, opt Options) (*inquiry, error) {
	b, l := f.Board()
	if len(l) > 0 {
		return nil, l
	}
	seen, faults := o.check(b)
	home, err := climate(b, opt.Home)
	faults = append(faults, fault.Of(err)...)
	if len(faults) > 0 {
		return nil, faults
	}
	w := &inquiry{ctx: ctx, o: o, seen: seen, home: home, c: opt.Conditions}
	w.c.Climate = nil
	w.c.Remember()
	drawn, err := w.c.Draw(ctx, f, b)
	if err != nil {
		return nil, err
	}
	w.f, w.b, w.unlooked = drawn.Typical.File, drawn.Typical.Board, drawn.Unlucky != nil
	return w, nil
}

// climate is the one named, or that in which a check sees the board. Errors: at
// "/home".
func climate(b *layout.Board, name string) (moisture.Climate, error) {
	if name == "" {
		return check.Conditions{}.ClimateOf(b)
	}
	c, err := moisture.FindClimate(name)
	return c, fault.At(err, "/home")
}

// inquiry is a diagnosis in the making.
type inquiry struct {
	ctx      context.Context
	f        *layout.File
	b        *layout.Board // of f
	o        *Observation
	seen     place
	home     moisture.Climate
	c        check.Conditions
	found    []Hypothesis
	unlooked bool      // nobody has looked at some of the rings
	drawn    []drawing // what each of found was weighed from
}

// drawing keeps what the words of a hypothesis need.
type drawing struct {
	sums sums
	ages [4]float64
	of   *outcome

	event string // key of the exposure, "" of a season
}

// all runs every explanation.
func (w *inquiry) all() error {
	month := w.o.month()
	if month == 0 {
		driest, _, _, _ := w.home.Extremes()
		month = driest + 1
	}
	settled := settledScenes(w.home)
	events := eventScenes(w.b, w.home, month)
	r, err := newRunner(w.ctx, w.b, w.c, true)
	if err != nil {
		return err
	}
	// The same with borders that yield; a shape that was lost has no place they could hold.
	var free *runner
	if c := yielding(w.f); c != nil && !w.o.shaped() {
		if free, err = newRunner(w.ctx, c, w.c, false); err != nil {
			return err
		}
	}
	told := variant{board: w.b, told: true, prior: 1}
	for i := range settled {
		s := &settled[i]
		o, err := r.run(w.ctx, s)
		if err != nil {
			return err
		}
		held := 0.0
		if free != nil {
			f, err := free.run(w.ctx, s)
			if err != nil {
				return err
			}
			held = w.heldBy(o, f)
			w.add(&variant{key: "border-holds", kind: ByConstruction, prior: held, text: "the border is glued all along and cannot follow the field"}, s, o)
		}
		open := told
		open.prior = 1 - held
		w.add(&open, s, o)
		w.bonds(s, o)
	}
	for i := range events {
		s := &events[i]
		o, err := r.run(w.ctx, s)
		if err != nil {
			return err
		}
		w.add(&told, s, o)
		if s.event.Name == w.o.Event {
			w.bonds(s, o)
		}
	}
	return w.gluing(settled, events)
}

// gluing runs what may have gone wrong at gluing, under both seasons and under
// the event that was told. Ends open while the rim runs ahead of the middle, which no
// settled board tells: of open ends a year at home is run as well.
func (w *inquiry) gluing(settled, events []scene) error {
	scenes := append([]scene(nil), settled...)
	for _, s := range events {
		if s.event.Name == w.o.Event || s.event.Name == rimsRun && w.o.has(EndChecks) {
			scenes = append(scenes, s)
		}
	}
	bends := len(scenes) > len(settled) || w.o.has(Cupped) || w.o.has(RocksOnTop)
	for _, v := range gluingVariants(w.f, w.b, w.seen) {
		r, err := newRunner(w.ctx, v.board, w.c, bends)
		if err != nil {
			return err
		}
		for i := range scenes {
			o, err := r.run(w.ctx, &scenes[i])
			if err != nil {
				return err
			}
			w.add(&v, &scenes[i], o)
		}
	}
	return nil
}

// heldBy is the part of the seen place's demand that goes when the border yields
// (of u², which is what adds up), 0 to 1.
func (w *inquiry) heldBy(o, free *outcome) float64 {
	a, b := sum(o, &w.seen), sum(free, &w.seen)
	if a.here.u == 0 {
		return 0
	}
	// the same place on both boards
	v := b.here.u
	switch {
	case a.hereJoint >= 0:
		v = free.joints[a.hereJoint].u
	case a.herePiece >= 0:
		v = free.pieces[a.herePiece].u
	}
	return math.Max(0, 1-v*v/(a.here.u*a.here.u))
}

// bonds adds a poor bond at the joint that was seen, when one was.
func (w *inquiry) bonds(s *scene, o *outcome) {
	if w.seen.everywhere || len(w.seen.joints) == 0 {
		return
	}
	at := w.seen.joints[0]
	for _, j := range w.seen.joints {
		if o.joints[j].u > o.joints[at].u {
			at = j
		}
	}
	id := w.b.Joints[at].ID
	for _, bond := range [3]struct {
		key, text    string
		prior, keeps float64
	}{
		{"weak-bond", "the bond of %s bears half of what it should (a stale, thin or badly pressed glue line)", judged("prior-weak"), judged("keeps-weak")},
		{"starved-joint", "the joint %s was starved: glue pressed out or soaked away, a quarter of its strength left", judged("prior-starved"), judged("keeps-starved")},
		{"dry-joint", "no glue to speak of reached the joint %s", judged("prior-dry"), judged("keeps-dry")},
	} {
		w.add(&variant{key: bond.key, kind: ByBond, prior: bond.prior, text: fmt.Sprintf(bond.text, id)}, s, o.weaker(at, bond.keeps))
	}
}

// add weighs one explanation.
func (w *inquiry) add(v *variant, s *scene, o *outcome) {
	h := Hypothesis{Key: s.key, Kind: s.kind, Text: s.text}
	ages := s.ages
	if v.key != "" {
		h.Key, h.Kind, h.Text = v.key+"+"+s.key, v.kind, v.text+"; then "+s.text
		switch v.kind {
		case ByGluing:
			ages = spread("soon-after")
		case ByBond:
			ages = spread("poor-bond")
		}
	}
	event := ""
	if s.event != nil {
		event = s.event.Name
	}
	d := drawing{sum(o, &w.seen), ages, o, event}
	if w.o.shaped() {
		d.sums.here, d.sums.hereJoint, d.sums.herePiece = o.shape(w.o).demand, -1, -1
		d.sums.there, d.sums.thereJoint, d.sums.therePiece = 0, -1, -1
	}
	h.Mode = w.mode(&d)
	h.Factors = weigh(w.o, o, &d.sums, v.prior*s.prior, ages, event)
	h.score = h.Factors.product()
	h.Utilisation, h.Elsewhere = d.sums.here.u, d.sums.there
	switch {
	case d.sums.thereJoint >= 0:
		h.Rival = w.b.Joints[d.sums.thereJoint].ID
	case d.sums.therePiece >= 0:
		h.Rival = w.b.Pieces[d.sums.therePiece].ID
	}
	h.Level = [3]string{"bottom face", "through", "top face"}[d.sums.here.level+1]
	h.Month = d.sums.here.month
	if d.sums.here.days >= 0 {
		days := d.sums.here.days
		h.Days = &days
	}
	w.found, w.drawn = append(w.found, h), append(w.drawn, d)
}

// mode is the way of failing behind the demand at the seen place.
func (w *inquiry) mode(d *drawing) string {
	s := &d.sums
	switch {
	case w.o.shaped():
		return check.OutOfFlat
	case s.herePiece >= 0 && s.here.u > d.of.pieces[s.herePiece].u:
		return check.WoodChecks
	case s.herePiece >= 0:
		return check.Splits
	case s.hereJoint >= 0 && d.of.glue.figure >= 1:
		return check.GlueGives
	case s.hereJoint >= 0 && w.b.Joints[s.hereJoint].ID == d.of.endJoint && d.of.end.figure >= s.here.u:
		return check.EndOpens
	}
	return check.LineOpens
}

// diagnosis ranks what was found.
func (w *inquiry) diagnosis(most int) *Diagnosis {
	d := &Diagnosis{Seen: *w.o, LookedAt: len(w.found), Hypotheses: []Hypothesis{}}
	total := 0.0
	order := make([]int, len(w.found))
	for i := range w.found {
		total += w.found[i].score
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return w.found[order[a]].score > w.found[order[b]].score })
	best, rank := math.Inf(1), 0 // of those that share a rank
	for _, i := range order {
		h := w.found[i]
		if total == 0 || len(d.Hypotheses) == most || h.score < leastShare*total {
			break
		}
		h.Chance = h.score / total
		h.Alike = h.score*judged("alike") >= w.found[order[0]].score
		if h.score*judged("alike") < best {
			best, rank = h.score, len(d.Hypotheses)+1
		}
		h.Rank = rank
		h.For, h.Against = w.evidence(&h, &w.drawn[i])
		d.Hypotheses = append(d.Hypotheses, h)
	}
	d.Headline = headline(d)
	d.Notes = notes(w)
	return d
}
