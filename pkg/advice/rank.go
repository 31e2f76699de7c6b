package advice

import (
	"cmp"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
)

// most is the largest effort of a change.
const most = 4

// effortWeight is what each step of effort counts, as a share of what is left of
// the utilisation: our own judgment.
const effortWeight = 0.15

// score is what is left of the utilisation, dearer by the effort.
func (m *Candidate) score() float64 { return m.Left * (1 + effortWeight*float64(m.Effort-1)) }

// words puts the words in order, the best first.
var words = map[check.Verdict]int{check.Holds: 0, check.Tight: 1, check.Doubtful: 2, check.Fails: 3}

// rank leaves out what gains too little, keeping its name, and puts the rest in
// order: by the word that is reached, then by what is left and what it asks.
func (a *adviser) rank() {
	var kept []Candidate
	for _, m := range a.out.Moves {
		if m.Left > 1-leastGain {
			if !slices.Contains(a.out.Tried, m.Name) {
				a.out.Tried = append(a.out.Tried, m.Name)
			}
			continue
		}
		kept = append(kept, m)
	}
	slices.SortStableFunc(kept, func(x, y Candidate) int {
		return cmp.Or(words[x.Verdict]-words[y.Verdict], cmp.Compare(x.score(), y.score()))
	})
	if a.out.Moves = kept; kept == nil {
		a.out.Moves = []Candidate{}
	}
}
