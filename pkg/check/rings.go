package check

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Rings tells how a board comes out whose rings nobody has looked at: over draws at
// random of every angle that is not known. The report, or the figure, is that of the
// typical draw.
type Rings struct {
	Pieces  int     `json:"pieces"`  // whose rings nobody has looked at
	Draws   int     `json:"draws"`   // boards drawn, with the seeds from 1 up
	Seed    int     `json:"seed"`    // of the typical draw; see layout.File.Drawn
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

// Draw is a board file with its unknown rings drawn, and its board.
type Draw struct {
	File  *layout.File
	Board *layout.Board
	seed  uint64
	u     float64
}

// Draws are the two of twenty draws of a board file whose rings nobody has looked at by
// which it is judged. Where all rings are known there is one, the file as it is.
type Draws struct {
	Typical Draw
	Unlucky *Draw // the unlucky one in twenty; nil where all rings are known
	open    int   // pieces whose rings nobody has looked at
}

// Draw draws the unknown rings of a board file, whose board is b, and ranks the draws by
// stress in the end states of the conditions. Errors: those of Board.
func (c Conditions) Draw(ctx context.Context, f *layout.File, b *layout.Board) (*Draws, error) {
	d := &Draws{Typical: Draw{File: f, Board: b}}
	for i := range b.Pieces {
		if b.Pieces[i].RingUnknown {
			d.open++
		}
	}
	if d.open == 0 {
		return d, nil
	}
	c.NoHistories, c.NoCracks, c.NoChance, c.NoCauses, c.ByStress = true, true, true, true, true
	c.Progress = nil
	c.Remember()
	var all []Draw
	for seed := uint64(1); seed <= draws; seed++ {
		one := Draw{File: f.Drawn(seed), seed: seed}
		if err := one.lay(); err != nil {
			return nil, err
		}
		g, err := FigureOf(ctx, one.Board, c)
		if err != nil {
			return nil, err
		}
		one.u = g.Utilisation
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b Draw) int { return cmp.Compare(a.u, b.u) })
	d.Typical, d.Unlucky = all[typical], &all[unlucky]
	return d, nil
}

func (d *Draw) lay() error {
	b, faults := d.File.Board()
	d.Board = b
	return faults.Err()
}

// rings tells how the draws came out.
func (d *Draws) rings(typical, unlucky Figure) *Rings {
	g := &Rings{Pieces: d.open, Draws: draws, Seed: int(d.Typical.seed), Typical: typical.Index, Unlucky: unlucky.Index, Verdict: unlucky.Verdict}
	if g.Unlucky < g.Typical { // stress ranked them, cracks decide
		g.Unlucky, g.Verdict = g.Typical, typical.Verdict
	}
	g.Text = fmt.Sprintf("Nobody has looked at the rings of %d of the %d pieces, so this is a typical draw of %d: %s. The unlucky one in twenty comes to %.0f %%: %s. Look at the ends of the pieces and write down how their rings lie.",
		d.open, len(d.Typical.Board.Pieces), draws, typical.Verdict, 100*g.Unlucky, g.Verdict)
	return g
}

// Report is the check of a board file whose rings were drawn: judge (Board, or a
// session's) of the typical draw, with what comes of the unlucky one beside it. Errors:
// those of Board.
func (d *Draws) Report(ctx context.Context, c Conditions, judge func(context.Context, *layout.Board, Conditions) (*Report, error)) (*Report, error) {
	r, err := judge(ctx, d.Typical.Board, c)
	if err != nil || d.Unlucky == nil {
		return r, err
	}
	worse, err := judge(ctx, d.Unlucky.Board, c)
	if err != nil {
		return nil, err
	}
	told := *r // a session keeps what it answered
	told.Rings = d.rings(r.Figure(), worse.Figure())
	return &told, nil
}

// Figure is that of Report. Errors: those of Board.
func (d *Draws) Figure(ctx context.Context, c Conditions) (Figure, error) {
	f, err := FigureOf(ctx, d.Typical.Board, c)
	if err != nil || d.Unlucky == nil {
		return f, err
	}
	worse, err := FigureOf(ctx, d.Unlucky.Board, c)
	if err != nil {
		return Figure{}, err
	}
	f.Rings = d.rings(f, worse)
	return f, nil
}

// FigureOfFile judges a board file as File does. Errors: those of Board.
func FigureOfFile(ctx context.Context, f *layout.File, c Conditions) (Figure, *Draws, error) {
	b, faults := f.Board()
	if len(faults) > 0 {
		return Figure{}, nil, faults
	}
	d, err := c.Draw(ctx, f, b)
	if err != nil {
		return Figure{}, nil, err
	}
	g, err := d.Figure(ctx, c)
	return g, d, err
}

// File checks a board file. Where all rings are known that is judge (Board, or a
// session's) of its board b. Where nobody has looked at some, they are drawn at random:
// the draws are ranked by stress in the end states, and the typical and the unlucky one
// in twenty are judged. The board given back is the one the report is of. Errors: those
// of Board.
func File(ctx context.Context, f *layout.File, b *layout.Board, c Conditions, judge func(context.Context, *layout.Board, Conditions) (*Report, error)) (*layout.Board, *Report, error) {
	d, err := c.Draw(ctx, f, b)
	if err != nil {
		return nil, nil, err
	}
	r, err := d.Report(ctx, c, judge)
	if err != nil {
		return nil, nil, err
	}
	return d.Typical.Board, r, nil
}
