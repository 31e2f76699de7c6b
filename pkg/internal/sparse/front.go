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
	l        []float64
	s        []float64
	diagonal []float64
	low      float64 // smallest and largest inverted diagonal entry of L
	high     float64
}

// workbench is the private memory of one worker.
type workbench struct {
	w     []float64
	floor []float64
	arena arena // for the kept columns
	team  int   // goroutines that share the work of a large front
}

// eliminate forms the front of pattern p from its children and factorises it into
// out, which holds the room for the result. It returns the first of
// the interior unknowns whose pivot failed, and the pivot, or -1.
func (b *workbench) eliminate(p *pattern, child func(i int) (matrix []float64, diagonal []float64), out *block) (int, float64) {
	l, s, diagonal := out.l, out.s, out.diagonal
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
	clear(diagonal)
	p.clearRest(w, s)
	for i := range p.children {
		c := &p.children[i]
		m, wh := child(i)
		if c.element {
			p.addElement(c, m, w, s, floor, diagonal)
		} else {
			p.addSchur(c, m, wh, w, s, floor, diagonal)
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
	for _, t := range p.fixed {
		floor[t] = 0 // its pivot is 1, whatever the unit of the stiffness
	}
	top := p.ne8 / 8
	for q := range top {
		k := 8 * q
		at, stride := p.panelAt(q)
		own := l[at:]
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
		for from := q + 1; from < p.panels; {
			to := p.uniform(from)
			at, stride := p.panelAt(from)
			sweepSolve(c[8*(from-q):], rows, l[at:], stride, to-from, own, k, own[8*k:8*k+64])
			from = to
		}
	}
	at, stride := p.panelAt(top)
	below := l[at:]
	if p.nr > 0 {
		b.share(p.flops, p.panels-top, func(q int) {
			j, mid := 8*q, int(p.touched[q])
			own := below[q*stride:]
			if p.ne == 0 {
				for i := range 8 {
					clear(s[(j+i)*p.ld+8*mid : (j+i)*p.ld+p.nr8])
				}
				return
			}
			sweepUpdate(s[j+j*p.ld:], p.ld, own, stride, mid-q, own, p.ne)
			if rest := p.panels - top - mid; rest > 0 {
				sweepFresh(s[8*mid+j*p.ld:], p.ld, below[mid*stride:], stride, rest, own, p.ne)
			}
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

// clearRest clears what children add to and no child writes. What no child
// reaches in the Schur complement is left as it is: the update does not read it.
// Above the diagonal nothing is read but the upper halves of the blocks on it,
// and those only to be thrown away.
func (p *pattern) clearRest(w, s []float64) {
	rows := p.panels * 8
	for i := range p.children {
		c := &p.children[i]
		for j := c.interior[0]; j < c.interior[1]; j++ {
			col := w[j*rows : j*rows+rows]
			clear(col[c.interior[1] : p.ne8+c.boundary[0]])
			clear(col[p.ne8+c.boundary[1]:])
		}
		for j := c.boundary[0]; j < c.boundary[1]; j++ {
			if end := int(p.touched[j/8]) * 8; end > c.boundary[1] {
				clear(s[j*p.ld+c.boundary[1] : j*p.ld+end])
			}
		}
	}
	for j := p.ne; j < p.ne8; j++ {
		clear(w[j*rows+j&^7 : j*rows+rows])
	}
}

// addElement adds an element matrix, given in full, row by row.
func (p *pattern) addElement(c *childMap, m, w, s, floor, diagonal []float64) {
	for i, at := range c.diag {
		if at >= 0 {
			floor[at] += m[i*c.unknowns+i]
		} else {
			diagonal[-1-at] += m[i*c.unknowns+i]
		}
	}
	for _, t := range c.early.write {
		w[t.to] = m[t.from]
	}
	for _, t := range c.early.add {
		w[t.to] += m[t.from]
	}
	for _, t := range c.late.write {
		s[t.to] = m[t.from]
	}
	for _, t := range c.late.add {
		s[t.to] += m[t.from]
	}
}

// addSchur adds a Schur complement, given by its lower triangle.
func (p *pattern) addSchur(c *childMap, m, childDiagonal, w, s, floor, diagonal []float64) {
	rows := p.panels * 8
	for x, a := range c.runs {
		if a.isInterior {
			addTo(floor[a.to:a.to+a.n], childDiagonal[a.from:a.from+a.n])
		} else {
			addTo(diagonal[a.to:a.to+a.n], childDiagonal[a.from:a.from+a.n])
		}
		put := addBlock
		if a.fresh {
			put = setBlock
		}
		// the diagonal block of this run keeps its shape
		own := m[int(a.from)*c.ld+int(a.from):]
		if a.isInterior {
			put(w[int(a.to)*rows+int(a.to):], rows, own, c.ld, int(a.n), int(a.n), 1)
		} else {
			put(s[int(a.to)*p.ld+int(a.to):], p.ld, own, c.ld, int(a.n), int(a.n), 1)
		}
		for _, b := range c.runs[x+1:] {
			src := m[int(a.from)*c.ld+int(b.from):]
			nr, nc := int(b.n), int(a.n)
			put, turn := addBlock, addTransposed
			if a.fresh && b.fresh {
				put, turn = setBlock, setTransposed
			}
			switch {
			case a.isInterior && b.isInterior && b.to > a.to:
				put(w[int(a.to)*rows+int(b.to):], rows, src, c.ld, nr, nc, 0)
			case a.isInterior && b.isInterior:
				turn(w[int(b.to)*rows+int(a.to):], rows, src, c.ld, nr, nc)
			case a.isInterior:
				put(w[int(a.to)*rows+p.ne8+int(b.to):], rows, src, c.ld, nr, nc, 0)
			case b.isInterior:
				turn(w[int(b.to)*rows+p.ne8+int(a.to):], rows, src, c.ld, nr, nc)
			case b.to > a.to:
				put(s[int(a.to)*p.ld+int(b.to):], p.ld, src, c.ld, nr, nc, 0)
			default:
				turn(s[int(b.to)*p.ld+int(a.to):], p.ld, src, c.ld, nr, nc)
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
