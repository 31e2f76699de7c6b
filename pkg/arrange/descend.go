package arrange

import (
	"context"
	"slices"
	"sort"
)

// ranked is a unit with the worst utilisation on it.
type ranked struct {
	unit int
	u    float64
}

// pick takes the units under the highest utilisation up to mostMovable places, at
// least one unit.
func pick(s *space, list []ranked) []int {
	sort.SliceStable(list, func(a, b int) bool { return list[a].u > list[b].u })
	var out []int
	for _, u := range list {
		places := s.units[u.unit].places
		if len(out) > 0 && len(out)+len(places) > mostMovable {
			break
		}
		out = append(out, places...)
	}
	slices.Sort(out)
	return out
}

// mostSweeps bounds a descent. It ends by itself after three or four sweeps.
const mostSweeps = 12

// leastGain is the part of the sum that a turn must take away for a descent to
// keep it: more than round-off.
const leastGain = 1e-6

// descend turns single units for as long as that helps, or until ctx ends.
func (w *searchState) descend(ctx context.Context, turns int) {
	s := w.t.s
	w.settle()
	w.resum()
	better := true
	for sweep := 0; better && sweep < mostSweeps; sweep++ {
		better = false
		for u := range s.units {
			if w.t.slot[s.units[u].places[0]] < 0 {
				continue
			}
			for way := range s.units[u].ways {
				if ctx.Err() != nil {
					return
				}
				cs := w.to(u, way)
				if len(cs) == 0 || turns > 0 && s.changed(w.after(cs)) > turns {
					continue
				}
				if least := w.sum * (1 - leastGain); w.try(cs) < least && w.keep(cs, least) {
					better = true
				}
			}
		}
	}
}

// keep makes changes and lets every piece feel them. Unless the sum is then
// below a bound they are taken back: try looks at the nearest points and at each
// piece by itself, so it may promise what does not come.
func (w *searchState) keep(cs []change, below float64) bool {
	before := w.save()
	w.make(cs)
	w.settle()
	w.resum()
	if w.sum < below {
		return true
	}
	w.restore(before)
	return false
}

// to puts a unit into one of its positions; nil when it lies there.
func (w *searchState) to(u, way int) []change {
	s := w.t.s
	var cs []change
	for _, p := range s.units[u].places {
		of := s.at(p, w.a)
		if way >= len(of) || of[way] == w.a[p] {
			return nil
		}
		cs = append(cs, change{p, of[way]})
	}
	return cs
}

// worth is how much the norm must gain by a turned block for the block to
// stay turned: work that buys less is not asked of a maker.
const worth = 0.002

// takeBack puts blocks back as the file has them where that costs next to nothing.
func (w *searchState) takeBack(ctx context.Context) {
	s := w.t.s
	for u := range s.units {
		if ctx.Err() != nil {
			return
		}
		p := s.units[u].places[0]
		if w.t.slot[p] < 0 || s.units[u].key == "" && s.variants[w.a[p]].item != p {
			continue
		}
		most := w.sum * (1 + 16*worth)
		if cs := w.to(u, 0); len(cs) > 0 && w.try(cs) < most {
			w.keep(cs, most)
		}
	}
}

// after is the arrangement that changes would give.
func (w *searchState) after(cs []change) arrangement {
	a := w.a.clone()
	for _, c := range cs {
		a[c.place] = c.variant
	}
	return a
}
