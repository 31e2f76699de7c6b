package check

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Rings tells how a board comes out whose rings nobody has looked at: over draws at
// random of every angle that is not known. The report is that of the typical draw.
type Rings struct {
	Pieces  int     `json:"pieces"`  // whose rings nobody has looked at
	Draws   int     `json:"draws"`   // boards drawn, with the seeds from 1 up
	Seed    int     `json:"seed"`    // of the typical draw, which the report is of; see layout.File.Draw
	Typical float64 `json:"typical"` // its index, dimensionless
	Unlucky float64 `json:"unlucky"` // that of the unlucky draw in twenty
	Verdict Verdict `json:"verdict"` // of the unlucky one
	Text    string  `json:"text"`
}

// Draws of one board, and which of them, counted from the luckiest, are judged in full.
const (
	draws   = 20
	typical = 10 - 1
	unlucky = 19 - 1
)

// File checks a board file. Where all rings are known that is judge (Board, or a
// session's) of its board b. Where nobody has looked at some, they are drawn at random:
// the draws are ranked by stress in the end states, and the typical and the unlucky one
// in twenty are judged. The board given back is the one the report is of. Errors: those
// of Board.
func File(ctx context.Context, f *layout.File, b *layout.Board, c Conditions, judge func(context.Context, *layout.Board, Conditions) (*Report, error)) (*layout.Board, *Report, error) {
	open := 0
	for i := range b.Pieces {
		if b.Pieces[i].RingUnknown {
			open++
		}
	}
	if open == 0 {
		r, err := judge(ctx, b, c)
		return b, r, err
	}
	type draw struct {
		seed  uint64
		board *layout.Board
		u     float64
	}
	rank := c
	rank.NoHistories, rank.NoCracks, rank.NoChance, rank.NoCauses, rank.ByStress = true, true, true, true, true
	var all []draw
	for seed := uint64(1); seed <= draws; seed++ {
		drawn, faults := f.Draw(seed).Board()
		if err := faults.Err(); err != nil {
			return nil, nil, err
		}
		g, err := FigureOf(ctx, drawn, rank)
		if err != nil {
			return nil, nil, err
		}
		all = append(all, draw{seed, drawn, g.Utilisation})
	}
	slices.SortStableFunc(all, func(a, b draw) int { return cmp.Compare(a.u, b.u) })
	one := &all[typical]
	r, err := judge(ctx, one.board, c)
	if err != nil {
		return nil, nil, err
	}
	worse, err := judge(ctx, all[unlucky].board, c)
	if err != nil {
		return nil, nil, err
	}
	told := *r // a session keeps what it answered
	g := &Rings{Pieces: open, Draws: draws, Seed: int(one.seed), Typical: r.Index, Unlucky: worse.Index, Verdict: worse.Verdict}
	if g.Unlucky < g.Typical { // stress ranked them, cracks decide
		g.Unlucky, g.Verdict = g.Typical, r.Verdict
	}
	g.Text = fmt.Sprintf("Nobody has looked at the rings of %d of the %d pieces, so this is a typical draw of %d: %s. The unlucky one in twenty comes to %.0f %%: %s. Look at the ends of the pieces and write down how their rings lie.",
		open, len(b.Pieces), draws, r.Verdict, 100*g.Unlucky, g.Verdict)
	told.Rings = g
	return one.board, &told, nil
}
