package arrange

import (
	"context"
	"maps"
	"math"
	"slices"
)

// alikeEnough is how much worse an arrangement may be that asks for fewer blocks
// to be turned.
const alikeEnough = 1.01

// unstressed is a utilisation that is round-off and not worth telling apart.
const unstressed = 1e-6

// wholes are what can be done to the rings of all blocks at once.
var wholes = []position{{turn: 90}, {over: true}, {over: true, turn: 90}}

// simplify tries what comes of turning all blocks alike once more: what counts is
// mostly how the rings lie to each other, so most blocks may go back as the file
// has them and the few others be turned instead. Of all arrangements solved that
// are as good as the best it takes the one that asks least.
func (h *search) simplify(ctx context.Context) error {
	s := h.best.s
	for _, g := range wholes {
		a := s.turnedAll(h.best.a, g)
		if n := s.changed(a); n >= s.changed(h.best.a) || h.o.Turns > 0 && n > h.o.Turns || h.known(s, a) {
			continue
		}
		if _, err := h.solve(ctx, s, a); err != nil {
			return err
		}
	}
	most := math.Min(h.best.worst.Utilisation*alikeEnough+unstressed, h.first.worst.Utilisation)
	for _, key := range slices.Sorted(maps.Keys(h.done)) {
		d := h.done[key]
		if d.s != s || d.worst.Utilisation > most {
			continue
		}
		n, least := s.changed(d.a), s.changed(h.best.a)
		if n < least || n == least && d.worst.Utilisation < h.best.worst.Utilisation {
			h.best = d
		}
	}
	return nil
}

// turnedAll turns every unit by g where that is one of its ways; the others, and
// pieces with curved rings, stay.
func (s *space) turnedAll(a arrangement, g position) arrangement {
	out := a.clone()
	for u := range s.units {
		un := &s.units[u]
		for way := range un.ways {
			if !s.turnsTo(un, way, a, g) {
				continue
			}
			for _, p := range un.places {
				out[p] = s.at(p, a)[way]
			}
			break
		}
	}
	return out
}

// turnsTo reports whether a way of a unit puts all its rings where g turns them.
func (s *space) turnsTo(un *unit, way int, a arrangement, g position) bool {
	ring := func(id int) (float64, bool) {
		v := &s.variants[id]
		item := &s.board.Pieces[v.item]
		return v.pos.ring(item.RingAngle), item.Pith == nil
	}
	for _, p := range un.places {
		of := s.at(p, a)
		if way >= len(of) {
			return false
		}
		now, straight := ring(a[p])
		then, also := ring(of[way])
		if !straight || !also || axisApart(then, g.ring(now)) >= 1e-6 {
			return false
		}
	}
	return true
}
