package arrange

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// mostAlike is the number of woods tried in place of another.
const mostSimilar = 3

// Shop finds the woods that lie in the shop by their names. Errors: a fault.List
// with one entry for each name nobody knows, at "/0", "/1", ….
func Shop(names []string) ([]*wood.Species, error) {
	var out []*wood.Species
	var faults fault.List
	for i, name := range names {
		w, err := wood.Find(name)
		if err == nil {
			out = append(out, w)
			continue
		}
		faults = append(faults, fault.Of(fault.At(err, fmt.Sprintf("/%d", i)))...)
	}
	return out, faults.Err()
}

// yard are the woods that most timber yards sell by the board.
var yard = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	for _, r := range data.Table("yard_woods.csv", "id") {
		out[r.Get("id")] = true
	}
	return out
})

// Common tells whether most timber yards sell a wood.
func Common(w *wood.Species) bool { return yard()[w.ID] }

// SimilarWoods lists woods to take instead of one of the board's: those of a shop, of
// like colour first, or else those of the same class and colour group, what yards
// sell before what they do not. Within these come first those whose movement,
// radial and tangential, is nearest to the mean of the rest of the board: unlike
// movement is what a swap can take away.
func SimilarWoods(b *layout.Board, species string, shop []*wood.Species) []*wood.Species {
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
	first := func(w *wood.Species) int { // what comes before all else
		if len(shop) > 0 && w.ColourGroup == own.ColourGroup || len(shop) == 0 && Common(w) {
			return 0
		}
		return 1
	}
	from := shop
	if len(shop) == 0 {
		from = wood.All()
	}
	var all []*wood.Species
	for _, w := range from {
		if w.ID != own.ID && (len(shop) > 0 || w.Class == own.Class && w.ColourGroup == own.ColourGroup) {
			all = append(all, w)
		}
	}
	slices.SortStableFunc(all, func(x, y *wood.Species) int {
		return cmp.Or(first(x)-first(y), cmp.Compare(off(x), off(y)))
	})
	return all[:min(len(all), mostSimilar)]
}

// SpeciesOf lists the woods of a board in the order of its pieces.
func SpeciesOf(b *layout.Board) []string {
	return b.Distinct(func(p *layout.Piece) string { return p.Species })
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
			if IsGluedIn(before.s.board, h.o.Glued, from) {
				continue
			}
			for _, to := range SimilarWoods(before.s.board, from, h.shop) {
				s, err := newSpace(ctx, WithSpecies(before.s.file, from, to.ID), h.cond, h.o)
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
