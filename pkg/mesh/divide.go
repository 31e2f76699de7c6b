package mesh

import "math"

// division gives the places 0 … 1 where an edge of length l [mm] is divided:
// symmetric, finest at both ends.
func (w *work) division(l float64) []float64 {
	key := int64(math.Round(l / shapeUnit))
	if d, ok := w.divisions[key]; ok {
		return d
	}
	d := divide(l, w.opt)
	w.divisions[key] = d
	return d
}

func divide(l float64, o Options) []float64 {
	at := []float64{0, 1}
	if l >= 1.2*o.First {
		// Half an edge: sizes grow from First until they fill it; the last size
		// may be dropped if that leaves the sizes nearer to those aimed at.
		half, sum := l/2, 0.0
		var sizes []float64
		for s := o.First; sum < half; s = math.Min(s*o.Growth, o.Most) {
			sizes = append(sizes, s)
			sum += s
		}
		if n := len(sizes); n > 1 && half/(sum-sizes[n-1]) < sum/half {
			sum -= sizes[n-1]
			sizes = sizes[:n-1]
		}
		at = []float64{0}
		run := 0.0
		for _, s := range sizes {
			run += s
			at = append(at, run/sum/2)
		}
		for i := len(sizes) - 1; i >= 0; i-- {
			at = append(at, 1-at[i])
		}
	}
	for r := 0; r < o.Refine; r++ {
		fine := make([]float64, 0, 2*len(at))
		for i := 0; i+1 < len(at); i++ {
			fine = append(fine, at[i], (at[i]+at[i+1])/2)
		}
		at = append(fine, 1)
	}
	return at
}

// divideEdges places the nodes of every edge. Parts of edges that lie opposite
// each other in a quadrilateral get the same division, that of the longest.
func (w *work) divideEdges() {
	first := make([]int, len(w.breaks)+1) // number of the first part of each edge
	for e := range w.breaks {
		first[e+1] = first[e] + len(w.breaks[e]) + 1
	}
	parent := make([]int, first[len(w.breaks)])
	length := make([]float64, len(parent))
	for e := range w.breaks {
		ends := w.partEnds(e)
		for i := 0; i+1 < len(ends); i++ {
			parent[first[e]+i] = first[e] + i
			length[first[e]+i] = (ends[i+1] - ends[i]) * w.edgeLength(e)
		}
	}
	var root func(i int) int
	root = func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for p := range w.quads {
		if !w.quads[p].ok {
			continue
		}
		for s := 0; s < 2; s++ {
			a := w.partNumbers(p, s, first)
			b := w.partNumbers(p, s+2, first)
			for i := range a {
				x, y := root(a[i]), root(b[len(b)-1-i])
				if x == y {
					continue
				}
				if x > y {
					x, y = y, x
				}
				parent[y] = x
				length[x] = math.Max(length[x], length[y])
			}
		}
	}
	for e := range w.breaks {
		ed := w.b.Partition.Edges[e]
		a, b := w.b.Partition.Vertices[ed.V0], w.b.Partition.Vertices[ed.V1]
		ends := w.partEnds(e)
		nodes := []int32{w.vertex[ed.V0]}
		w.m.Edges[e].Nodes = nil
		for i := 0; i+1 < len(ends); i++ {
			d := w.division(length[root(first[e]+i)])
			for k := 1; k < len(d); k++ {
				t0 := ends[i] + d[k-1]*(ends[i+1]-ends[i])
				t1 := ends[i] + d[k]*(ends[i+1]-ends[i])
				end := w.vertex[ed.V1]
				if i+2 < len(ends) || k+1 < len(d) {
					end = w.node(lerp(a, b, t1))
				}
				nodes = append(nodes, w.node(lerp(a, b, (t0+t1)/2)), end)
			}
			w.partCount[e] = append(w.partCount[e], len(d)-1)
		}
		w.m.Edges[e].Nodes = nodes
	}
}

func (w *work) partEnds(e int) []float64 {
	ends := append([]float64{0}, w.breaks[e]...)
	return append(ends, 1)
}

// parts gives the number of elements along each part of an edge, V0→V1.
func (w *work) parts(e int) []int { return w.partCount[e] }

// partNumbers lists the parts along a side of a quadrilateral in ring order.
func (w *work) partNumbers(p, side int, first []int) []int {
	var out []int
	for _, re := range w.quads[p].sides[side] {
		n := len(w.breaks[re.Edge]) + 1
		for i := 0; i < n; i++ {
			k := i
			if re.Reversed {
				k = n - 1 - i
			}
			out = append(out, first[re.Edge]+k)
		}
	}
	return out
}
