package layout

import "math"

// bins is a grid of square boxes over the board, about as many as there are
// vertices, so that a box holds a few things whatever the shape of the board.
type bins struct {
	lo     XY
	size   float64
	nx, ny int
	start  []int32 // first entry of each box in items; len nx·ny+1
	items  []int32
}

func newBins(lo, hi XY, n int) *bins {
	w, h := hi[0]-lo[0]+1, hi[1]-lo[1]+1
	size := max(1, math.Sqrt(w*h/float64(max(n, 1))))
	// A third of a box of margin keeps round coordinates off the borders of boxes.
	b := &bins{lo: XY{lo[0] - 0.37*size, lo[1] - 0.37*size}, size: size}
	b.nx, b.ny = int(w/size)+2, int(h/size)+2
	b.start = make([]int32, b.nx*b.ny+1)
	return b
}

func (b *bins) column(x float64) int { return min(max(int((x-b.lo[0])/b.size), 0), b.nx-1) }
func (b *bins) row(y float64) int    { return min(max(int((y-b.lo[1])/b.size), 0), b.ny-1) }

// along calls f with every box within pad of the segment pq, once each.
func (b *bins) along(p, q XY, pad float64, f func(box int)) {
	if p[1] > q[1] {
		p, q = q, p
	}
	last := b.row(q[1] + pad)
	for r := b.row(p[1] - pad); r <= last; r++ {
		x0, x1 := p[0], q[0]
		if q[1] > p[1] { // the part of the segment within this row of boxes, with pad
			bottom := b.lo[1] + float64(r)*b.size - pad
			at := func(y float64) float64 {
				return p[0] + (q[0]-p[0])*min(max((y-p[1])/(q[1]-p[1]), 0), 1)
			}
			x0, x1 = at(bottom), at(bottom+b.size+2*pad)
		}
		if x0 > x1 {
			x0, x1 = x1, x0
		}
		for c, end := b.column(x0-pad), b.column(x1+pad); c <= end; c++ {
			f(r*b.nx + c)
		}
	}
}

// fill puts n things into the boxes; visit(i, f) calls f with the boxes of thing i.
func (b *bins) fill(n int, visit func(i int, f func(box int))) {
	for i := range n {
		visit(i, func(box int) { b.start[box+1]++ })
	}
	for k := 1; k < len(b.start); k++ {
		b.start[k] += b.start[k-1]
	}
	b.items = make([]int32, b.start[len(b.start)-1])
	fillAt := append([]int32(nil), b.start...)
	for i := range n {
		visit(i, func(box int) {
			b.items[fillAt[box]] = int32(i)
			fillAt[box]++
		})
	}
}

func (b *bins) in(box int) []int32 { return b.items[b.start[box]:b.start[box+1]] }
