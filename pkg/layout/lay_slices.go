package layout

import "github.com/tanrad/tanrad/pkg/fault"

// slices lays the short form of a build: one panel of plain strips, every second
// slice turned.
func (r *layer) slices() {
	f := r.file.Field.Slices
	const pointer = "/field/slices"
	height := r.length(pointer+"/height", f.Height, size)
	r.board.Build = &Build{Sawn: r.board.Thickness}
	panel := Panel{Key: "A", Thickness: height, Pointer: pointer}
	l, ok := r.strips(pointer+"/strips", f.Strips, &panel)
	ok = r.whole(pointer+"/count", f.Count, 1, maxSlices) && ok
	ok = r.word(pointer+"/turn", f.Turn, turns...) && ok
	if !ok || !size.Contains(height) {
		return
	}
	if f.Count > r.limits.Pieces || !r.room(pointer+"/count", f.Count*len(f.Strips)) {
		if f.Count > r.limits.Pieces {
			r.room(pointer+"/count", f.Count)
		}
		return
	}
	r.addPanel(panel, l)
	rows := make([]buildRow, f.Count)
	for i := range rows {
		rows[i] = buildRow{panel: l, turn: "none", height: height, pointer: pointer}
		if i%2 == 1 {
			rows[i].turn = f.Turn
		}
	}
	r.board.Build.Panels[l.index].Slices = f.Count
	r.stack(pointer, rows)
}

// strips puts the strips of the panel side by side.
func (r *layer) strips(pointer string, of []Strip, panel *Panel) (*laidPanel, bool) {
	ok := len(of) > 0
	if n := len(of); n < 1 || n > maxStrips {
		r.fault(fault.WrongLength, pointer, "the panel has too few or too many strips", "1 to 1000 elements")
		return nil, false
	}
	l := &laidPanel{}
	for i, s := range of {
		here := at(pointer, i)
		good := r.stockKey(here+"/0", s.Stock)
		width, ok1 := r.lengthAt(here, 1, s.Width, size)
		stock := r.board.Stock[s.Stock]
		if good && !stock.Grain.Up {
			r.fault(fault.NotAllowed, here+"/0", "slices stand on end, so their grain is up; the stock's is not", "a stock with grain \"up\"")
			good = false
		}
		switch {
		case s.Ring != nil:
			stock.Pith = nil
			stock.RingAngle, stock.RingUnknown = r.ring(here, s.Ring, nil, true)
		case good:
			r.needRing(s.Stock)
		}
		ok = ok && good && ok1
		if !ok {
			continue
		}
		box := block{-width / 2, width / 2, -panel.Thickness / 2, panel.Thickness / 2}
		made := madeStick{w: width, h: panel.Thickness, parts: []madePart{{stock: stock, outline: box.outline()}}}
		strip := made.lay(motion{})
		strip.index = r.addStick(Stick{ID: stickID(panel.Key, i), Place: i, Turn: "none", Pointer: here, MadeAt: here}, &strip)
		l.sticks = append(l.sticks, strip)
	}
	return l, ok
}
