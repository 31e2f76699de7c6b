package mesh

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// division gives the places 0 … 1 where an edge of length l [mm] is divided:
// symmetric, finest at both ends, where elements are about first long, and
// nowhere longer than most.
func (w *work) division(l, first, most float64) []float64 {
	var key [3]int64
	for i, v := range [3]float64{l, first, most} {
		key[i] = int64(math.Round(v / shapeUnit))
	}
	if d, ok := w.divisions[key]; ok {
		return d
	}
	o := w.opt
	o.First, o.Most = math.Min(first, most), most
	d := divide(l, o)
	w.divisions[key] = d
	return d
}

func divide(l float64, o Options) []float64 {
	at := []float64{0, 0.5, 1} // never one alone: no element may have two cut corners
	if l >= 2.4*o.First {
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
	finest := make([]float64, len(parent)) // size aimed at for the end elements
	most := make([]float64, len(parent))   // largest size
	near := w.nearSizes()
	for e := range w.breaks {
		ends := w.partEnds(e)
		for i := 0; i+1 < len(ends); i++ {
			parent[first[e]+i] = first[e] + i
			length[first[e]+i] = (ends[i+1] - ends[i]) * w.edgeLength(e)
			finest[first[e]+i], most[first[e]+i] = w.opt.First, w.mostAt(e)
			if i == 0 {
				finest[first[e]] = near[w.b.Partition.Edges[e].V0]
			}
			if k := first[e] + i; i+2 == len(ends) {
				finest[k] = math.Min(finest[k], near[w.b.Partition.Edges[e].V1])
			}
		}
	}
	root := func(i int) int {
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
				finest[x] = math.Min(finest[x], finest[y])
				most[x] = math.Min(most[x], most[y])
			}
		}
	}
	stops := make([][]float64, len(w.breaks))
	for e := range w.breaks {
		ends := w.partEnds(e)
		stops[e] = append(stops[e], 0)
		for i := 0; i+1 < len(ends); i++ {
			k := root(first[e] + i)
			d := w.division(length[k], finest[k], most[k])
			for _, t := range d[1:] {
				stops[e] = append(stops[e], ends[i]+t*(ends[i+1]-ends[i]))
			}
			w.partCount[e] = append(w.partCount[e], len(d)-1)
		}
		stops[e][len(stops[e])-1] = 1
	}
	w.setLevels(stops)
	for e := range stops {
		w.placeNodes(e, stops[e])
	}
}

// nearSizes gives, per vertex, the size aimed at for the elements there: no
// longer than the shortest edge that ends there, so that a short joint does not
// lie among elements that cannot follow what it brings.
func (w *work) nearSizes() []float64 {
	near := make([]float64, len(w.b.Partition.Vertices))
	for v := range near {
		near[v] = w.opt.First
	}
	for e := range w.b.Partition.Edges {
		ed, l := &w.b.Partition.Edges[e], w.edgeLength(e)
		near[ed.V0], near[ed.V1] = math.Min(near[ed.V0], l), math.Min(near[ed.V1], l)
	}
	return near
}

// mostAt gives the largest element along an edge. Where rings curve about a
// pith near by, elements stay well below the distance to it, over which the
// wood turns.
func (w *work) mostAt(e int) float64 {
	most := w.opt.Most
	ed := &w.b.Partition.Edges[e]
	for _, p := range [2]int{ed.Left, ed.Right} {
		if p < 0 || w.b.Pieces[p].Pith == nil {
			continue
		}
		pc := &w.b.Pieces[p]
		a, b := w.b.Partition.Vertices[ed.V0], w.b.Partition.Vertices[ed.V1]
		pith := *pc.Pith
		if !pc.Grain.Up { // the cross-section: across the fibres, and depth
			sin, cos := math.Sincos(pc.Grain.Angle * math.Pi / 180)
			a, b = layout.XY{-a[0]*sin + a[1]*cos, 0}, layout.XY{-b[0]*sin + b[1]*cos, 0}
		}
		most = math.Min(most, math.Max(leastTurn, pithShare*distTo(pith, a, b)))
	}
	return most
}

const (
	leastTurn = 2.0  // mm: a pith makes elements no smaller than this
	pithShare = 0.25 // of the distance to the pith
)

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
