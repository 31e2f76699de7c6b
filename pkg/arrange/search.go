package arrange

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Options says what a search may change and how long it works. The zero value
// keeps woods and pattern and may turn as many blocks as it likes.
type Options struct {
	FreeSpecies bool     // a wood may be swapped for one that looks like it
	Have        []string // woods in the shop, by name: only these are swapped in; empty: any, common ones first
	FreePattern bool     // blocks of equal outline may change places
	Glued       []string // glue-ups of a build that are done, by id: what is in them stays as it lies
	KeepRests   bool     // the waits between glue-ups, and their order, stay as they are
	Turns       int      // most that may be done otherwise than in the file; 0 any number
	Seed        uint64
	Rounds      int           // exact solutions and new tables; 0 means 8, at most 1000
	Deadline    time.Duration // ends the search early with the best so far; 0 none
	Progress    func(Progress)
}

// Progress tells how far a search has come.
type Progress struct {
	Round, Rounds int
	Trials        int     // arrangements tried on the sums of influences
	Solved        int     // arrangements solved exactly
	Utilisation   float64 // the best so far
}

// defaultRounds were enough to settle a board of 48 blocks.
const defaultRounds = 8

// Why a search ended.
const (
	EndDone     = "done"
	EndDeadline = "deadline"
	EndCancel   = "cancelled"
)

// mostMovable bounds the places that one table covers; on a larger board each
// round takes those around the worst.
const mostMovable = 64

// trialsAUnit is how often a round tries each unit of its table: a strip as a
// whole is one, however many blocks it is cut into.
const trialsAUnit = 64

// restartFactor is how much worse than the best a round may end for the next to
// go on from there.
const restartFactor = 1.2

// solvedARound, over the number of places, is how many of the good arrangements
// of a round are solved exactly: many on a small board, where it costs little.
const solvedARound = 128

// Improve looks for the arrangement of the blocks with the smallest worst
// utilisation under the conditions. The search itself goes by a surrogate, the
// stress of settled end states; the best of each round is judged with its
// exposures, and now and then, at last in any case, in full, as a check does: that
// decides what is told. Rings that nobody has looked at lie as in a typical draw of
// them, and stay as they lie. It gives the best board it met,
// never one worse than f, also when the deadline passed or ctx was cancelled
// meanwhile (Result.End tells). Equal arguments give equal results unless the
// deadline cut in.
//
// Errors: a fault.List for options out of range; those of check.Board for a
// board that cannot be checked; the context's error when not even the board as
// it stands was judged yet.
func Improve(ctx context.Context, f *layout.File, c check.Conditions, o Options) (*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	shop, _ := Shop(o.Have) // check has refused what is not known
	if o.Rounds == 0 {
		o.Rounds = defaultRounds
	}
	c.Progress = nil
	c.Remember()
	parent := ctx
	began := time.Now()
	// The board as it stands is judged whatever the deadline: it is the first answer there is.
	h, err := newSearch(parent, f, c, o)
	if err != nil {
		return nil, err
	}
	if o.Deadline > 0 {
		var cancel context.CancelFunc
		ctx, cancel = Until(ctx, began.Add(o.Deadline))
		defer cancel()
	}
	h.shop = shop
	end := EndDone
	if err := h.run(ctx); err != nil {
		switch {
		case parent.Err() != nil && !errors.Is(parent.Err(), context.DeadlineExceeded):
			end = EndCancel
		case ctx.Err() != nil:
			end = EndDeadline
		default:
			return nil, err
		}
	}
	h.settle()
	return h.result(end)
}

func (o *Options) check() error {
	var l fault.List
	bad := func(pointer, detail, allowed string) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: pointer, Detail: detail, Allowed: allowed})
	}
	if o.Turns < 0 {
		bad("/turns", "the number of blocks that may be turned is negative", "0 (any number) and up")
	}
	if o.Rounds < 0 || o.Rounds > 1000 {
		bad("/rounds", "the number of rounds is out of range", "0 (the default) to 1000")
	}
	if o.Deadline < 0 {
		bad("/deadline", "the time allowed is negative", "0 (none) and up")
	}
	if _, err := Shop(o.Have); err != nil {
		l = append(l, fault.Of(fault.At(err, "/have"))...)
	}
	return l.Err()
}

// quiet is the utilisation of a board under no stress but round-off.
const quiet = 1e-6

// solved is one arrangement solved exactly.
type solved struct {
	s     *space
	a     arrangement
	model *influence.Model
	worst influence.UniformWorst
}

