package arrange

import (
	"context"
	"math"
	"math/rand/v2"
)

// anneal tries a number of changes, cooling from hot to cold (relative to the
// norm), and ends in the arrangement with the least norm. The best
// that were tried on the way go to the elite, made or not.
func (w *searchState) anneal(ctx context.Context, rng *rand.Rand, trials int, hot, cold float64, turns int, p *elite) {
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
			if p.takes(then) {
				p.offer(w.after(cs), then)
			}
			if then < now || rng.Float64() < math.Exp((now-then)/(now*temperature)) {
				w.make(cs)
				s := w.norm()
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

// all tries every arrangement the table can make and ends in that of least norm.
func (w *searchState) all(ctx context.Context, turns int, p *elite) {
	best, bestNorm := w.a.clone(), w.norm()
	var units []int
	for u := range w.t.s.units {
		if w.t.slot[w.t.s.units[u].places[0]] >= 0 {
			units = append(units, u)
		}
	}
	way := make([]int, len(units))
	for next := 0; next < len(units) && ctx.Err() == nil; {
		var cs []change
		for i, u := range units {
			cs = append(cs, w.to(u, way[i])...)
		}
		if len(cs) > 0 {
			a := w.after(cs)
			if turns == 0 || w.t.s.changed(a) <= turns {
				norm := math.Pow(w.try(cs), 1.0/16)
				p.offer(a, norm)
				if norm < bestNorm {
					best, bestNorm = a, norm
				}
			}
		}
		for next = 0; next < len(units); next++ { // count up, the first unit fastest
			if way[next]++; way[next] < w.t.s.units[units[next]].ways {
				break
			}
			way[next] = 0
		}
	}
	w.goTo(best)
}
