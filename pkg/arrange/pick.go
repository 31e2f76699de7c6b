package arrange

import (
	"slices"
	"sort"
)

// hotUnit is a unit with the worst utilisation on it.
type hotUnit struct {
	unit int
	heat float64
}

// pick takes the hottest units up to mostMovable places, at least one unit.
func pick(s *space, list []hotUnit) []int {
	sort.SliceStable(list, func(a, b int) bool { return list[a].heat > list[b].heat })
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

// descend turns single units for as long as that helps.
func (w *walker) descend(turns int) {
	s := w.t.s
	for better := true; better; {
		better = false
		for u := range s.units {
			if w.t.slot[s.units[u].places[0]] < 0 {
				continue
			}
			for way := range s.units[u].ways {
				cs := w.to(u, way)
				if len(cs) == 0 || turns > 0 && s.changedAfter(w.a, cs) > turns {
					continue
				}
				if w.try(cs) < w.sum*(1-1e-6) {
					w.make(cs)
					better = true
				}
			}
		}
	}
	w.settle()
	w.resum()
}

// to puts a unit into one of its positions; nil when it lies there.
func (w *walker) to(u, way int) []change {
	s := w.t.s
	var cs []change
	for _, p := range s.units[u].places {
		of := s.of[s.variants[w.a[p]].item]
		if way >= len(of) || of[way] == w.a[p] {
			return nil
		}
		cs = append(cs, change{p, of[way]})
	}
	return cs
}

// worth is how much the soft worst must gain by a turned block for the block to
// stay turned: work that buys less is not asked of a maker.
const worth = 0.002

// takeBack puts blocks back as the file has them where that costs next to nothing.
func (w *walker) takeBack() {
	s := w.t.s
	for u := range s.units {
		p := s.units[u].places[0]
		if w.t.slot[p] < 0 || s.variants[w.a[p]].item != p {
			continue
		}
		if cs := w.to(u, 0); len(cs) > 0 && w.try(cs) < w.sum*(1+16*worth) {
			w.make(cs)
		}
	}
	w.settle()
	w.resum()
}

func (s *space) changedAfter(a arrangement, cs []change) int {
	after := a.clone()
	for _, c := range cs {
		after[c.place] = c.variant
	}
	return s.changed(after)
}
