// Package advice works out what would help a board: single changes a maker can
// make, each recomputed, and the best of them together with turned blocks.
package advice

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Candidate is one change that helps, with what it brings. The figures are those
// of a check of Board under the conditions asked for; what Board says of home and
// exposures goes before them.
type Candidate struct {
	Name string `json:"name"` // "turn-one", "swap-wood", "border-up", …
	Text string `json:"text"` // what to do, in a maker's words
	check.Figure
	Left   float64         `json:"left"`   // index over that of the board as it stands
	Effort int             `json:"effort"` // 1 (an hour in the shop) to 4 (another design, wood or buyer)
	Cost   Cost            `json:"cost"`
	Note   string          `json:"note,omitempty"` // what the figure leaves out
	Board  json.RawMessage `json:"board"`          // the board file with the change

	file   *layout.File
	cond   check.Conditions // under which it is judged in full
	design bool             // it makes another board than the build tells
	solved bool             // see proposal
}

// Cost is what a change costs the design.
type Cost struct {
	Turned int            `json:"turned"` // blocks, strips and sticks turned, and what else is done otherwise
	Swaps  []arrange.Swap `json:"swaps,omitempty"`
	Text   string         `json:"text"` // in words
}

// Advice is what helps, the best first; see rank.
type Advice struct {
	Now      check.Figure     `json:"now"`       // the board as it stands
	LookedAt []string         `json:"looked_at"` // end states and exposures that the figures are of
	Ranked   string           `json:"surrogate"` // what candidates were ranked by before the best were judged in full
	Moves    []Candidate      `json:"moves"`
	Design   []Candidate      `json:"design"`            // of a board that tells its build what would make another board of it, as far as nothing is glued that it changes; Moves then has what the shop can do with this one. Empty elsewhere
	Tried    []string         `json:"tried"`             // names of what was worked out and gains too little
	Skipped  []string         `json:"skipped,omitempty"` // what was not tried or could not be, and why
	Cautions []safety.Caution `json:"cautions"`          // blocks that are turned or thinned are sawn and planed
}

// Options says how to look for advice. The zero value is the documented default.
type Options struct {
	Seed  uint64   // of the search for blocks to turn
	Glued []string // glue-ups of a build that are done: see arrange.Options
	Have  []string // woods in the shop, by name: only these are swapped in; empty: any, common ones first
}

// leastGain is the part of the figure that gives the word which a change must take away
// to be told, unless it betters the word.
const leastGain = 0.05

// proposal is a candidate before it is worked out.
type proposal struct {
	name, text, note string
	effort           int
	cost             Cost
	make             func(*layout.File) // change of the file; nil when file is given
	file             *layout.File       // a file already changed
	home, exposures  bool               // the file states these anew
	same             bool               // of use only if histories are looked at
	design           bool               // it makes another board than the build tells
	solved           bool               // the same board, solved already: another home, finish or use of it
}

// adviser works candidates out.
type adviser struct {
	f      *layout.File
	b      *layout.Board // of f
	asked  check.Conditions
	cond   check.Conditions // as asked, by stress only: what candidates are ranked by
	before check.Figure     // of the board as it stands, by stress only
	still  *check.Figure    // the same in settled wood alone, once that was asked for
	seed   uint64
	glued  []string
	shop   []*wood.Species
	quick  bool           // no histories are looked at
	held   *check.Session // the board as it stands, solved
	// Told of what Quick judges in full.
	progress func(done, total int, what string)
	out      *Advice
}

