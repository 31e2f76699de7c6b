package layout

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// buildRow is one row of a field to be stacked: a slice, or a stick laid in.
type buildRow struct {
	panel   *laidPanel // nil for a stick laid in
	turn    string
	strip   Stock   // of a stick laid in
	kind    string  // and its key
	high    float64 // mm, and its section through the board
	height  float64 // mm
	pointer string
}

// buildRows checks the slices of a build in their order.
func (r *layer) buildRows(f *BuildOrder) ([]buildRow, bool) {
	const pointer = buildPointer + "/slices"
	if n := len(f.Slices); n < 1 || n > maxRows {
		r.fault(fault.WrongLength, pointer, "a field needs slices", fmt.Sprintf("1 to %d elements", maxRows))
		return nil, false
	}
	times := 1
	if f.Repeat != 0 {
		if times = f.Repeat; !r.whole(buildPointer+"/repeat", f.Repeat, 1, maxRows) {
			return nil, false
		}
	}
	ok := true
	rows := make([]buildRow, len(f.Slices))
	wide, first := 0.0, "" // of the rows, and the panel that tells it
	for i := range f.Slices {
		if r.full() {
			return nil, false
		}
		good := false
		rows[i], good = r.sliceRow(at(pointer, i), &f.Slices[i])
		ok = ok && good
		if !good || rows[i].panel == nil {
			continue
		}
		w := r.board.Build.Panels[rows[i].panel.index].Width
		switch {
		case first == "":
			wide, first = w, f.Slices[i].Panel
		case w < wide-Snap || w > wide+Snap:
			ok = false
			if r.shop.once("width of " + f.Slices[i].Panel) {
				r.unlikeWidth(at(pointer, i), rows[i].panel, f.Slices[i].Panel, first, w, wide)
			}
		}
	}
	if ok && first == "" {
		r.fault(fault.Construction, pointer, "the field has no slice of a panel, only sticks laid in", "at least one slice of a panel")
		ok = false
	}
	if !ok {
		return nil, false
	}
	if !r.roomForRows(rows, times) {
		return nil, false
	}
	all := make([]buildRow, 0, times*len(rows))
	for range times {
		all = append(all, rows...)
	}
	return all, r.enough(all)
}

// unlikeWidth tells that a row is longer or shorter than another: at the stick whose
// turn makes it so, where it would fit unturned, else at the slice.
func (r *layer) unlikeWidth(pointer string, l *laidPanel, key, first string, w, wide float64) {
	f := fault.Fault{Rule: fault.Construction, Pointer: pointer, Detail: fmt.Sprintf("a slice of panel %s is not as long as one of panel %s", shortened(key), shortened(first)),
		Found: r.shown(w), Allowed: r.shown(wide), Fix: "give all panels of the field sticks of the same widths in all"}
	for _, i := range r.board.Build.Panels[l.index].Sticks {
		s := &r.board.Build.Sticks[i]
		if turned := s.Turn == "quarter" || s.Turn == "three-quarters"; turned && math.Abs(w-s.Width+s.Height-wide) <= Snap {
			f.Pointer, f.Detail = s.Pointer+"/turn", fmt.Sprintf("the turn of this stick makes a slice of panel %s longer or shorter than one of panel %s", shortened(key), shortened(first))
			f.Fix = "a stick that is not square changes its width with a quarter turn: turn it by a half, or leave it"
			break
		}
	}
	r.add(f)
}

// roomForRows refuses more pieces than a board may have before they are made.
func (r *layer) roomForRows(rows []buildRow, times int) bool {
	n := 0
	for _, row := range rows {
		n += row.count()
	}
	if times > r.limits.Pieces { // so that the product cannot overflow
		n, times = max(n, 1), r.limits.Pieces+1
	}
	return r.room(buildPointer+"/slices", n*times)
}

