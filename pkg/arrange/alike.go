package arrange

import (
	"context"
	"math"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// mostAlike is the number of woods tried in place of another.
const mostAlike = 3

// Alike lists woods of the same class and colour group as one of the board's,
// home-grown for home-grown where there are enough of them. Those come first
// whose movement, radial and tangential, is nearest to the mean of the rest of
// the board: unlike movement is what a swap can take away.
func Alike(b *layout.Board, species string) []*wood.Species {
	own, err := wood.Find(species)
	if err != nil {
		return nil // the board was read, so its woods are known
	}
	var r, t, area float64
	for i := range b.Pieces {
		p := &b.Pieces[i]
		if w, err := wood.Find(p.Species); err == nil && p.Species != species {
			r, t, area = r+p.Area*w.ShrinkR.V, t+p.Area*w.ShrinkT.V, area+p.Area
		}
	}
	if area == 0 {
		r, t, area = own.ShrinkR.V, own.ShrinkT.V, 1
	}
	off := func(w *wood.Species) float64 { return math.Hypot(w.ShrinkR.V-r/area, w.ShrinkT.V-t/area) }
	var near, all []*wood.Species
	for _, w := range wood.All() {
		if w.ID == own.ID || w.Class != own.Class || w.ColourGroup != own.ColourGroup {
			continue
		}
		all = append(all, w)
		if w.Origin == own.Origin {
			near = append(near, w)
		}
	}
	if len(near) >= mostAlike {
		all = near
	}
	sort.SliceStable(all, func(x, y int) bool { return off(all[x]) < off(all[y]) })
	return all[:min(len(all), mostAlike)]
}

// SpeciesOf lists the woods of a board in the order of its pieces.
func SpeciesOf(b *layout.Board) []string {
	var out []string
	seen := map[string]bool{}
	for i := range b.Pieces {
		if s := b.Pieces[i].Species; !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}

// WithSpecies is a file in which one wood is swapped for another throughout; the
// stocks keep their keys and all else.
func WithSpecies(f *layout.File, from, to string) *layout.File {
	is := func(name string) bool {
		s, err := wood.Find(name)
		return err == nil && s.ID == from
	}
	c := f.Clone()
	for k, s := range c.Stock {
		if is(s.Species) {
			s.Species = to
			c.Stock[k] = s
		}
	}
	for id, o := range c.Pieces {
		if is(o.Species) {
			o.Species = to
			c.Pieces[id] = o
		}
	}
	return c
}

// swapWoods tries to swap each wood for one that looks like it and keeps what
// helps most, twice at most. Blocks stay as they lie: turning comes after.
func (h *search) swapWoods(ctx context.Context) error {
	const most = 2
	for range most {
		before := h.best
		for _, from := range SpeciesOf(before.s.board) {
			for _, to := range Alike(before.s.board, from) {
				s, err := newSpace(WithSpecies(before.s.file, from, to.ID), h.cond, h.o)
				if err != nil {
					continue // this wood cannot be used here: no stiffness, or it would be too wet
				}
				s.swaps = append(slices.Clone(before.s.swaps), Swap{from, to.ID})
				got, err := h.solve(ctx, s, s.start())
				if err != nil {
					return err
				}
				if got.worst.Utilisation < h.best.worst.Utilisation {
					h.best = got
				}
			}
		}
		if h.best == before {
			break
		}
	}
	return nil
}