// Moves works out single changes to a board: blocks turned, woods swapped, the
// border altered, the glue-up at another moisture, another thickness, feet, a
// denser finish, another home; at the end the best of them together with turned
// blocks. Of a board that tells its build what the shop can do with its sticks and
// waits stands apart from what would be another board. All are worked out from scratch by stress under the conditions; the
// best are judged in full, as a check does, and these figures are told. What
// cannot be worked out is listed with the reason, what gains less than a twentieth
// by its name.
//
// Errors: a fault.List for unknown woods in Have, at "/have/0" and so on, and for what
// is no glue-up of the board, at "/glued"; those of check.Board for the board itself. When ctx ends in between, what is done is
// given and the rest listed as skipped.
func Moves(ctx context.Context, f *layout.File, c check.Conditions, o Options) (*Advice, error) {
	shop, err := arrange.Shop(o.Have)
	if err != nil {
		return nil, below("/have", err)
	}
	c.Progress = nil
	c.Remember()
	now, drawn, err := check.FigureOfFile(ctx, f, c)
	if err != nil {
		return nil, err
	}
	f, b := drawn.Typical.File, drawn.Typical.Board
	if l := arrange.Unglued(b, o.Glued); len(l) > 0 {
		return nil, l
	}
	stress := c
	stress.ByStress = true
	a, err := begin(ctx, f, b, c, stress, now)
	if err != nil {
		return nil, err
	}
	a.seed, a.glued, a.shop, a.out.LookedAt, a.out.Ranked = o.Seed, o.Glued, shop, now.LookedAt, rankedBy
	if !check.IsCrack(now.Mode) {
		a.out.Ranked = rankedByWay
	}
	asked := c.Demand()
	asked.NoMishaps = true
	events, err := asked.Exposures(b)
	if err != nil {
		return nil, err
	}
	a.quick = len(events) == 0
	most, cancel := leaving(ctx, shareToJudge)
	defer cancel()
	design := func(list []proposal) {
		for _, p := range a.another(list) {
			a.work(most, &p)
		}
	}
	conditioned := func() {
		for _, p := range slices.Concat(a.glueUp(most), a.rests(most)) {
			a.work(most, &p)
		}
	}
	// What helps most for its time comes first, in case that runs out: to a maker who has cut
	// his sticks a wait, elsewhere the border.
	if b.Build != nil {
		conditioned()
		a.turns(most, f, stress, everyTurn, nil)
		design(a.borders())
	} else {
		design(a.borders())
		a.turns(most, f, stress, everyTurn, nil)
		conditioned()
	}
	design(slices.Concat(a.woods(), a.use(events)))
	a.together(most)
	a.rank(promises)
	a.judge(ctx)
	a.apart()
	return a.out, nil
}

// another marks proposals that make another board of one that tells its build.
func (a *adviser) another(list []proposal) []proposal {
	for i := range list {
		list[i].design = a.b.Build != nil
	}
	return list
}

// mostHeld bounds what is kept of the board as it stands, bytes.
const mostHeld = 1 << 30

// begin prepares advice on a board whose figure is known: candidates are ranked
// under other conditions than those asked for.
func begin(ctx context.Context, f *layout.File, b *layout.Board, asked, ranking check.Conditions, now check.Figure) (*adviser, error) {
	held := check.NewSession(mostHeld)
	before, err := held.FigureOf(ctx, b, ranking)
	if err != nil {
		return nil, err
	}
	return &adviser{held: held, f: f, b: b, asked: asked, cond: ranking, before: before,
		out: &Advice{Now: now, Moves: []Candidate{}, Design: []Candidate{}, Tried: []string{}, Cautions: arrange.CautionsOf(b)}}, nil
}

// shareToJudge is the part of the time allowed that is kept for judging in full.
const shareToJudge = 0.4

// leaving is a context that ends when a share of the time of another is left.
func leaving(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	end, limited := ctx.Deadline()
	if !limited {
		return ctx, func() {}
	}
	return arrange.Until(ctx, end.Add(-time.Duration(share*float64(time.Until(end)))))
}

// below puts the faults of an argument under its name.
func below(pointer string, err error) error {
	var list fault.List
	if !errors.As(err, &list) {
		return err
	}
	for i := range list {
		list[i].Pointer = pointer + list[i].Pointer
	}
	return list
}

func (a *adviser) skip(what string, why any) {
	a.out.Skipped = append(a.out.Skipped, fmt.Sprintf("%s: %v", strings.TrimSuffix(what, "."), why))
}

// work judges a proposal and enters it into the advice.
func (a *adviser) work(ctx context.Context, p *proposal) {
	if p.same && a.quick {
		a.skip(p.text, "it makes a difference to histories only, and none were asked for")
		return
	}
	if ctx.Err() != nil {
		a.skip(p.text, "no time left")
		return
	}
	m, err := a.candidate(ctx, p)
	a.take(ctx, p.text, m, err)
}

// take puts a candidate among the moves, or says why it is left out.
func (a *adviser) take(ctx context.Context, text string, m *Candidate, err error) {
	switch {
	case ctx.Err() != nil:
		a.skip(text, "no time left")
	case err != nil:
		a.skip(text, err)
	default:
		a.out.Moves = append(a.out.Moves, *m)
	}
}

// candidate judges the board file that a proposal makes.
func (a *adviser) candidate(ctx context.Context, p *proposal) (*Candidate, error) {
	file := p.file
	if p.make != nil {
		file = a.f.Clone()
		p.make(file)
	}
	b, faults := file.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	judge := check.FigureOf
	if p.solved {
		judge = a.held.FigureOf
	}
	cond, before, err := a.ranking(ctx, p)
	if err != nil {
		return nil, err
	}
	f, err := judge(ctx, b, cond)
	if err != nil {
		return nil, err
	}
	return &Candidate{Name: p.name, Text: p.text, Figure: f, Effort: p.effort, Cost: p.cost, Note: p.note, Board: file.JSON(), Left: a.ranked(&f, before),
		file: file, cond: p.conditions(a.asked), design: p.design, solved: p.solved}, nil
}

