package layout

import (
	"math"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
)

// slicedBorder checks a border made of the slices of a panel.
func (r *layer) slicedBorder(pointer string, e *Edging, b *Border) {
	b.Panel, b.Turn = e.Panel, orNone(e.Turn)
	for _, beside := range []struct {
		key  string
		here bool
	}{{"stock", e.Stock != ""}, {"width", e.Width != 0}, {"blocks", e.Blocks != 0}} {
		if beside.here {
			r.fault(fault.NotAllowed, pointer+"/"+beside.key, beside.key+" cannot stand beside panel: the panel tells it", "panel, or stock and width")
		}
	}
	if e.Turn != "" {
		r.word(pointer+"/turn", e.Turn, turns...)
	}
	if b.Along {
		r.fault(fault.NotAllowed, pointer+"/grain", "slices of a panel stand on end", `grain "up" beside panel`)
	}
	if b.Mitre {
		r.fault(fault.NotAllowed, pointer+"/corner", "a mitred border is cut from sticks, not from slices of a panel", `corner "butt" beside panel`)
	}
	if f := &r.file.Field; r.shop == nil && (f.Grid != nil || f.Slices != nil || len(f.Pieces) > 0) {
		r.fault(fault.NotAllowed, pointer+"/panel", "panels are those of a build; this field has none", "panel beside a build only")
		return
	}
	if r.shop == nil {
		return // no field, which is told
	}
	if p, ok := r.panelKey(pointer+"/panel", e.Panel, true); ok {
		b.Width = r.board.Build.Panels[p.index].Thickness
	}
}

// slicesRound lays slices of a border's panel end to end along one side, centred,
// and saws off what hangs over at its two ends.
func (r *layer) slicesRound(i int, b Border, f frame) {
	l := r.shop.panels[b.Panel]
	panel := &r.board.Build.Panels[l.index]
	long := f.long()
	n := int(math.Ceil((long - Snap) / panel.Width))
	pointer := at("/borders", i)
	row := buildRow{panel: l}
	if each := row.count(); n*each > r.limits.Pieces-len(r.pieces) && !r.shop.once("room round "+pointer) || !r.room(pointer, n*each) || !r.take(l, n) {
		return
	}
	number := strconv.Itoa(i + 1)
	prefix := "b" + number + "." + f.side + "."
	u := (long - float64(n)*panel.Width) / 2
	var cells [][]Piece
	var of []int // which of the slices a cell is of
	for k := range n {
		at := frame{f.cell(u, u+panel.Width), f.side}
		u += panel.Width
		for _, cell := range r.slicesOn(l, sliceMotion(b.Turn), at) {
			if cell = sawn(cell, f); len(cell) > 0 {
				cells, of = append(cells, cell), append(of, k)
			}
		}
	}
	if f.side == "top" || f.side == "right" { // u runs down the numbers, which go from the left and the top
		slices.Reverse(cells)
		slices.Reverse(of)
	}
	pieces := make([][]Piece, n)
	for k, cell := range cells {
		for _, p := range cell {
			p.ID = prefix + strconv.Itoa(k+1) + p.ID
			p.Part, p.Border = "border "+number+" "+f.side, i
			pieces[of[k]] = append(pieces[of[k]], p)
		}
	}
	for k := range n {
		r.addSlice(Slice{Panel: l.index, Turn: b.Turn, Row: -1, Border: i, Side: f.side, Pointer: pointer}, pieces[k])
	}
}

// sawn cuts off what hangs over the ends of a side.
func sawn(cell []Piece, f frame) []Piece {
	kept := cell[:0]
	for _, p := range cell {
		p.Outline = clipped(p.Outline, f.box)
		if len(p.Outline) >= 3 {
			kept = append(kept, p)
		}
	}
	return kept
}

// clipped cuts a convex outline to a box.
func clipped(of []XY, box block) []XY {
	lo, hi := bounds(of)
	if lo[0] < box.x0 || hi[0] > box.x1 {
		of = canonical(clip(clip(of, box.x0, true), box.x1, false))
	}
	if lo[1] < box.y0 || hi[1] > box.y1 {
		of = transposed(canonical(clip(clip(transposed(of), box.y0, true), box.y1, false)))
	}
	return of
}

// transposed changes x and y, and the way round to keep it counter-clockwise.
func transposed(of []XY) []XY {
	out := make([]XY, len(of))
	for i, p := range of {
		out[len(of)-1-i] = XY{p[1], p[0]}
	}
	return out
}
