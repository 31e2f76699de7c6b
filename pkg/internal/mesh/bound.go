package mesh

import "fmt"

// TooMany says that a board would take more elements than Options.Bound.
type TooMany struct {
	Elements int // that the board would take, at the least
	Bound    int // that may be made
	Piece    int // the piece that takes most of them
	Own      int // elements of that piece
}

func (e *TooMany) Error() string {
	return fmt.Sprintf("mesh: %d elements are needed: allowed %d", e.Elements, e.Bound)
}

// count compares what the quadrilaterals will take with the bound before
// anything is made. A triangulated piece counts by its rim; what it takes inside
// is bounded by mostInner and counted when it is known.
func (w *work) count(stops [][]float64) error {
	if w.opt.Bound <= 0 {
		return nil
	}
	total, worst, most := 0, 0, 0
	for p := range w.b.Pieces {
		n := w.elementsOf(p, stops)
		total += n
		if n > most {
			worst, most = p, n
		}
	}
	return w.bound(total, worst, most)
}

// bound gives the error of so many elements before halving, own of them in a
// piece, nil when they are allowed.
func (w *work) bound(total, piece, own int) error {
	fine := 2 * w.opt.Refine
	if w.opt.Bound <= 0 || total<<fine <= w.opt.Bound {
		return nil
	}
	return &TooMany{Elements: total << fine, Bound: w.opt.Bound, Piece: piece, Own: own << fine}
}

func (w *work) elementsOf(p int, stops [][]float64) int {
	if !w.quads[p].ok {
		rim := 0
		for _, re := range w.b.Partition.Rings[p] {
			rim += len(stops[re.Edge]) - 1
		}
		return rim
	}
	var along [4]int
	n := 0
	for s, side := range w.quads[p].sides {
		for i, re := range side {
			along[s] += len(stops[re.Edge]) - 1
			touching := 1 // elements of the piece at the vertex: one in a corner, two beside a T-junction
			if i > 0 {
				touching = 2
			}
			n += 2 * touching * int(w.levels[w.from(re)]) // each cut leaves two elements beside the corner
		}
	}
	return n + along[0]*along[1]
}