// search is a search under way.
type search struct {
	o             Options
	asked         check.Conditions // of the figures that are told
	cond          check.Conditions // of the surrogate
	quick         check.Conditions // as asked, by stress only
	first, best   *solved          // by the surrogate
	liked         *solved          // the best by stress under what was asked
	start, least  float64          // utilisation by stress of first, of liked
	kept          *solved          // the best by what was asked, in full
	before, after check.Figure     // of first, of kept, as a check of their files
	trials, exact int
	done          map[string]*solved // without their models
	seen          map[string]bool    // judged by stress under what was asked
	full          map[string]bool    // judged in full
	shop          []*wood.Species
	rng           *rand.Rand
}

func newSearch(ctx context.Context, f *layout.File, c check.Conditions, o Options) (*search, error) {
	h := &search{done: map[string]*solved{}, seen: map[string]bool{}, full: map[string]bool{}, o: o, asked: c, cond: c, quick: c, rng: rand.New(rand.NewPCG(o.Seed, 0x1e7d))}
	h.cond.NoHistories, h.cond.ByStress, h.quick.ByStress = true, true, true
	before, drawn, err := check.FigureOfFile(ctx, f, c)
	if err != nil {
		return nil, err
	}
	h.before = before
	s, err := newSpace(ctx, drawn.Typical.File, h.cond, o)
	if err != nil {
		return nil, err
	}
	if h.first, err = h.solve(ctx, s, s.start()); err != nil {
		return nil, err
	}
	quick := h.before
	if !c.ByStress {
		if quick, err = check.FigureOf(ctx, s.board, h.quick); err != nil {
			return nil, err
		}
	}
	h.best, h.liked, h.kept, h.after = h.first, h.first, h.first, h.before
	h.start, h.least = quick.Utilisation, quick.Utilisation
	key := s.key(s.start())
	h.seen[key], h.full[key] = true, true
	return h, nil
}

// judge holds an arrangement that the surrogate likes against the best liked so
// far, by stress under what was asked.
func (h *search) judge(ctx context.Context, v *solved) error {
	key := v.s.key(v.a)
	if h.seen[key] {
		return nil
	}
	b, err := v.s.boardOf(v.a)
	if err != nil {
		return err
	}
	f, err := check.FigureOf(ctx, b, h.quick)
	if err != nil {
		return err
	}
	h.seen[key] = true
	if f.Utilisation < atMost(v, h.liked, h.least, h.start) {
		h.liked, h.least = v, f.Utilisation
		if h.asked.ByStress && h.before.Rings == nil { // that is all there is to know
			h.kept, h.after, h.full[key] = v, f, true
		}
	}
	return nil
}

// confirm holds what is liked best against what is kept, in full: by the figures
// that are told.
func (h *search) confirm(ctx context.Context) error {
	v := h.liked
	key := v.s.key(v.a)
	if h.full[key] {
		return nil
	}
	f, _, err := check.FigureOfFile(ctx, v.s.fileOf(v.a), h.asked)
	if err != nil {
		return err
	}
	h.full[key] = true
	if f.Utilisation < atMost(v, h.kept, h.after.Utilisation, h.before.Utilisation) {
		h.kept, h.after = v, f
	}
	return nil
}

// atMost is the utilisation below which v takes the place of the best so far: a
// little above it when v asks less of the maker, but never above the start.
func atMost(v, best *solved, u, start float64) float64 {
	if v.s.changed(v.a) < best.s.changed(best.a) && len(v.s.swaps) <= len(best.s.swaps) {
		return math.Min(u*alikeEnough+unstressed, start)
	}
	return u
}

// settle leaves the board as it stands where what was found is hardly better, or worse by
// another way than the cracks that the search went by.
func (h *search) settle() {
	if h.after.Verdict.Severity() > h.before.Verdict.Severity() || h.before.Utilisation <= h.after.Utilisation*alikeEnough+unstressed {
		h.kept, h.after = h.first, h.before
	}
}

func (h *search) solve(ctx context.Context, s *space, a arrangement) (*solved, error) {
	b, err := s.boardOf(a)
	if err != nil {
		return nil, err
	}
	m, err := influence.Prepare(ctx, b, h.cond.Solving())
	if err != nil {
		return nil, err
	}
	w, err := m.WorstUniform(ctx, h.cond.Demand())
	if err != nil {
		return nil, err
	}
	h.exact++
	h.done[s.key(a)] = &solved{s: s, a: a.clone(), worst: w}
	return &solved{s, a.clone(), m, w}, nil
}

func (h *search) known(s *space, a arrangement) bool { return h.done[s.key(a)] != nil }

func (h *search) tell(round int) {
	if h.o.Progress != nil {
		h.o.Progress(Progress{round, h.o.Rounds, h.trials, h.exact, h.after.Utilisation})
	}
}

