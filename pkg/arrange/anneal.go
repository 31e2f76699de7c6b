package arrange

import (
	"context"
	"math"
	"math/rand/v2"
)

// anneal tries a number of changes, cooling from hot to cold (relative to the
// norm), and ends in the arrangement with the least norm. The good
// ones met on the way go to the elite.
func (w *walk) anneal(ctx context.Context, rng *rand.Rand, trials int, hot, cold float64, turns int, p *elite) {
	best, bestNorm := w.a.clone(), w.norm()
	cool := math.Pow(cold/hot, 1/math.Max(1, float64(trials-1)))
	temperature := hot
	for n := 0; n < trials; n++ {
		if n%32 == 0 && ctx.Err() != nil {
			break
		}
		cs := w.propose(rng, turns)
		if len(cs) > 0 {
			now, then := w.norm(), math.Pow(w.try(cs), 1.0/16)
			if then < now || rng.Float64() < math.Exp((now-then)/(now*temperature)) {
				w.make(cs)
				s := w.norm()
				p.offer(w.a, s)
				if s < bestNorm {
					bestNorm = s
					copy(best, w.a)
				}
			}
		}
		temperature *= cool
	}
	w.goTo(best)
}
