package layout

import (
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
)

// strip is one strip of the panel that slices are cut from.
type strip struct {
	stock Stock   // with the strip's own rings
	width float64 // mm
}

func (r *layer) slices() {
	f := r.file.Field.Slices
	const pointer = "/field/slices"
	strips, ok := r.strips(pointer+"/strips", f.Strips)
	height := r.length(pointer+"/height", f.Height, size)
	ok = r.whole(pointer+"/count", f.Count, 1, maxSlices) && ok
	ok = r.word(pointer+"/turn", f.Turn, turns...) && ok
	if !ok || !size.Contains(height) {
		return
	}
	if f.Count > r.limits.Pieces || !r.room(pointer+"/count", f.Count*len(strips)) {
		if f.Count > r.limits.Pieces {
			r.room(pointer+"/count", f.Count)
		}
		return
	}
	total := 0.0
	for _, s := range strips {
		total += s.width
	}
	if !r.extent(pointer, total, height*float64(f.Count)) {
		return
	}
	r.rectangular = true
	ys := edges(repeated(height, f.Count))
	for i := range f.Count {
		done := "none"
		if i%2 == 1 {
			done = f.Turn
		}
		r.slice(strips, i, ys[f.Count-1-i], ys[f.Count-i], done)
	}
	r.board.Slices = &SliceBuild{Turn: f.Turn, Strips: len(strips)}
}

func (r *layer) strips(pointer string, of []Strip) ([]strip, bool) {
	ok := len(of) > 0
	if n := len(of); n < 1 || n > maxStrips {
		r.fault(fault.WrongLength, pointer, "the panel has too few or too many strips", "1 to 1000 elements")
		return nil, false
	}
	strips := make([]strip, len(of))
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
		strips[i] = strip{stock, width}
		ok = ok && good && ok1
	}
	return strips, ok
}

// slice lays row i (from the top) of the field, turned as told.
func (r *layer) slice(strips []strip, i int, y0, y1 float64, turn string) {
	n := len(strips)
	x := 0.0
	for k := range n {
		from := k
		if turn == "end-for-end" || turn == "both" {
			from = n - 1 - k
		}
		s := &strips[from]
		box := block{x0: x, x1: x + s.width, y0: y0, y1: y1}
		x = box.x1
		p := fieldPiece("r"+strconv.Itoa(i+1)+"c"+strconv.Itoa(k+1), s.stock, box.outline())
		ring, pith := turned(turn, s.stock.RingAngle, s.stock.Pith)
		p.RingAngle, p.Pith = ring, absolute(pith, p.Grain, box.centre())
		p.Row, p.Col, p.Pointer = i, k, at("/field/slices/strips", from)
		r.pieces = append(r.pieces, p)
	}
}

// turned gives the ring angle [degrees] and the pith, told from the centre of
// its piece, after a turn of the slice:
//
//	none         (x, y) stays
//	end-for-end  half a turn about z: (x, y) → (−x, −y); the axis of the rings stays
//	over         half a turn about x: (x, y) → (x, −y); the ring angle changes its sign
//	both         one after the other: (x, y) → (−x, y); the ring angle changes its sign
func turned(turn string, ring float64, pith *XY) (float64, *XY) {
	sx, sy := 1.0, 1.0
	switch turn {
	case "end-for-end":
		sx, sy = -1, -1
	case "over":
		sy = -1
	case "both":
		sx = -1
	}
	if sx*sy < 0 && ring != 0 {
		ring = -ring
	}
	if pith == nil {
		return ring, nil
	}
	moved := XY{sx * pith[0], sy * pith[1]}
	if angle, ok := ringFromPith(&moved, true); ok {
		ring = angle
	}
	return ring, &moved
}
