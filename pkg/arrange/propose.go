package arrange

import "math/rand/v2"

// propose draws a change at random: mostly a unit turned, where the pattern is
// free every third time two pieces that change places. With a limit on turns a
// change beyond it takes another one back. It may come back empty.
func (w *searchState) propose(rng *rand.Rand, turns int) []change {
	s := w.t.s
	if len(s.like) > 0 && rng.IntN(3) == 0 {
		return w.limited(rng, w.exchange(rng), turns)
	}
	u := rng.IntN(len(s.units))
	return w.limited(rng, w.turn(rng, u), turns)
}

// turn puts a unit into another of its positions.
func (w *searchState) turn(rng *rand.Rand, u int) []change {
	s := w.t.s
	un := &s.units[u]
	first := un.places[0]
	if w.t.slot[first] < 0 {
		return nil
	}
	set := s.at(first, w.a)
	now := w.a[first] - set[0]
	for k, id := range set {
		if id == w.a[first] {
			now = k
		}
	}
	ways := min(un.ways, len(set))
	if un.key == "" {
		ways = len(set) // of the piece that lies there now
	}
	if ways < 2 {
		return nil
	}
	to := rng.IntN(ways - 1)
	if to >= now {
		to++
	}
	var cs []change
	for _, p := range un.places {
		cs = append(cs, change{p, s.at(p, w.a)[to]})
	}
	return cs
}

// exchange lets two pieces of equal outline change places, each in any position.
func (w *searchState) exchange(rng *rand.Rand) []change {
	s := w.t.s
	set := s.like[rng.IntN(len(s.like))]
	p, q := set[rng.IntN(len(set))], set[rng.IntN(len(set))]
	if p == q || w.t.slot[p] < 0 || w.t.slot[q] < 0 {
		return nil
	}
	any := func(place int) int {
		of := s.of[s.variants[w.a[place]].item]
		return of[rng.IntN(len(of))]
	}
	return []change{{p, any(q)}, {q, any(p)}}
}

// limited keeps the number of changed units within turns (0: any number).
func (w *searchState) limited(rng *rand.Rand, cs []change, turns int) []change {
	if turns == 0 || len(cs) == 0 {
		return cs
	}
	s := w.t.s
	for range 4 {
		after := w.after(cs)
		if s.changed(after) <= turns {
			return cs
		}
		if len(s.like) > 0 {
			return nil // taking an exchange back may start a chain
		}
		var back []int
		for u := range s.units {
			// What an earlier round turned lies beyond this table's reach.
			if p := s.units[u].places[0]; w.t.slot[p] >= 0 && after[p] != s.of[p][0] && p != cs[0].place {
				back = append(back, u)
			}
		}
		if len(back) == 0 {
			return nil
		}
		for _, p := range s.units[back[rng.IntN(len(back))]].places {
			cs = append(cs, change{p, s.of[p][0]})
		}
	}
	return nil
}