// run does the rounds: a table around the best, a search on it, an exact solution
// of where it led. Hot walks and cool ones take turns.
func (h *search) run(ctx context.Context) error {
	h.first = &solved{s: h.first.s, a: h.first.a, worst: h.first.worst} // its model need not be kept
	if h.o.FreeSpecies {
		if err := h.swapWoods(ctx); err != nil {
			return err
		}
		if err := h.judge(ctx, h.best); err != nil {
			return err
		}
	}
	if err := h.startElsewhere(ctx); err != nil {
		return err
	}
	var t *table
	at := h.best // where the next table is made
	for round := 0; round < h.o.Rounds; round++ {
		h.tell(round)
		if round%2 == 0 && h.best.worst.Utilisation >= quiet {
			next, err := h.rework(ctx, at)
			if err != nil {
				return err
			}
			if next != at {
				at, t = next, nil
			}
			if at.worst.Utilisation < h.best.worst.Utilisation {
				h.best = at
			}
		}
		s := at.s
		if len(s.units) == 0 || h.best.worst.Utilisation < quiet {
			break
		}
		hot := 0.05
		if round%3 != 0 {
			hot = 0.015
		}
		var found *solved
		var err error
		if found, t, err = h.walk(ctx, at, t, hot, uint64(round)); err != nil {
			return err
		}
		if err := h.judge(ctx, h.best); err != nil {
			return err
		}
		if round&(round+1) == 0 { // after rounds 1, 2, 4, 8, …: in case time runs out
			if err := h.confirm(ctx); err != nil {
				return err
			}
		}
		// A little worse is still a good place to go on from: the sums are exact there.
		switch {
		case found.worst.Utilisation < h.best.worst.Utilisation*restartFactor:
			at, t = found, nil
		case at != h.best || len(t.place) < s.placesToTurn():
			at, t = h.best, nil
		}
	}
	for _, last := range []func(context.Context) error{h.simplify, h.undo} {
		if err := last(ctx); err != nil {
			return err
		}
	}
	if err := h.judge(ctx, h.best); err != nil {
		return err
	}
	for _, last := range []func(context.Context) error{h.confirm, h.rest} {
		if err := last(ctx); err != nil {
			return err
		}
	}
	h.tell(h.o.Rounds)
	return nil
}

// walk makes a table where it starts, unless there is one, walks on it, and solves where
// that led; it gives the best of it and the table.
func (h *search) walk(ctx context.Context, at *solved, t *table, hot float64, nth uint64) (*solved, *table, error) {
	s := at.s
	if t == nil {
		var err error
		if t, err = newTable(ctx, s, at.model, at.a, h.movable(at), h.o.Seed+nth); err != nil {
			return nil, nil, err
		}
	}
	w := newSearchState(t)
	trials := trialsAUnit * t.units()
	p := newElite(max(1, solvedARound/len(t.place)), func(a arrangement) bool { return h.known(s, a) })
	if len(s.like) == 0 && t.arrangements() <= float64(trials) {
		w.all(ctx, h.o.Turns, p)
	} else {
		w.anneal(ctx, h.rng, trials, hot, 0.001, h.o.Turns, p)
	}
	w.descend(ctx, h.o.Turns)
	w.takeBack(ctx)
	h.trials += w.trial
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	found, err := h.solve(ctx, s, w.a)
	if err != nil {
		return nil, nil, err
	}
	for _, a := range p.list() {
		if h.known(s, a) {
			continue
		}
		also, err := h.solve(ctx, s, a)
		if err != nil {
			return nil, nil, err
		}
		if also.worst.Utilisation < found.worst.Utilisation {
			found = also
		}
	}
	if found.worst.Utilisation < h.best.worst.Utilisation {
		h.best = found
	}
	return found, t, nil
}

// placesToTurn counts the places whose pieces may be turned.
func (s *space) placesToTurn() int {
	n := 0
	for u := range s.units {
		n += len(s.units[u].places)
	}
	return n
}

// units counts what the table can turn.
func (t *table) units() int {
	n := 0
	for u := range t.s.units {
		if t.slot[t.s.units[u].places[0]] >= 0 {
			n++
		}
	}
	return n
}

// arrangements counts those the table can make; a large number is only about so.
func (t *table) arrangements() float64 {
	n := 1.0
	for u := range t.s.units {
		if t.slot[t.s.units[u].places[0]] >= 0 {
			n *= float64(t.s.units[u].ways)
		}
	}
	return n
}

// movable lists the places of the next table: all, or on a large board the units
// under the highest stress and some at random.
func (h *search) movable(at *solved) []int {
	s, w := at.s, &at.worst
	worst := slices.Clone(w.Pieces)
	for j, u := range w.Joints {
		jt := &s.board.Joints[j]
		worst[jt.A], worst[jt.B] = max(worst[jt.A], u), max(worst[jt.B], u)
	}
	list := make([]ranked, len(s.units))
	for u := range s.units {
		list[u].unit = u
		for _, p := range s.units[u].places {
			list[u].u = max(list[u].u, worst[p])
		}
		list[u].u *= 1 + 0.1*h.rng.Float64()
	}
	return pick(s, list)
}
