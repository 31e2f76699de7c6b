package sparse

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// block is what elimination of one class leaves: the kept columns of L in row
// blocks of 8, the Schur complement until its last use, and for each boundary
// unknown the sum of the diagonal entries that went into it, which tells how
// much of a pivot is left when its turn comes.
type block struct {
	l     []float64
	s     []float64
	whole []float64
	low   float64 // smallest and largest inverted diagonal entry of L
	high  float64
}

// workbench is the private memory of one worker.
type workbench struct {
	w     []float64
	floor []float64
	arena arena // for the kept columns
	team  int   // goroutines that share the work of a large front
}

// eliminate forms the front of pattern p from its kids and factorises it into
// out, which holds the room for the result. It returns the first unknown among
// those that leave whose pivot failed, and the pivot, or -1.
func (b *workbench) eliminate(p *pattern, kid func(i int) (matrix []float64, whole []float64), out *block) (int, float64) {
	l, s, whole := out.l, out.s, out.whole
	out.low, out.high = math.Inf(1), 0
	rows := p.panels * 8
	if n := p.scratchLen(); cap(b.w) < n {
		b.w = make([]float64, n+n/2)
	}
	w := b.w[:p.scratchLen()]
	if cap(b.floor) < p.ne8 {
		b.floor = make([]float64, 2*p.ne8)
	}
	floor := b.floor[:p.ne8]
	clear(floor)
	clear(whole)
	p.clearRest(w, s)
	for i := range p.children {
		c := &p.children[i]
		m, wh := kid(i)
		if c.element {
			p.addElement(c, i == 0, m, w, s, floor, whole)
		} else {
			p.addSchur(c, i == 0, m, wh, w, s, floor, whole)
		}
	}
	for _, t := range p.fixed {
		for j := range int(t) {
			w[int(t)+j*rows] = 0
		}
		clear(w[int(t)*rows : int(t)*rows+rows])
		w[int(t)*rows+int(t)] = 1
	}
	for t := p.ne; t < p.ne8; t++ {
		w[t*rows+t] = 1
	}
	for i := range floor {
		floor[i] *= pivotFloor
	}
	stride := 8 * p.ne8
	top := p.ne8 / 8
	for q := range top {
		k := 8 * q
		own := l[q*stride:]
		c := w[k+k*rows:]
		sweepUpdate(c, rows, own, stride, 1, own, k)
		if j := factorBlock(c, rows, own[8*k:8*k+64], floor[k:k+8]); j >= 0 {
			return k + j, own[8*k]
		}
		for j := k; j < min(k+8, p.ne); j++ {
			if inv := own[8*j+j-k]; inv != 1 || !slices.Contains(p.fixed, int32(j)) {
				out.low, out.high = min(out.low, inv), max(out.high, inv)
			}
		}
		if n := p.panels - q - 1; n > 0 {
			sweepSolve(c[8:], rows, l[(q+1)*stride:], stride, n, own, k, own[8*k:8*k+64])
		}
	}
	if p.ne > 0 && p.nr > 0 {
		b.share(p.flops, p.panels-top, func(q int) {
			j := 8 * q
			sweepUpdate(s[j+j*p.ld:], p.ld, l[(top+q)*stride:], stride, p.panels-top-q, l[(top+q)*stride:], p.ne)
		})
	}
	return -1, 0
}

// share runs the jobs 0..n-1, in several goroutines when there are workers and
// the work (operations) is worth their start. Jobs do not depend on each other.
func (b *workbench) share(work int64, n int, job func(int)) {
	if b.team <= 1 || work < 5e6 {
		for i := range n {
			job(i)
		}
		return
	}
	var next atomic.Int64
	var group sync.WaitGroup
	for range b.team {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				job(i)
			}
		})
	}
	group.Wait()
}

