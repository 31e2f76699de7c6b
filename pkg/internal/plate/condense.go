package plate

import (
	"context"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// condensing works out the stiffness of the crack faces of one line.
type condensing struct {
	l     *CrackFaces
	nodes []int32         // of the elements on the right
	place map[int32]int32 // number of each in nodes
	rows  [][]jumpEntry   // per unknown: G, the force on the nodes for a unit jump
	jump  [][]jumpEntry   // per unknown: the jump itself, at the nodes
	s     *mat.SymDense
}

// jumpEntry is a vector at one node of condensing.nodes.
type jumpEntry struct {
	at   int32
	x, y float64
}

func (l *CrackFaces) condense(line *layout.Line) *condensing {
	w := &condensing{l: l, place: map[int32]int32{}}
	p := l.p
	right := l.rightOf(line)
	number := map[int32][]int{} // numbers in l.nodes by node
	var elements []int32
	seen := map[int32]bool{}
	for i := range l.nodes {
		number[l.nodes[i].node] = append(number[l.nodes[i].node], i)
		for _, e := range right[i] {
			if !seen[e] {
				seen[e] = true
				elements = append(elements, e)
			}
		}
	}
	// Rows of K_R at the nodes of the line: what a unit of displacement of the right
	// side of node i exerts on every node.
	type pair struct {
		to   int32
		x, y [2]float64 // along x and y of the other node, for unit motions along x and y
	}
	rows := make([][]pair, len(l.nodes)) // a node has few neighbours
	var k [256]float64
	for _, e := range elements {
		el := &p.Mesh.Elements[e]
		width := 2 * el.N
		p.membraneStiffness(int(e), k[:width*width])
		near := [8]int32{-1, -1, -1, -1, -1, -1, -1, -1} // numbers of its nodes, given as they are met
		for a := 0; a < el.N; a++ {
			for _, i := range number[el.Nodes[a]] {
				if !slices.Contains(right[i], e) {
					continue
				}
				for b := 0; b < el.N; b++ {
					if near[b] < 0 {
						near[b] = w.at(el.Nodes[b])
					}
					at := slices.IndexFunc(rows[i], func(r pair) bool { return r.to == near[b] })
					if at < 0 {
						at = len(rows[i])
						rows[i] = append(rows[i], pair{to: near[b]})
					}
					r := &rows[i][at]
					for d := range 2 {
						r.x[d] += k[(2*a+d)*width+2*b]
						r.y[d] += k[(2*a+d)*width+2*b+1]
					}
				}
			}
		}
	}
	m := 2 * len(l.Place)
	w.rows, w.jump = make([][]jumpEntry, m), make([][]jumpEntry, m)
	sum := make([]pair, len(w.nodes))
	hit := make([]bool, len(w.nodes))
	for c, terms := range l.basis {
		var list []int32
		for _, t := range terms {
			for k := range rows[t.node] {
				r := &rows[t.node][k]
				to := r.to
				if !hit[to] {
					hit[to], sum[to] = true, pair{}
					list = append(list, to)
				}
				for d, ax := range l.axes[c] {
					sum[to].x[d] += t.share * (ax[0]*r.x[0] + ax[1]*r.x[1])
					sum[to].y[d] += t.share * (ax[0]*r.y[0] + ax[1]*r.y[1])
				}
			}
			if to, ok := w.place[l.nodes[t.node].node]; ok {
				for d, ax := range l.axes[c] {
					w.jump[2*c+d] = append(w.jump[2*c+d], jumpEntry{to, t.share * ax[0], t.share * ax[1]})
				}
			}
		}
		slices.Sort(list)
		for _, to := range list {
			for d := range 2 {
				w.rows[2*c+d] = append(w.rows[2*c+d], jumpEntry{to, sum[to].x[d], sum[to].y[d]})
			}
			hit[to] = false
		}
	}
	return w
}

// at gives the number of a node among those of the elements on the right.
func (w *condensing) at(node int32) int32 {
	i, ok := w.place[node]
	if !ok {
		i = int32(len(w.nodes))
		w.place[node], w.nodes = i, append(w.nodes, node)
	}
	return i
}

// products is room for H of (1), which goes with the square of a line's length.
var products = sync.Pool{New: func() any { return new([]float64) }}

// solve works S of (1) out.
func (w *condensing) solve(ctx context.Context) error {
	m := len(w.rows)
	loads := make([][]sparse.PointLoad, m)
	for i, row := range w.rows {
		loads[i] = make([]sparse.PointLoad, 0, 2*len(row))
		for _, r := range row {
			at := 2 * w.nodes[r.at]
			loads[i] = append(loads[i], sparse.PointLoad{Unknown: at, Value: r.x}, sparse.PointLoad{Unknown: at + 1, Value: r.y})
		}
	}
	var given *mat.SymDense // GᵀK⁻¹G
	if err := w.l.p.membrane.use(ctx, func(f sparse.Factor) (err error) { given, err = f.Gram(ctx, loads); return err }); err != nil {
		return err
	}
	w.s = given
	// H = GᵀJ, J the jumps at the nodes: few of them have a node in common.
	type share struct {
		of   int
		x, y float64
	}
	by := make([][]share, len(w.nodes))
	for a, row := range w.rows {
		for _, r := range row {
			by[r.at] = append(by[r.at], share{a, r.x, r.y})
		}
	}
	room := products.Get().(*[]float64)
	defer products.Put(room)
	*room = slices.Grow((*room)[:0], m*m)
	h := (*room)[:m*m]
	clear(h)
	for i, jump := range w.jump {
		for _, d := range jump {
			for _, r := range by[d.at] {
				h[i*m+r.of] += r.x*d.x + r.y*d.y
			}
		}
	}
	for i := range m {
		for j := i; j < m; j++ {
			w.s.SetSym(i, j, (h[i*m+j]+h[j*m+i])/2-given.At(i, j))
		}
	}
	return nil
}