// ranking is what a proposal is ranked under, and the board as it stands under that. What
// other borders and woods of a build would do is seen in settled wood, in a fraction of the
// time: they come after what the shop can do.
func (a *adviser) ranking(ctx context.Context, p *proposal) (check.Conditions, *check.Figure, error) {
	cond := p.conditions(a.cond)
	if !p.design || p.same || p.solved || cond.NoHistories || !check.IsCrack(a.out.Now.Mode) {
		return cond, &a.before, nil
	}
	cond.NoHistories = true
	if a.still == nil {
		f, err := check.FigureOf(ctx, a.b, cond)
		if err != nil {
			return cond, nil, err
		}
		a.still = &f
	}
	return cond, a.still, nil
}

// ranked is what a change leaves in the figures by which changes are ranked: where a crack
// gives the word that of cracks, else that of the way that gives it, where it is judged.
func (a *adviser) ranked(f, before *check.Figure) float64 {
	if mode := a.out.Now.Mode; !check.IsCrack(mode) {
		return left(f.Of(mode), before.Of(mode))
	}
	return left(f.Utilisation, before.Utilisation)
}

// helps tells whether a change is worth telling: it betters the word, or leaves less of
// the figure that gives it and the word no worse.
func (a *adviser) helps(f *check.Figure) bool {
	now := &a.out.Now
	if f.Verdict.Severity() != now.Verdict.Severity() {
		return f.Verdict.Severity() < now.Verdict.Severity()
	}
	return left(f.Of(f.Mode), now.Of(now.Mode)) <= 1-leastGain
}

// left is one figure over another, 1 where there is nothing to take away.
func left(u, of float64) float64 {
	if of < leastUtilisation {
		return 1
	}
	return u / of
}

// leastUtilisation is that of a board under no stress but round-off.
const leastUtilisation = 1e-6

// conditions are those asked for, without what the changed file itself says.
func (p *proposal) conditions(c check.Conditions) check.Conditions {
	if p.home {
		c.Climate = nil
	}
	if p.exposures {
		c.Events, c.NoHistories = nil, false
	}
	return c
}

// turnStep is one search for blocks to turn: at most so many, 0 for any number.
type turnStep struct {
	name         string
	most, rounds int
	effort       int
}

// everyTurn is as many blocks as help, a few, and one.
var everyTurn = []turnStep{{"turn-many", 0, 4, 2}, {"turn-few", 6, 2, 1}, {"turn-one", 1, 1, 1}}

// turns proposes to turn blocks, step by step as long as fewer help too: what many do not
// gain a few do not either. After another change, when one is given.
func (a *adviser) turns(ctx context.Context, f *layout.File, c check.Conditions, steps []turnStep, after *Candidate) {
	last := math.MaxInt
	for _, s := range steps {
		if ctx.Err() != nil {
			a.skip("turning blocks", "no time left")
			return
		}
		r, err := arrange.Improve(ctx, f, c, arrange.Options{Turns: s.most, Rounds: s.rounds, Seed: a.seed, Glued: a.glued, KeepRests: true})
		if err != nil {
			a.skip("turning blocks", err)
			return
		}
		switch {
		case r.Changed == 0:
			return
		case r.Changed >= last:
			continue // as many as told already
		}
		last = r.Changed
		p := proposal{name: s.name, effort: s.effort, text: workText(r), file: r.File, cost: Cost{Turned: r.Changed, Text: costOfWork(r)}}
		if after != nil {
			p.name, p.note, p.effort = after.Name+"+"+p.name, after.Note, min(most, after.Effort+1)
			p.text = after.Text + " Then: " + p.text
			p.cost.Swaps, p.cost.Text = after.Cost.Swaps, after.Cost.Text+"; "+p.cost.Text
			p.home, p.exposures = homeMoves[after.Name], exposureMoves[after.Name]
		}
		told := len(a.out.Moves)
		a.work(ctx, &p)
		if n := len(a.out.Moves); n > told && !promises(&a.out.Moves[n-1]) {
			return
		}
	}
}

// Moves whose board files state the home, or the exposures, anew.
var (
	homeMoves     = map[string]bool{"other-home": true}
	exposureMoves = map[string]bool{"feet": true}
)

// together turns blocks after the best single change of another sort that does
// not ask for another design, wood or buyer. Of a build that would be another board to
// ask about.
func (a *adviser) together(ctx context.Context) {
	if a.b.Build != nil {
		return
	}
	var best *Candidate
	for i := range a.out.Moves {
		if m := &a.out.Moves[i]; m.Cost.Turned == 0 && m.Effort < most && m.Left < 1-leastGain && (best == nil || m.score() < best.score()) {
			best = m
		}
	}
	if best == nil {
		return
	}
	p := proposal{home: homeMoves[best.Name], exposures: exposureMoves[best.Name]}
	then := *best
	a.turns(ctx, then.file, p.conditions(a.cond), everyTurn[:1], &then)
}
