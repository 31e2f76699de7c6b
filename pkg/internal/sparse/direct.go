package sparse

import (
	"context"
	"math"
	"time"
)

// FactorDirect assembles the matrix, orders it by minimum degree and
// factorises it row by row. It knows nothing of repeats or of the places of
// the nodes: it is the plain solver the fast one is tested against.
func FactorDirect(ctx context.Context, p *Problem, k Stiffness) (Factor, error) {
	begin := time.Now()
	if err := p.check(); err != nil {
		return nil, err
	}
	cliques := make([][]int32, len(p.Elements))
	for e := range p.Elements {
		cliques[e] = p.Elements[e].Nodes
	}
	place, back := places(p, minimumDegree(len(p.Coord), cliques))
	ordered := time.Now()
	b := distinctElements(p)
	for kind := range b.first {
		if err := b.fetch(p, k, int32(kind)); err != nil {
			return nil, err
		}
	}
	gathered := time.Now()
	a := assemble(p, &b, place, len(back))
	f := &directFactor{full: p.unknowns(), dof: p.NodeDof, back: back}
	if at, pivot, err := f.factorise(ctx, &a); err != nil {
		return nil, err
	} else if at >= 0 {
		return nil, p.notPositive(int(back[at]), pivot)
	}
	f.stats.Elements = len(b.first)
	f.stats.Order = ordered.Sub(begin)
	f.stats.Gather = gathered.Sub(ordered)
	f.stats.Numeric = time.Since(gathered)
	return f, nil
}

type directFactor struct {
	full  int
	dof   int
	back  []int32 // unknown of each row
	l     matrix
	stats Stats
}

// factorise computes L row by row: row i of L solves the triangular system of
// the rows above it, and touches only the columns on the paths of the
// elimination tree from the entries of row i of A (Davis, Direct Methods for
// Sparse Linear Systems, 2006, section 4.7). It returns the first row whose
// pivot is not positive, or -1.
func (f *directFactor) factorise(ctx context.Context, a *matrix) (int, float64, error) {
	n := a.n
	upStart, upCol, upVal := rowsOf(a)
	parent := eliminationTree(n, upStart, upCol)

	// Columns on the paths, last first in stack, marked by the row they serve.
	seen := make([]int32, n)
	for i := range seen {
		seen[i] = -1
	}
	stack, path := make([]int32, n), make([]int32, 0, n)
	reach := func(i int) []int32 {
		top := n
		seen[i] = int32(i)
		for q := upStart[i]; q < upStart[i+1]; q++ {
			path = path[:0]
			for j := upCol[q]; seen[j] != int32(i); j = parent[j] {
				path = append(path, j)
				seen[j] = int32(i)
			}
			for len(path) > 0 {
				top--
				stack[top] = path[len(path)-1]
				path = path[:len(path)-1]
			}
		}
		return stack[top:]
	}

	start := make([]int, n+1)
	for i := range n {
		start[i+1]++
		for _, j := range reach(i) {
			start[j+1]++
		}
	}
	for j := range n {
		c := int64(start[j+1])
		f.stats.Flops += c * c
		start[j+1] += start[j]
	}
	f.l = matrix{n: n, start: start, row: make([]int32, start[n]), value: make([]float64, start[n])}
	for i := range seen {
		seen[i] = -1
	}
	next := make([]int, n)
	copy(next, start)
	x := make([]float64, n)
	low, high := math.Inf(1), 0.0
	for i := range n {
		if i%1024 == 0 && ctx.Err() != nil {
			return -1, 0, ctx.Err()
		}
		columns := reach(i)
		d := 0.0
		for q := upStart[i]; q < upStart[i+1]; q++ {
			if int(upCol[q]) == i {
				d = upVal[q]
			} else {
				x[upCol[q]] = upVal[q]
			}
		}
		whole := d
		for _, j := range columns {
			v := x[j] / f.l.value[start[j]]
			x[j] = 0
			for q := start[j] + 1; q < next[j]; q++ {
				x[f.l.row[q]] -= f.l.value[q] * v
			}
			d -= v * v
			f.l.row[next[j]], f.l.value[next[j]] = int32(i), v
			next[j]++
		}
		if !(d > pivotFloor*whole) {
			return i, d, nil
		}
		root := math.Sqrt(d)
		low, high = min(low, root), max(high, root)
		f.l.row[next[i]], f.l.value[next[i]] = int32(i), root
		next[i]++
	}
	f.stats.Unknowns = n
	f.stats.NonZeros, f.stats.Stored = int64(start[n]), int64(start[n])
	f.stats.Bytes = int64(start[n])*12 + int64(n)*12
	if n > 0 {
		f.stats.Condition = (high / low) * (high / low)
	}
	return -1, 0, nil
}

// pivotFloor is the share of a diagonal entry that must be left when its turn
// comes. Less is cancellation down to round-off: the matrix is singular as far
// as double precision can tell.
const pivotFloor = 1e-13

// rowsOf lists the lower triangle row by row.
func rowsOf(a *matrix) (start []int, col []int32, val []float64) {
	start = make([]int, a.n+1)
	for _, r := range a.row {
		start[r+1]++
	}
	for i := range a.n {
		start[i+1] += start[i]
	}
	col, val = make([]int32, len(a.row)), make([]float64, len(a.row))
	at := make([]int, a.n)
	copy(at, start)
	for c := range a.n {
		for q := a.start[c]; q < a.start[c+1]; q++ {
			r := a.row[q]
			col[at[r]], val[at[r]] = int32(c), a.value[q]
			at[r]++
		}
	}
	return start, col, val
}

// eliminationTree returns the parent of each column, -1 for a root, with
// shortened paths (Davis 2006, section 4.1).
func eliminationTree(n int, start []int, col []int32) []int32 {
	parent, ancestor := make([]int32, n), make([]int32, n)
	for i := range n {
		parent[i], ancestor[i] = -1, -1
		for q := start[i]; q < start[i+1]; q++ {
			for j := col[q]; j >= 0 && int(j) < i; {
				up := ancestor[j]
				ancestor[j] = int32(i)
				if up < 0 {
					parent[j] = int32(i)
				}
				j = up
			}
		}
	}
	return parent
}

// Release implements Factor.
func (f *directFactor) Release() { f.l = matrix{} }

func (f *directFactor) N() int       { return f.full }
func (f *directFactor) Stats() Stats { return f.stats }

func (f *directFactor) Solve(ctx context.Context, dst, rhs [][]float64) error {
	if err := checkSides(f.full, dst, rhs); err != nil {
		return err
	}
	x := make([]float64, len(f.back))
	for r := range rhs {
		if err := ctx.Err(); err != nil {
			return err
		}
		for i, u := range f.back {
			x[i] = rhs[r][u]
		}
		f.l.solveLower(x)
		f.l.solveUpper(x)
		clear(dst[r])
		for i, u := range f.back {
			dst[r][u] = x[i]
		}
	}
	return nil
}

func (l *matrix) solveLower(x []float64) {
	for j := range l.n {
		v := x[j] / l.value[l.start[j]]
		x[j] = v
		for q := l.start[j] + 1; q < l.start[j+1]; q++ {
			x[l.row[q]] -= l.value[q] * v
		}
	}
}

func (l *matrix) solveUpper(x []float64) {
	for j := l.n - 1; j >= 0; j-- {
		v := x[j]
		for q := l.start[j] + 1; q < l.start[j+1]; q++ {
			v -= l.value[q] * x[l.row[q]]
		}
		x[j] = v / l.value[l.start[j]]
	}
}
