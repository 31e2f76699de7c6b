package sparse

import (
	"bufio"
	"fmt"
	"io"
	"slices"
)

// matrix is the lower triangle of a symmetric matrix, column by column, rows
// ascending, the diagonal entry first.
type matrix struct {
	n     int
	start []int
	row   []int32
	value []float64
}

// elementTable fetches each distinct stiffness matrix once.
type elementTable struct {
	of     []int32     // distinct matrix of each element
	matrix [][]float64 // row by row
	first  []int32     // an element that has it
	pool   *slicePool
}

// distinctElements sorts the elements into kinds by key and number of nodes,
// in order of first appearance.
func distinctElements(p *Problem) elementTable {
	b := elementTable{of: make([]int32, len(p.Elements)), pool: &slicePool{}}
	slots := make([]int32, 1024) // hash table: kind plus one, 0 for none
	put := func(e int32) (at uint64, found bool) {
		el, mask := &p.Elements[e], uint64(len(slots)-1)
		at = mix(el.Key, uint64(len(el.Nodes))|1<<40) & mask
		for ; slots[at] != 0; at = (at + 1) & mask {
			o := &p.Elements[b.first[slots[at]-1]]
			if o.Key == el.Key && len(o.Nodes) == len(el.Nodes) {
				return at, true
			}
		}
		return at, false
	}
	for e := range p.Elements {
		at, found := put(int32(e))
		if found {
			b.of[e] = slots[at] - 1
			continue
		}
		b.of[e] = int32(len(b.first))
		b.first = append(b.first, int32(e))
		slots[at] = int32(len(b.first))
		if 2*len(b.first) > len(slots) {
			slots = make([]int32, 4*len(slots))
			for kind, e := range b.first {
				at, _ := put(e)
				slots[at] = int32(kind) + 1
			}
		}
	}
	b.matrix = make([][]float64, len(b.first))
	return b
}

// fetch asks for the matrix of one kind and refuses one that is not finite.
func (b *elementTable) fetch(p *Problem, k Stiffness, kind int32) error {
	e := int(b.first[kind])
	el := &p.Elements[e]
	n := len(el.Nodes) * p.NodeDof
	m := b.pool.take(n * n)
	clear(m)
	k(e, m)
	for i, v := range m {
		if !finite(v) {
			return fmt.Errorf("sparse: stiffness of element %d, group %d, holds %g at row %d, column %d", e, el.Group, v, i/n, i%n)
		}
	}
	b.matrix[kind] = m
	return nil
}

// assemble sums the element matrices into the lower triangle of the free
// unknowns, numbered by place: place[u] is the row of unknown u, or -1 when it
// is fixed.
func assemble(p *Problem, b *elementTable, place []int32, free int) matrix {
	type entry struct {
		row   int32
		value float64
	}
	count := make([]int, free+1)
	each := func(visit func(row, col int32, v float64)) {
		for e := range p.Elements {
			nodes, m := p.Elements[e].Nodes, b.matrix[b.of[e]]
			n := len(nodes) * p.NodeDof
			for i := range n {
				r := place[int(nodes[i/p.NodeDof])*p.NodeDof+i%p.NodeDof]
				for j := range n {
					c := place[int(nodes[j/p.NodeDof])*p.NodeDof+j%p.NodeDof]
					if c >= 0 && r >= c {
						visit(r, c, m[i*n+j])
					}
				}
			}
		}
	}
	each(func(_, c int32, _ float64) { count[c+1]++ })
	for c := range free {
		count[c+1] += count[c]
	}
	entries := make([]entry, count[free])
	at := slices.Clone(count[:free])
	each(func(r, c int32, v float64) {
		entries[at[c]] = entry{r, v}
		at[c]++
	})
	a := matrix{n: free, start: make([]int, free+1)}
	for c := range free {
		col := entries[count[c]:count[c+1]]
		slices.SortStableFunc(col, func(x, y entry) int { return int(x.row) - int(y.row) })
		for i, x := range col {
			if i > 0 && x.row == col[i-1].row {
				a.value[len(a.value)-1] += x.value
				continue
			}
			a.row = append(a.row, x.row)
			a.value = append(a.value, x.value)
		}
		a.start[c+1] = len(a.row)
	}
	return a
}

// places numbers the free unknowns in the order of their nodes.
func places(p *Problem, order []int32) (place []int32, back []int32) {
	place = make([]int32, p.unknowns())
	fixed := p.fixedMask()
	for _, n := range order {
		for c := range p.NodeDof {
			u := int(n)*p.NodeDof + c
			if fixed[u] {
				place[u] = -1
				continue
			}
			place[u] = int32(len(back))
			back = append(back, int32(u))
		}
	}
	return place, back
}

// WriteMatrixMarket writes the assembled system in the Matrix Market exchange
// format (coordinate, real, symmetric): the lower triangle of the free
// unknowns in their natural order, so that any outside solver can be run on
// the very same matrix.
func WriteMatrixMarket(w io.Writer, p *Problem, k Stiffness) error {
	if err := p.check(); err != nil {
		return err
	}
	b := distinctElements(p)
	for kind := range b.first {
		if err := b.fetch(p, k, int32(kind)); err != nil {
			return err
		}
	}
	natural := make([]int32, len(p.Coord))
	for i := range natural {
		natural[i] = int32(i)
	}
	place, back := places(p, natural)
	a := assemble(p, &b, place, len(back))
	out := bufio.NewWriterSize(w, 1<<16)
	fmt.Fprintf(out, "%%%%MatrixMarket matrix coordinate real symmetric\n%d %d %d\n", a.n, a.n, len(a.row))
	for c := range a.n {
		for i := a.start[c]; i < a.start[c+1]; i++ {
			if _, err := fmt.Fprintf(out, "%d %d %.17g\n", a.row[i]+1, c+1, a.value[i]); err != nil {
				return err
			}
		}
	}
	return out.Flush()
}