// count is the number of pieces in the row.
func (w *buildRow) count() int {
	if w.panel == nil {
		return 1
	}
	n := 0
	for _, s := range w.panel.sticks {
		n += len(s.parts)
	}
	return n
}

// sliceRow checks one slice, or stick laid in.
func (r *layer) sliceRow(pointer string, s *SliceOf) (buildRow, bool) {
	row := buildRow{turn: orNone(s.Turn), pointer: pointer}
	ok := true
	if s.Turn != "" {
		ok = r.word(pointer+"/turn", s.Turn, turns...)
	}
	switch {
	case s.Panel != "" && s.Stick != "":
		r.fault(fault.NotAllowed, pointer+"/stick", "a row is a slice of a panel, or a stick laid in", "panel or stick")
		return row, false
	case s.Stick != "":
		return r.stripRow(row, s, ok)
	case s.Ring != nil:
		r.fault(fault.NotAllowed, pointer+"/ring_angle", "the rings of a slice are those of its panel's sticks", "ring_angle beside stick only")
		return row, false
	}
	row.panel, ok = r.panelKey(pointer, s.Panel, ok)
	if ok {
		row.height = r.board.Build.Panels[row.panel.index].Thickness
	}
	return row, ok
}

// panelKey looks a panel up; not ok for one that is refused already.
func (r *layer) panelKey(pointer, key string, ok bool) (*laidPanel, bool) {
	p, known := r.shop.panels[key]
	switch {
	case !known && key == "":
		r.fault(fault.MissingKey, pointer, "one of the keys panel, stick is missing", "one of panel, stick")
	case !known && len(r.shop.panels) > 0 && r.shop.once("no panel "+key):
		r.noName(pointer, key, "no panel has the key %q", slices.Sorted(maps.Keys(r.shop.panels)))
	case !known && len(r.shop.panels) == 0 && !r.known[buildPointer] && !r.known[buildPointer+"/panels"] && r.shop.once("no panels"):
		r.fault(fault.UnknownName, pointer, fmt.Sprintf("there is no panel %q", shortened(key)), "a key of panels")
	}
	return p, ok && known && p.sticks != nil
}

// stripRow checks a stick that is laid in between slices, its fibres along the row.
func (r *layer) stripRow(row buildRow, s *SliceOf, ok bool) (buildRow, bool) {
	if s.Turn != "" {
		r.fault(fault.NotAllowed, row.pointer+"/turn", "a stick laid in is not turned; its ring angle tells how it lies", "turn beside panel only")
		ok = false
	}
	m, good := r.kindOf(row.pointer, s.Stick)
	if !good {
		return row, false
	}
	if len(m.parts) != 1 {
		r.fault(fault.Construction, row.pointer, "a stick laid in is of one wood", "a stick without cut and layers")
		return row, false
	}
	if m.h < r.board.Thickness-Snap && r.thick() {
		r.add(fault.Fault{Rule: fault.Construction, Pointer: row.pointer, Detail: "the stick laid in is lower than the board is thick",
			Found: r.shown(m.h), Allowed: "at least " + r.shown(r.board.Thickness)})
		ok = false
	}
	own := *m
	own.parts = slices.Clone(m.parts)
	row.strip, row.height, row.kind, row.high = own.parts[0].stock, m.w, s.Stick, m.h
	row.strip.Grain = Grain{}
	switch {
	case s.Ring != nil:
		row.strip.Pith = nil
		row.strip.RingAngle, row.strip.RingUnknown = r.ring(row.pointer, s.Ring, nil, false)
	case !m.parts[0].ringed:
		r.needRing(row.strip.Key)
	}
	if ring, has := ringFromPith(row.strip.Pith, false); has {
		row.strip.RingAngle = ring
	}
	return row, ok
}

