package layout

import (
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

// strip is one strip of the panel that slices are cut from.
type strip struct {
	key   string
	width float64 // mm
	at    string  // pointer
}

func (r *reader) slices(v strict.Value) {
	m := v.Object("strips", "height", "count", "turn")
	if m == nil {
		return
	}
	strips, ok := r.strips(m.Need("strips"))
	height, ok1 := r.length(m.Need("height"), size)
	count, ok2 := m.Need("count").Whole(1, 1_000_000_000)
	turn, ok3 := m.Need("turn").Word("none", "end-for-end", "over", "both")
	if !ok || !ok1 || !ok2 || !ok3 {
		return
	}
	if count > r.limits.Pieces || !r.room(m.Get("count"), count*len(strips)) {
		if count > r.limits.Pieces {
			r.room(m.Get("count"), count)
		}
		return
	}
	total := 0.0
	for _, s := range strips {
		total += s.width
	}
	if !r.extent(v, total, height*float64(count)) {
		return
	}
	r.rectangular = true
	ys := edges(repeated(height, count))
	for i := range count {
		done := "none"
		if i%2 == 1 {
			done = turn
		}
		r.slice(strips, i, ys[count-1-i], ys[count-i], done)
	}
}

func (r *reader) strips(v strict.Value) ([]strip, bool) {
	items, ok := v.List(1, 1000)
	var strips []strip
	for _, item := range items {
		pair, good := item.List(2, 2)
		if !good {
			ok = false
			continue
		}
		key, ok1 := r.stockKey(pair[0])
		width, ok2 := r.length(pair[1], size)
		if s, known := r.board.Stock[key]; known && !s.Grain.Up {
			pair[0].Fault(fault.NotAllowed, "slices stand on end, so their grain is up; the stock's is not", "a stock with grain \"up\"")
			ok1 = false
		}
		ok = ok && ok1 && ok2
		strips = append(strips, strip{key: key, width: width, at: item.Pointer()})
	}
	return strips, ok
}

// slice lays row i (from the top) of the field, turned as told.
func (r *reader) slice(strips []strip, i int, y0, y1 float64, turn string) {
	n := len(strips)
	x := 0.0
	for k := range n {
		s := strips[k]
		if turn == "end-for-end" || turn == "both" {
			s = strips[n-1-k]
		}
		stock := r.board.Stock[s.key]
		box := block{x0: x, x1: x + s.width, y0: y0, y1: y1}
		x = box.x1
		p := fieldPiece("r"+strconv.Itoa(i+1)+"c"+strconv.Itoa(k+1), stock, box.outline())
		ring, pith := turned(turn, stock.RingAngle, stock.Pith)
		p.RingAngle, p.Pith = ring, absolute(pith, p.Grain, box.centre())
		p.Row, p.Col, p.Pointer = i, k, s.at
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
