package advice

import (
	"cmp"
	"context"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// most is the largest effort of a change.
const most = 4

// effortWeight is what each step of effort counts, as a share of what is left of
// the utilisation: our own judgment.
const effortWeight = 0.15

// mostJudged is how many changes are judged in full, the best by stress first; of those
// that make another board of a build mostDesigns.
const mostJudged, mostDesigns = 10, 3

// rankedBy names what stands in for the figures that are told while candidates are
// ranked.
const rankedBy = "stress only; the best ten are judged in full"

// rankedByWay stands in its place where another way than a crack gives the word.
const rankedByWay = "the figure of the way that gives the word; the best ten are judged in full"

// score is what is left of the utilisation, dearer by the effort.
func (m *Candidate) score() float64 { return m.Left * (1 + effortWeight*float64(m.Effort-1)) }

// rank leaves out what does not help, keeping its name, and puts the rest in
// order: by the word that is reached, then by what is left and what it asks.
func (a *adviser) rank(helps func(*Candidate) bool) {
	kept := []Candidate{}
	for _, m := range a.out.Moves {
		if helps(&m) {
			kept = append(kept, m)
		} else if !slices.Contains(a.out.Tried, m.Name) {
			a.out.Tried = append(a.out.Tried, m.Name)
		}
	}
	slices.SortStableFunc(kept, func(x, y Candidate) int {
		return cmp.Or(x.Verdict.Severity()-y.Verdict.Severity(), cmp.Compare(x.score(), y.score()))
	})
	a.out.Moves = kept
}

// judge works out the figures that are told: those of a check, of the best
// changes by stress.
func (a *adviser) judge(ctx context.Context) {
	ranked := a.out.Moves
	a.out.Moves = nil
	slices.SortStableFunc(ranked, func(x, y Candidate) int { return x.rankOfSort() - y.rankOfSort() })
	var judged [2]int
	for i := range ranked {
		m := &ranked[i]
		sort := m.rankOfSort()
		if judged[sort] >= [2]int{mostJudged, mostDesigns}[sort] {
			a.skip(m.Text, "others promise more")
			continue
		}
		judged[sort]++
		f, err := a.inFull(ctx, m)
		m.Figure, m.Left = f, left(f.Index, a.out.Now.Index)
		a.take(ctx, m.Text, m, err)
	}
	a.rank(a.told)
}

// inFull is the figure of a change as a check tells it.
func (a *adviser) inFull(ctx context.Context, m *Candidate) (check.Figure, error) {
	b, faults := m.file.Board()
	if len(faults) > 0 {
		return check.Figure{}, faults
	}
	if m.solved && !slices.ContainsFunc(b.Pieces, func(p layout.Piece) bool { return p.RingUnknown }) {
		return a.held.FigureOf(ctx, b, m.cond)
	}
	f, _, err := check.FigureOfFile(ctx, m.file, m.cond)
	return f, err
}

// rankOfSort puts what the shop can do before what makes another board.
func (m *Candidate) rankOfSort() int {
	if m.design {
		return 1
	}
	return 0
}

// apart puts what makes another board of a build under its own heading.
func (a *adviser) apart() {
	moves := []Candidate{}
	for _, m := range a.out.Moves {
		if m.design {
			a.out.Design = append(a.out.Design, m)
		} else {
			moves = append(moves, m)
		}
	}
	a.out.Moves = moves
}

// promises tells of a change that was ranked whether it is worth judging in full.
func promises(m *Candidate) bool { return m.Left <= 1-leastGain }

// told tells of a change that was judged in full whether it helps.
func (a *adviser) told(m *Candidate) bool { return a.helps(&m.Figure) }
