package arrange

import (
	"context"
	"math"
	"math/rand/v2"
)

// anneal tries a number of changes, cooling from hot to cold (relative to the
// soft worst), and ends in the arrangement with the least soft worst. The good
// ones met on the way go to the pool.
func (w *walker) anneal(ctx context.Context, rng *rand.Rand, trials int, hot, cold float64, turns int, p *pool) {
	best, bestSoft := w.a.clone(), w.soft()
	cool := math.Pow(cold/hot, 1/math.Max(1, float64(trials-1)))
	temperature := hot
	for n := 0; n < trials; n++ {
		if n%256 == 0 && ctx.Err() != nil {
			break
		}
		cs := w.propose(rng, turns)
		if len(cs) > 0 {
			now, then := w.soft(), math.Pow(w.try(cs), 1.0/16)
			if then < now || rng.Float64() < math.Exp((now-then)/(now*temperature)) {
				w.make(cs)
				s := w.soft()
				p.offer(w.a, s)
				if s < bestSoft {
					bestSoft = s
					copy(best, w.a)
				}
			}
		}
		temperature *= cool
	}
	w.goTo(best)
}
