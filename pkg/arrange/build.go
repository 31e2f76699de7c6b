package arrange

import (
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// built lists the ways to turn each stick of a build before its panel is glued. All
// that is cut from it lies accordingly, so its pieces go together; nothing else of a
// panel is loose. Sticks of panels that are glued, and whatever is laid in, stay.
func built(b *layout.Board, glued []string, out [][]option, in []group) {
	cells := map[int][][]int{} // by stick: what each slice took of it
	for i := range b.Build.Slices {
		s := &b.Build.Slices[i]
		of := map[int][]int{}
		var order []int
		for _, p := range s.Pieces {
			stick := b.Pieces[p].Stick
			if of[stick] == nil {
				order = append(order, stick)
			}
			of[stick] = append(of[stick], p)
		}
		for _, stick := range order {
			cells[stick] = append(cells[stick], of[stick])
		}
	}
	done := gluedPanels(b, glued)
	for n := range b.Build.Sticks {
		stick := &b.Build.Sticks[n]
		for _, cell := range cells[n] {
			for _, i := range cell {
				out[i] = []option{{i, position{}}}
				in[i] = group{PanelStick, stick.ID, stick.ID}
			}
		}
		if stick.Panel < 0 || done[stick.Panel] || slices.ContainsFunc(stick.Parts, func(p layout.StickPart) bool { return p.RingUnknown }) {
			continue
		}
		for _, g := range waysOf(stick) {
			stickWay(b, cells[n], g, out)
		}
	}
}

// waysOf lists the turns of a stick about its length and over that leave it as wide
// and as high as it is, the present one left out, those with least to do first.
func waysOf(s *layout.Stick) []position {
	square := math.Abs(s.Width-s.Height) < fits
	var all []position
	for _, over := range []bool{false, true} {
		for _, turn := range []float64{0, 90, -90, 180} {
			if g := (position{over, turn}); g != (position{}) && (square || math.Abs(turn) != 90) {
				all = append(all, g)
			}
		}
	}
	return all
}

// stickWay adds a way to all places of a stick, where it leaves the picture as it is
// in every slice and puts the rings anywhere new.
func stickWay(b *layout.Board, cells [][]int, g position, out [][]option) {
	to := make([][]int, len(cells))
	on := make([]position, len(cells))
	fresh := false
	for k, cell := range cells {
		on[k] = g.seenOn(&b.Build.Slices[b.Pieces[cell[0]].Slice])
		if to[k] = cell; len(b.Build.Sticks[b.Pieces[cell[0]].Stick].Parts) > 1 {
			centre, whole := middle(b, cell)
			m, ok := cellMap(b, cell, centre, on[k])
			if !ok || !whole {
				return
			}
			to[k] = m
		}
		known := make([][]option, len(cell))
		for i, p := range cell {
			known[i] = out[p]
		}
		fresh = fresh || cellDiffers(b, known, to[k], on[k])
	}
	if !fresh {
		return
	}
	for k, cell := range cells {
		for i, p := range cell {
			out[p] = append(out[p], option{to[k][i], on[k]})
		}
	}
}

// middle is the centre of what a slice took of a stick, and whether all its parts are
// there: at the ends of a border the saw takes some.
func middle(b *layout.Board, cell []int) (layout.XY, bool) {
	lo, hi := layout.XY{math.Inf(1), math.Inf(1)}, layout.XY{math.Inf(-1), math.Inf(-1)}
	area := 0.0
	for _, i := range cell {
		area += b.Pieces[i].Area
		for _, q := range b.Pieces[i].Outline {
			for a := range q {
				lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
			}
		}
	}
	s := &b.Build.Sticks[b.Pieces[cell[0]].Stick]
	want := s.Width * b.Build.Panels[s.Panel].Thickness
	return layout.XY{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}, math.Abs(area-want) < fits*(s.Width+s.Height)
}

// seenOn is a turn of the stick as it is seen on the board in a slice that lies
// otherwise than its panel: the slice's turn undone, the stick's, the slice's again.
func (g position) seenOn(s *layout.Slice) position {
	lies, back := liesOf(s)
	h := back.then(g).then(lies)
	h.turn = wrap(h.turn)
	return h
}

// onPanel is the turn of the stick that is seen on the board as g.
func (g position) onPanel(s *layout.Slice) position {
	lies, back := liesOf(s)
	h := lies.then(g).then(back)
	h.turn = wrap(h.turn)
	return h
}

// liesOf is how a slice lies against its panel, and what undoes it.
func liesOf(s *layout.Slice) (lies, back position) {
	over, quarters := s.Lies()
	lies = position{over, 90 * float64(quarters)}
	if back = lies; !over {
		back.turn = -lies.turn
	}
	return lies, back
}

// then is p followed by q.
func (p position) then(q position) position {
	if q.over {
		p.turn = -p.turn
	}
	return position{p.over != q.over, p.turn + q.turn}
}

// isGlued tells whether a piece lies as it will: in a panel, the field or a border that
// is glued already.
func isGlued(b *layout.Board, glued []string, piece int) bool {
	return slices.ContainsFunc(b.GlueUps, func(g layout.GlueUp) bool {
		return g.Kind != layout.StageStick && slices.Contains(glued, g.ID) && slices.Contains(g.Pieces, piece)
	})
}

// gluedPanels tells which panels are glued already, by what of the glue-ups is done.
func gluedPanels(b *layout.Board, glued []string) []bool {
	done := make([]bool, len(b.Build.Panels))
	for _, id := range glued {
		k := slices.IndexFunc(b.GlueUps, func(g layout.GlueUp) bool { return g.ID == id })
		if k < 0 || b.GlueUps[k].Kind == layout.StageStick {
			continue
		}
		for _, i := range b.GlueUps[k].Pieces {
			if p := &b.Pieces[i]; p.Slice >= 0 && b.Build.Slices[p.Slice].Panel >= 0 {
				done[b.Build.Slices[p.Slice].Panel] = true
			}
		}
	}
	return done
}

// IsGluedIn tells whether any of a wood is glued in already, by its id.
func IsGluedIn(b *layout.Board, glued []string, species string) bool {
	return slices.ContainsFunc(b.GlueUps, func(g layout.GlueUp) bool {
		return slices.Contains(glued, g.ID) && slices.ContainsFunc(g.Pieces, func(i int) bool { return b.Pieces[i].Species == species })
	})
}

// Unglued refuses what is no glue-up of the board.
func Unglued(b *layout.Board, glued []string) fault.List {
	known := make([]string, len(b.GlueUps))
	for i := range b.GlueUps {
		known[i] = b.GlueUps[i].ID
	}
	var l fault.List
	for _, id := range glued {
		if !slices.Contains(known, id) {
			l = append(l, fault.Fault{Rule: fault.UnknownName, Pointer: "/glued", Detail: "the board has no such glue-up", Found: fault.Short(id),
				Allowed: strings.Join(known, ", "), Nearest: fault.Nearest(id, known, 1)})
		}
	}
	return l
}

// asStick tells a stick that is turned in the words of the build.
func (s *space) asStick(f *layout.File, u *unit, a arrangement) bool {
	if u.unit != PanelStick {
		return false
	}
	first := u.places[0]
	s.turnStick(f, &s.board.Pieces[first], s.variants[a[first]].pos)
	return true
}

// turnStick turns the stick a piece was cut from, by a turn told as it is seen on the
// board there.
func (s *space) turnStick(f *layout.File, p *layout.Piece, pos position) {
	stick := &s.board.Build.Sticks[p.Stick]
	g := pos.onPanel(&s.board.Build.Slices[p.Slice])
	f.TurnStick(s.board.Build.Panels[stick.Panel].Key, stick.Place, g.over, int(math.Round(g.turn/90)))
}