// clearRest clears what the first child does not write: it has the first rows
// and columns of each part of the front, and no holes. Above the diagonal
// nothing is ever read but the upper halves of the blocks of 8 on it.
func (p *pattern) clearRest(w, s []float64) {
	rows := p.panels * 8
	for j := range p.ne8 {
		col := w[j*rows : j*rows+rows]
		if j < p.firstLeave {
			clear(col[p.firstLeave:p.ne8])
			clear(col[p.ne8+p.firstStay:])
		} else {
			clear(col[j&^7:])
		}
	}
	for j := range p.nr8 {
		col := s[j*p.ld : j*p.ld+p.nr8]
		if j < p.firstStay {
			clear(col[p.firstStay:])
		} else {
			clear(col[j&^7:])
		}
	}
}

// addElement adds an element matrix, given in full, row by row; the first child
// is written instead.
func (p *pattern) addElement(c *childMap, first bool, m, w, s, floor, whole []float64) {
	for i, at := range c.diag {
		if at >= 0 {
			floor[at] += m[i*c.upper+i]
		} else {
			whole[-1-at] += m[i*c.upper+i]
		}
	}
	if first {
		for _, t := range c.early {
			w[t.to] = m[t.from]
		}
		for _, t := range c.late {
			s[t.to] = m[t.from]
		}
		return
	}
	for _, t := range c.early {
		w[t.to] += m[t.from]
	}
	for _, t := range c.late {
		s[t.to] += m[t.from]
	}
}

// addSchur adds a Schur complement, given by its lower triangle; the first child
// is written instead.
func (p *pattern) addSchur(c *childMap, first bool, m, kidWhole, w, s, floor, whole []float64) {
	rows := p.panels * 8
	put := addBlock
	if first {
		put = setBlock
	}
	for x, a := range c.runs {
		if a.leaves {
			addTo(floor[a.to:a.to+a.n], kidWhole[a.from:a.from+a.n])
		} else {
			addTo(whole[a.to:a.to+a.n], kidWhole[a.from:a.from+a.n])
		}
		// the diagonal block of this run keeps its shape
		own := m[int(a.from)*c.ld+int(a.from):]
		if a.leaves {
			put(w[int(a.to)*rows+int(a.to):], rows, own, c.ld, int(a.n), int(a.n), 1)
		} else {
			put(s[int(a.to)*p.ld+int(a.to):], p.ld, own, c.ld, int(a.n), int(a.n), 1)
		}
		for _, b := range c.runs[x+1:] {
			src := m[int(a.from)*c.ld+int(b.from):]
			nr, nc := int(b.n), int(a.n)
			switch {
			case a.leaves && b.leaves && b.to > a.to:
				put(w[int(a.to)*rows+int(b.to):], rows, src, c.ld, nr, nc, 0)
			case a.leaves && b.leaves:
				addTransposed(w[int(b.to)*rows+int(a.to):], rows, src, c.ld, nr, nc)
			case a.leaves:
				put(w[int(a.to)*rows+p.ne8+int(b.to):], rows, src, c.ld, nr, nc, 0)
			case b.leaves && first:
				setTransposed(w[int(b.to)*rows+p.ne8+int(a.to):], rows, src, c.ld, nr, nc)
			case b.leaves:
				addTransposed(w[int(b.to)*rows+p.ne8+int(a.to):], rows, src, c.ld, nr, nc)
			case b.to > a.to:
				put(s[int(a.to)*p.ld+int(b.to):], p.ld, src, c.ld, nr, nc, 0)
			default:
				addTransposed(s[int(b.to)*p.ld+int(a.to):], p.ld, src, c.ld, nr, nc)
			}
		}
	}
}

func addTo(dst, src []float64) {
	dst = dst[:len(src)]
	for i, v := range src {
		dst[i] += v
	}
}

// addTransposed adds the transpose of rows×cols numbers of src to dst.
func addTransposed(dst []float64, ldd int, src []float64, lds, rows, cols int) {
	for j := range cols {
		col := src[j*lds : j*lds+rows]
		for i, v := range col {
			dst[i*ldd+j] += v
		}
	}
}

// setTransposed writes where addTransposed adds.
func setTransposed(dst []float64, ldd int, src []float64, lds, rows, cols int) {
	for j := range cols {
		col := src[j*lds : j*lds+rows]
		for i, v := range col {
			dst[i*ldd+j] = v
		}
	}
}
