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

// turnedAll turns every unit by g where that is one of its positions; the others,
// and pieces with curved rings, stay.
func (s *space) turnedAll(a arrangement, g position) arrangement {
	out := a.clone()
	for u := range s.units {
		var to []int
		for _, p := range s.units[u].places {
			v := &s.variants[a[p]]
			item := &s.board.Pieces[v.item]
			if item.Pith != nil {
				break
			}
			want := g.ring(v.pos.ring(item.RingAngle))
			for _, id := range s.of[v.item] {
				if axisApart(s.variants[id].pos.ring(item.RingAngle), want) < 1e-6 {
					to = append(to, id)
					break
				}
			}
		}
		if len(to) < len(s.units[u].places) {
			continue
		}
		for k, p := range s.units[u].places {
			out[p] = to[k]
		}
	}
	return out
}
