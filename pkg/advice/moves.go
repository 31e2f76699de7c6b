// Package advice works out what would help a board: single changes a maker can
// make, each recomputed, and the best of them together with turned blocks.
package advice

import (
	"context"
	"encoding/json"
	"fmt"
	"sort"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Candidate is one change that might help, with what it brings.
type Candidate struct {
	Name        string          `json:"name"` // "turn-one", "swap-wood", "border-up", …
	Text        string          `json:"text"` // what to do, in a maker's words
	Utilisation float64         `json:"utilisation"`
	Verdict     check.Verdict   `json:"verdict"`
	Left        float64         `json:"left"` // utilisation over that of the board as it stands
	Worst       string          `json:"worst,omitempty"`
	Cost        Cost            `json:"cost"`
	Note        string          `json:"note,omitempty"` // what the figure leaves out
	Board       json.RawMessage `json:"board"`          // the board file with the change
}

// Cost is what a change costs the design.
type Cost struct {
	Turned int            `json:"turned"` // blocks turned
	Swaps  []arrange.Swap `json:"swaps,omitempty"`
	Text   string         `json:"text"` // in words
}

// Advice is every candidate that was worked out, the most helpful first.
type Advice struct {
	Utilisation float64       `json:"utilisation"` // of the board as it stands
	Verdict     check.Verdict `json:"verdict"`
	Moves       []Candidate   `json:"moves"`
	Skipped     []string      `json:"skipped,omitempty"` // what was not tried or could not be, and why
}

// proposal is a candidate before it is worked out.
type proposal struct {
	name, text, note string
	cost             Cost
	make             func(*layout.File) // change of the file; nil when file is given
	file             *layout.File       // a file already changed
	cond             *check.Conditions  // other conditions than those asked for
	same             bool               // of use only if histories are looked at
}

// adviser works candidates out.
type adviser struct {
	f     *layout.File
	b     *layout.Board // of f
	cond  check.Conditions
	quick bool
	out   *Advice
}

// Moves works out single changes to a board: blocks turned, woods swapped, the
// border altered, the glue-up at another moisture, another thickness, feet, a
// denser finish, another home; at the end the best of them together with turned
// blocks. Each is recomputed from scratch under the conditions, histories
// included when they ask for them; what cannot be worked out is listed with the
// reason. Changes that do not help are listed too, so that nobody needs to try.
//
// Errors: those of check.Board for the board itself. When ctx ends in between,
// what is done is given and the rest listed as skipped.
func Moves(ctx context.Context, f *layout.File, c check.Conditions, seed uint64) (*Advice, error) {
	b, faults := f.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	c.NoCracks, c.Progress, c.Series, c.Samples = true, nil, 0, 0
	if c.Cache == nil {
		c.Cache = check.NewCache(0)
	}
	c.NoChance, c.NoCauses = true, true // only the utilisation is compared
	r, err := check.Board(ctx, b, c)
	if err != nil {
		return nil, err
	}
	a := &adviser{f: f, b: b, cond: c, quick: len(r.Exposures) == 0, out: &Advice{Utilisation: r.Utilisation, Verdict: r.Verdict, Moves: []Candidate{}}}
	var all []proposal
	all = append(all, a.borders()...)
	all = append(all, a.glueUp(ctx)...)
	all = append(all, a.use(r)...)
	all = append(all, a.woods()...)
	for i := range all {
		a.work(ctx, &all[i])
	}
	a.turns(ctx, f, seed, "")
	a.together(ctx, seed)
	sort.SliceStable(a.out.Moves, func(i, k int) bool { return a.out.Moves[i].Utilisation < a.out.Moves[k].Utilisation })
	return a.out, nil
}

func (a *adviser) skip(what string, why any) {
	a.out.Skipped = append(a.out.Skipped, fmt.Sprintf("%s: %v", what, why))
}

// work recomputes a proposal and enters it into the advice.
func (a *adviser) work(ctx context.Context, p *proposal) {
	if p.same && a.quick {
		a.skip(p.text, "it makes a difference to histories only, and none were asked for")
		return
	}
	if ctx.Err() != nil {
		a.skip(p.text, "no time left")
		return
	}
	f := p.file
	if p.make != nil {
		f = a.f.Clone()
		p.make(f)
	}
	b, faults := f.Board()
	if len(faults) > 0 {
		a.skip(p.text, faults)
		return
	}
	c := a.cond
	if p.cond != nil {
		c = *p.cond
	}
	r, err := check.Board(ctx, b, c)
	if err != nil {
		a.skip(p.text, err)
		return
	}
	m := Candidate{Name: p.name, Text: p.text, Utilisation: r.Utilisation, Verdict: r.Verdict, Cost: p.cost, Note: p.note, Board: f.JSON()}
	if a.out.Utilisation > 0 {
		m.Left = r.Utilisation / a.out.Utilisation
	}
	if r.Worst != nil {
		if m.Worst = r.Worst.Joint; m.Worst == "" {
			m.Worst = r.Worst.Piece
		}
	}
	a.out.Moves = append(a.out.Moves, m)
}

// turns proposes to turn one block, a few, and as many as help.
func (a *adviser) turns(ctx context.Context, f *layout.File, seed uint64, after string) {
	few := 6
	steps := []struct {
		name   string
		most   int
		rounds int
	}{{"turn-one", 1, 1}, {"turn-few", few, 2}, {"turn-many", 0, 4}}
	if after != "" {
		steps = steps[2:]
	}
	last := 0
	for _, s := range steps {
		if ctx.Err() != nil {
			a.skip("turning blocks", "no time left")
			return
		}
		r, err := arrange.Improve(ctx, f, a.cond, arrange.Options{Turns: s.most, Rounds: s.rounds, Seed: seed})
		if err != nil {
			a.skip("turning blocks", err)
			return
		}
		if r.Changed == 0 || r.Changed <= last {
			continue // nothing more to gain than with fewer
		}
		last = r.Changed
		p := proposal{name: s.name, text: after + turnText(r.Turns), cost: Cost{Turned: r.Changed, Text: costOfTurns(r.Turns)}, file: r.File}
		a.work(ctx, &p)
	}
}

// together turns blocks after the best single change of another sort.
func (a *adviser) together(ctx context.Context, seed uint64) {
	best := -1
	for i, m := range a.out.Moves {
		if m.Cost.Turned == 0 && m.Left < 0.95 && m.Name != "float-border" && (best < 0 || m.Utilisation < a.out.Moves[best].Utilisation) {
			best = i
		}
	}
	if best < 0 {
		return
	}
	m := a.out.Moves[best]
	f, faults := layout.Parse(m.Board)
	if len(faults) > 0 {
		return // it was written by us
	}
	n := len(a.out.Moves)
	a.turns(ctx, f, seed, m.Text+" Then: ")
	for i := n; i < len(a.out.Moves); i++ {
		c := &a.out.Moves[i]
		c.Name, c.Note, c.Cost.Swaps = m.Name+"+"+c.Name, m.Note, m.Cost.Swaps
		c.Cost.Text = m.Cost.Text + "; " + c.Cost.Text
	}
}
