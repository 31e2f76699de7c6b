package arrange

import (
	"cmp"
	"context"
	"math"
	"reflect"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// deed changes a work by one thing a maker may do otherwise.
type deed func(*work)

// mostDeeds is how many deeds are tried in one go, each solved exactly: fewer on a large
// board, so many in all over its pieces, and in a search of few rounds, from which an
// answer is wanted soon, so many for each.
const mostDeeds, leastDeeds, deedsOverPieces, deedsARound = 64, 12, 4096, 16

// worthADeed is the part of the utilisation that a deed must take away to be done.
const worthADeed = 0.005

// deeds lists what a maker may do otherwise with what is not glued yet: sticks of a
// panel that change places, slices laid otherwise or in another order, and border
// strips with another face inwards. Whether the picture stays is seen once a board is
// laid out.
func (s *space) deeds(o *Options) []deed {
	told, b := s.origin, s.board
	if b.Build == nil {
		return nil
	}
	var out []deed
	panels := gluedPanels(b, o.Glued)
	for i := range b.Build.Panels {
		p := &b.Build.Panels[i]
		if told.Field.Build == nil || panels[i] || p.Slices == 0 {
			continue
		}
		of := told.Field.Build.Panels[p.Key].Sticks
		now := s.work.order(p.Key, len(of))
		looked := func(stick int) bool { // what nobody has looked at makes nothing better elsewhere
			return !slices.ContainsFunc(b.Build.Sticks[p.Sticks[slices.Index(now, stick)]].Parts, func(p layout.StickPart) bool { return p.RingUnknown })
		}
		for x := range of {
			for y := x + 1; y < len(of); y++ {
				if looked(x) && looked(y) && (o.FreePattern || of[x].Stick == of[y].Stick) && !reflect.DeepEqual(of[x], of[y]) {
					out = append(out, func(w *work) {
						order := w.order(p.Key, len(of))
						w.swapSticks(p.Key, len(of), slices.Index(order, x), slices.Index(order, y))
					})
				}
			}
		}
	}
	glued := func(border int) bool { // whether the field, or a border at least so far out, is glued on
		return slices.ContainsFunc(b.GlueUps, func(g layout.GlueUp) bool {
			return slices.Contains(o.Glued, g.ID) && (g.Kind == layout.StageBorder && g.Border >= border || border < 0 && g.Kind == layout.StageField)
		})
	}
	switch {
	case glued(-1):
	case told.Field.Build != nil:
		out = append(out, rowDeeds(told, o.FreePattern)...)
	default:
		for _, turn := range sliceTurns {
			out = append(out, func(w *work) { w.second = turn })
		}
	}
	for i := range told.Borders {
		if glued(i) {
			continue
		}
		for _, face := range facesOf(told, b, i) {
			out = append(out, func(w *work) {
				if w.faces == nil {
					w.faces = map[int]string{}
				}
				w.faces[i] = face
			})
		}
	}
	return out
}

// sliceTurns are the ways a slice may lie.
var sliceTurns = []string{"none", "end-for-end", "over", "both"}

// rowDeeds lays slices otherwise: every second one, and each by itself; with the pattern
// free also two that change places.
func rowDeeds(told *layout.File, free bool) (out []deed) {
	rows := told.Field.Build.Rows()
	var of []int
	for r := range rows {
		if rows[r].Panel != "" {
			of = append(of, r)
		}
	}
	lay := func(turn string, some func(nth int) bool) {
		out = append(out, func(w *work) {
			w.tellRows(rows)
			for n, r := range of {
				if some(n) {
					w.lies[r] = turn
				}
			}
		})
	}
	for _, turn := range sliceTurns {
		if len(of) > 2 {
			lay(turn, func(n int) bool { return n%2 == 1 })
		}
		for k := range of {
			lay(turn, func(n int) bool { return n == k })
		}
	}
	for x := range of {
		for y := x + 1; y < len(of); y++ {
			if free || rows[of[x]].Panel != rows[of[y]].Panel {
				out = append(out, func(w *work) {
					w.tellRows(rows)
					a, b := of[x], of[y]
					w.rows[a], w.rows[b] = w.rows[b], w.rows[a]
					w.lies[a], w.lies[b] = w.lies[b], w.lies[a]
				})
			}
		}
	}
	return out
}

// asWide is how far the width of a strip may be off the thickness of the board for the
// strip to be rolled a quarter turn, mm: what jointing and planing leave to choose.
const asWide = 3

// facesOf lists the faces of a border's strips that may go inwards.
func facesOf(told *layout.File, b *layout.Board, i int) []string {
	e := &told.Borders[i]
	if e.Panel != "" {
		return sliceTurns
	}
	c := told.Clone()
	var out []string
	if _, ok := c.Around(e.Stock); ok && e.Grain == "along" {
		out = append(out, around)
	}
	if _, ok := c.QuarterTurned(e.Stock); ok && e.Grain == "along" && math.Abs(b.Borders[i].Width-b.Thickness) < asWide {
		out = append(out, quarter)
	}
	return out
}

// stickTurn is how a stick is turned beyond what the file tells, counted as the file
// lists the sticks.
type stickTurn struct {
	panel       string
	stick       int
	over        bool
	quarterings int
}

// stickTurns lists the sticks that an arrangement turns.
func (s *space) stickTurns(a arrangement) (out []stickTurn) {
	for u := range s.units {
		first := s.units[u].places[0]
		if s.units[u].unit != PanelStick || a[first] == s.of[first][0] {
			continue
		}
		p := &s.board.Pieces[first]
		stick := &s.board.Build.Sticks[p.Stick]
		panel := &s.board.Build.Panels[stick.Panel]
		g := s.variants[a[first]].pos.onPanel(&s.board.Build.Slices[p.Slice])
		out = append(out, stickTurn{panel.Key, s.work.order(panel.Key, len(panel.Sticks))[stick.Place], g.over, int(math.Round(g.turn / 90))})
	}
	return out
}

// boardFor lays a work out with the sticks turned, and the blocks of borders lying, as
// in an arrangement of this space. Not ok when the work cannot be, or changes a picture
// that is to stay.
func (s *space) boardFor(w *work, a arrangement, free bool) (*layout.Board, bool) {
	f := w.file(s.origin)
	for _, t := range s.stickTurns(a) {
		n := len(f.Field.Build.Panels[t.panel].Sticks)
		f.TurnStick(t.panel, slices.Index(w.order(t.panel, n), t.stick), t.over, t.quarterings)
	}
	as := s.fileOf(a)
	if f.Field.Slices != nil {
		f.Field.Slices.Strips = as.Field.Slices.Strips
		if w.second != s.work.second && len(as.Pieces) > len(s.origin.Pieces) {
			return nil, false // strips whose rings curve are told piece by piece
		}
	}
	f.Pieces = as.Pieces
	b, faults := f.Board()
	if len(faults) > 0 || !free && !alike(b, s.board) {
		return nil, false
	}
	return b, true
}

// matching is the arrangement of the space in which all that can be turned lies as on a
// board of the same picture.
func (s *space) matching(b *layout.Board) arrangement {
	a := s.start()
	for u := range s.units {
		un := &s.units[u]
		for way := range un.ways {
			fits := true
			for _, p := range un.places {
				v := &s.variants[s.of[p][way]]
				fits = fits && v.liesAs(s.board, &b.Pieces[p])
			}
			if fits {
				for _, p := range un.places {
					a[p] = s.of[p][way]
				}
				break
			}
		}
	}
	return a
}

// liesAs tells whether a variant lies as a piece does.
func (v *variant) liesAs(b *layout.Board, p *layout.Piece) bool {
	item := b.Pieces[v.item]
	item.RingAngle = v.pos.ring(item.RingAngle)
	if item.Pith != nil {
		rel := v.pos.of(pithFrom(&item))
		item.Pith = &layout.XY{p.Centre[0] + rel[0], p.Centre[1] + rel[1]}
	}
	return item.Stock == p.Stock && lieSame(&item, p)
}

// with is the space of the same file with another work.
func (s *space) with(ctx context.Context, w *work, c check.Conditions, o Options) (*space, error) {
	next, err := newSpace(ctx, w.file(s.origin), c, o)
	if err != nil {
		return nil, err
	}
	next.origin, next.work, next.swaps = s.origin, w, s.swaps
	next.done = w.actions(s.origin)
	return next, nil
}

// rework tries what else a maker may do otherwise than in an arrangement, sticks staying
// turned as they are, and does what helps; it gives the arrangement it comes to.
func (h *search) rework(ctx context.Context, at *solved) (*solved, error) {
	s := at.s
	list := s.deeds(&h.o)
	if most := min(mostDeeds, deedsARound*h.o.Rounds, max(leastDeeds, deedsOverPieces/len(s.board.Pieces))); len(list) > most {
		h.rng.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
		list = list[:most]
	}
	w, least := s.work, at.worst.Utilisation
	now, ok := s.boardFor(w, at.a, true)
	if !ok {
		return at, nil
	}
	turned := len(s.stickTurns(at.a))
	for _, do := range list {
		next := w.clone()
		do(next)
		if n := next.actions(s.origin); h.o.Turns > 0 && n+turned > h.o.Turns {
			continue
		}
		b, ok := s.boardFor(next, at.a, h.o.FreePattern)
		if !ok || alike(b, now) && lieAlike(b, now) {
			continue
		}
		u, err := h.settled(ctx, b)
		if err != nil {
			return nil, err
		}
		if u < least*(1-worthADeed) {
			w, least, now = next, u, b
		}
	}
	if w == s.work {
		return at, nil
	}
	return h.moveTo(ctx, s, w, now)
}

// What is made otherwise from the start: on boards of so many pieces, of so many ways to
// go about the work the best by themselves, one for so many pieces.
const (
	startPieces     = 48
	mostWorks       = 32
	startOverPieces = 192
)

// startElsewhere turns the sticks of a small build also where more is done otherwise at
// once: what pays only together is not found deed by deed.
func (h *search) startElsewhere(ctx context.Context) error {
	from := h.best
	s := from.s
	list := s.deeds(&h.o)
	if len(list) == 0 || len(s.board.Pieces) > startPieces || h.o.Rounds < defaultRounds || from.worst.Utilisation < quiet {
		return nil
	}
	type start struct {
		w *work
		b *layout.Board
		u float64
	}
	seen := map[string]bool{string(s.file.JSON()): true}
	all := []start{{s.work, s.board, from.worst.Utilisation}}
	for k := 0; k < len(all) && len(all) < mostWorks; k++ {
		for _, do := range list {
			w := all[k].w.clone()
			do(w)
			key := string(w.file(s.origin).JSON())
			if seen[key] || h.o.Turns > 0 && w.actions(s.origin) > h.o.Turns || len(all) == mostWorks {
				continue
			}
			seen[key] = true
			b, ok := s.boardFor(w, from.a, h.o.FreePattern)
			if !ok || alike(b, all[k].b) && lieAlike(b, all[k].b) {
				continue
			}
			u, err := h.settled(ctx, b)
			if err != nil {
				return err
			}
			all = append(all, start{w, b, u})
		}
	}
	all = all[1:]
	slices.SortStableFunc(all, func(a, b start) int { return cmp.Compare(a.u, b.u) })
	for i, v := range all[:min(len(all), max(1, startOverPieces/len(s.board.Pieces)))] {
		at, err := h.moveTo(ctx, s, v.w, v.b)
		if err != nil {
			return err
		}
		if at.worst.Utilisation < h.best.worst.Utilisation {
			h.best = at
		}
		if len(at.s.units) == 0 {
			continue
		}
		if _, _, err := h.walk(ctx, at, nil, 0.05, uint64(i)); err != nil {
			return err
		}
	}
	return nil
}

// moveTo solves a board in the space of its work.
func (h *search) moveTo(ctx context.Context, from *space, w *work, b *layout.Board) (*solved, error) {
	s, err := from.with(ctx, w, h.cond, h.o)
	if err != nil {
		return nil, err
	}
	return h.solve(ctx, s, s.matching(b))
}

// settled is the utilisation of a board that the search goes by, by settled end states.
func (h *search) settled(ctx context.Context, b *layout.Board) (float64, error) {
	m, err := influence.Prepare(ctx, b, h.cond.Solving())
	if err != nil {
		return 0, err
	}
	v, err := m.WorstUniform(ctx, h.cond.Demand())
	h.exact++
	return v.Utilisation, err
}

// undo takes back what was done otherwise where that costs next to nothing.
func (h *search) undo(ctx context.Context) error {
	for {
		at := h.best
		before := at.s.done
		if before == 0 {
			return nil
		}
		most := math.Min(at.worst.Utilisation*alikeEnough+unstressed, h.first.worst.Utilisation)
		var better *solved
		for _, do := range at.s.deeds(&h.o) {
			next := at.s.work.clone()
			do(next)
			if next.actions(at.s.origin) >= before {
				continue
			}
			b, ok := at.s.boardFor(next, at.a, h.o.FreePattern)
			if !ok {
				continue
			}
			u, err := h.settled(ctx, b)
			if err != nil {
				return err
			}
			if u <= most {
				if better, err = h.moveTo(ctx, at.s, next, b); err != nil {
					return err
				}
				break
			}
		}
		if better == nil || better.worst.Utilisation > most {
			return nil
		}
		h.best = better
	}
}

// rest tries other waits and another order of gluing on what is kept, in full: they take
// no wood in hand, so they are told only where they gain a twentieth.
func (h *search) rest(ctx context.Context) error {
	if h.o.KeepRests || h.o.Turns > 0 && h.kept.s.changed(h.kept.a) >= h.o.Turns {
		return nil
	}
	s := h.kept.s
	f := s.fileOf(h.kept.a)
	if f.Field.Build == nil {
		return nil
	}
	list, err := Rests(ctx, f, h.cond, h.o.Glued)
	if err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(r Remedy) bool { return r.work.sides != nil && !h.o.FreePattern }) // the corners would look otherwise
	slices.SortStableFunc(list, func(a, b Remedy) int { return cmp.Compare(a.settled, b.settled) })
	type judged struct {
		w   *work
		b   *layout.Board
		fig check.Figure
	}
	var best *judged
	for _, r := range list[:min(len(list), restsJudged)] {
		b, faults := r.File.Board()
		if len(faults) > 0 {
			continue
		}
		fig, _, err := check.FigureOfFile(ctx, r.File, h.asked)
		if err != nil {
			return err
		}
		if fig.Utilisation < h.after.Utilisation*(1-restGain) && (best == nil || fig.Utilisation < best.fig.Utilisation) {
			best = &judged{r.work, b, fig}
		}
	}
	if best == nil {
		return nil
	}
	w := s.work.clone()
	w.rests, w.sides = best.w.rests, best.w.sides
	v, err := h.moveTo(ctx, s, w, best.b)
	if err != nil {
		return err
	}
	h.kept, h.after = v, best.fig
	return nil
}

// restsJudged is how many waits are judged in full, those best for settled wood first.
const restsJudged = 2

// restGain is the part of the utilisation that a wait must take away to be told.
const restGain = 0.05
