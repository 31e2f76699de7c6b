package advice

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// What Quick takes on: boards of at most so many pieces, whose best changes take a
// few checks; it tells so many, and judges at most so many in full.
const (
	QuickPieces = 150
	quickTold   = 2
	quickJudged = 3
)

// quickRanked is rankedBy of Quick.
const quickRanked = "stress of settled wood only; the best are judged in full"

// quickUnranked stands in its place where another way than a crack gives the word.
const quickUnranked = "nothing: moisture at glue-up alone, each judged in full"

// Quick works out the two changes that help most, in the time of a few checks, for
// whoever has just got a report: single changes of border, arrangement, wood and
// moisture at glue-up, ranked by stress in the end states, the best judged in full
// like those of Moves, which tries more; where another way than a crack gives the word,
// moisture at glue-up alone, judged in full. A board of more than QuickPieces pieces, or
// one that holds, is left as it is: nothing is told.
//
// Errors: those of check.Board, and the context's.
func Quick(ctx context.Context, f *layout.File, b *layout.Board, c check.Conditions, now check.Figure) (*Advice, error) {
	out := &Advice{Now: now, LookedAt: now.LookedAt, Ranked: quickRanked, Moves: []Candidate{}, Design: []Candidate{}, Tried: []string{}}
	if now.Verdict == check.Holds {
		return out, nil
	}
	if len(b.Pieces) > QuickPieces {
		out.Skipped = []string{"every change: a board of so many pieces takes long"}
		return out, nil
	}
	progress := c.Progress
	c.Progress = nil // of many small questions
	c.Remember()
	settled := c
	settled.ByStress, settled.NoHistories = true, true
	a, err := begin(ctx, f, b, c, settled, now)
	if err != nil {
		return nil, err
	}
	a.out.LookedAt, a.out.Ranked, a.quick, a.progress = now.LookedAt, quickRanked, true, progress
	if !check.IsCrack(now.Mode) {
		a.out.Ranked = quickUnranked // settled wood does not show the other ways
		for _, p := range a.glueUp(ctx) {
			a.work(ctx, &p)
		}
		a.judgeFew(ctx)
		return a.out, ctx.Err()
	}
	for _, p := range slices.Concat(a.another(a.borders()), a.glueUp(ctx), a.another(a.woods())) {
		a.work(ctx, &p)
	}
	a.turns(ctx, f, settled, []turnStep{{"turn-many", 0, 1, 2}}, nil)
	a.rank(promises)
	a.judgeFew(ctx)
	a.apart()
	return a.out, ctx.Err()
}

// judgeFew judges the best in full until enough of them help. Of changes that come
// to one and the same board the first is told.
func (a *adviser) judgeFew(ctx context.Context) {
	ranked, judged := a.out.Moves, 0
	a.out.Moves = []Candidate{}
	for i := range ranked {
		m := &ranked[i]
		same := func(o Candidate) bool { return math.Abs(o.Utilisation-m.Utilisation) < leastUtilisation }
		if slices.ContainsFunc(ranked[:i], same) {
			continue
		}
		if len(a.out.Moves) == quickTold || judged == quickJudged {
			break
		}
		judged++
		asked := *m
		asked.cond.Progress = a.progress
		f, err := a.inFull(ctx, &asked)
		if err != nil {
			a.skip(m.Text, err)
			continue
		}
		full := *m
		full.Figure, full.Left = f, left(f.Index, a.out.Now.Index)
		if a.helps(&f) {
			a.out.Moves = append(a.out.Moves, full)
		} else {
			a.out.Tried = append(a.out.Tried, full.Name)
		}
	}
	a.rank(a.told)
}