// enough refuses slices that need more panel than there is: n slices are n times
// what is sawn off and n−1 kerfs.
func (r *layer) enough(rows []buildRow) bool {
	n := map[*laidPanel]int{}
	for _, row := range rows {
		if row.panel != nil {
			n[row.panel]++
		}
	}
	ok := true
	for _, key := range slices.Sorted(maps.Keys(r.shop.panels)) {
		if p := r.shop.panels[key]; n[p] > 0 {
			ok = r.take(p, n[p]) && ok
		}
	}
	return ok
}

// take takes slices off a panel, and refuses more than it has.
func (r *layer) take(l *laidPanel, n int) bool {
	b := r.board.Build
	p := &b.Panels[l.index]
	p.Slices += n
	need := float64(p.Slices)*b.Sawn + float64(p.Slices-1)*b.Kerf
	if p.Length == 0 || need <= p.Length+Snap {
		return true
	}
	if r.shop.once("slices of " + p.Key) {
		r.add(fault.Fault{Rule: fault.Construction, Pointer: p.Pointer + "/length", Detail: fmt.Sprintf("the slices need more of panel %s than there is", shortened(p.Key)),
			Found:   r.shown(p.Length),
			Allowed: fmt.Sprintf("at least %s: %s of %s and %s of %s", r.shown(need), quantity.Count(p.Slices, "slice"), r.shown(b.Sawn), quantity.Count(p.Slices-1, "cut"), r.shown(b.Kerf)),
			Fix:     "lengthen the panel, or glue a second one"})
	}
	return false
}

// stack lays the rows of a field, the first at the top.
func (r *layer) stack(pointer string, rows []buildRow) {
	wide := 0.0
	heights := make([]float64, len(rows))
	for i, row := range rows {
		heights[len(rows)-1-i] = row.height
		if row.panel != nil && wide == 0 {
			wide = r.board.Build.Panels[row.panel.index].Width
		}
	}
	if !r.extent(pointer, wide, sum(heights)) {
		return
	}
	r.rectangular = true
	ys := edges(heights)
	for i, row := range rows {
		at := frame{box: block{x0: 0, x1: wide, y0: ys[len(rows)-1-i], y1: ys[len(rows)-i]}, side: "bottom"}
		slice := Slice{Panel: -1, Turn: row.turn, Row: i, Border: -1, Pointer: row.pointer}
		id := "r" + strconv.Itoa(i+1)
		if row.panel == nil {
			p := fieldPiece(id+"c1", row.strip, at.box.outline())
			p.Pith = absolute(row.strip.Pith, row.strip.Grain, at.box.centre())
			p.Row, p.Col, p.Pointer = i, 0, row.pointer
			part := laidPart{stock: row.strip, outline: block{-row.height / 2, row.height / 2, -row.high / 2, row.high / 2}.outline()}
			part.stock.RingAngle = within180(90 - part.stock.RingAngle) // from the face towards n, seen on the end with n to the right
			l := laidStick{w: row.height, h: row.high, parts: []laidPart{part}}
			p.Stick = r.addStick(Stick{ID: "row." + strconv.Itoa(i+1), Kind: row.kind, Panel: -1, Turn: "none", Length: wide, Pointer: row.pointer, MadeAt: row.pointer}, &l)
			r.addSlice(slice, []Piece{p})
			continue
		}
		slice.Panel = row.panel.index
		var pieces []Piece
		for k, cell := range r.slicesOn(row.panel, sliceMotion(row.turn), at) {
			for _, p := range cell {
				p.ID = id + "c" + strconv.Itoa(k+1) + p.ID
				p.Row, p.Col = i, k
				pieces = append(pieces, p)
			}
		}
		r.addSlice(slice, pieces)
	}
}

func (r *layer) addSlice(s Slice, pieces []Piece) {
	b := r.board.Build
	for i := range pieces {
		pieces[i].Slice = len(b.Slices)
		s.Pieces = append(s.Pieces, len(r.pieces)+i)
	}
	b.Slices = append(b.Slices, s)
	r.pieces = append(r.pieces, pieces...)
}
