package mesh

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// division gives the places 0 … 1 where an edge of length l [mm] is divided:
// symmetric, finest at both ends, where elements are about first long, and
// nowhere longer than the piths near by allow.
func (w *work) division(l, first float64, near []turn) []float64 {
	o := w.opt
	o.First = first
	if len(near) > 0 {
		o.First = math.Min(first, leastOf(near, o.Most))
		return divide(l, o, func(x float64) float64 { return sizeAt(near, x/l) })
	}
	var key [2]int64
	for i, v := range [2]float64{l, first} {
		key[i] = int64(math.Round(v / shapeUnit))
	}
	if d, ok := w.divisions[key]; ok {
		return d
	}
	d := divide(l, o, func(float64) float64 { return o.Most })
	w.divisions[key] = d
	return d
}

// divide lays elements along an edge of length l [mm], symmetric about its
// middle; limit tells the longest element [mm] at a distance from its end [mm].
func divide(l float64, o Options, limit func(x float64) float64) []float64 {
	o.First = math.Min(o.First, o.Most)
	at := []float64{0, 0.5, 1} // never one alone: no element may have two cut corners
	if l >= 2.4*o.First {
		// Half an edge: sizes grow from First until they fill it; the last size
		// may be dropped if that leaves the sizes nearer to those aimed at.
		half, sum := l/2, 0.0
		var sizes []float64
		for s := o.First; sum < half; s = math.Min(math.Min(s*o.Growth, o.Most), limit(sum)) {
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

// divideEdges says where every edge is divided. Parts of edges that lie opposite
// each other in a quadrilateral get the same division, that of the longest.
func (w *work) divideEdges() (stops [][]float64) {
	first := make([]int, len(w.breaks)+1) // number of the first part of each edge
	for e := range w.breaks {
		first[e+1] = first[e] + len(w.breaks[e]) + 1
	}
	parent := make([]int, first[len(w.breaks)])
	length := make([]float64, len(parent))
	finest := make([]float64, len(parent)) // size aimed at for the end elements
	turns := make([][]turn, len(parent))   // piths near by
	near := w.nearSizes()
	for e := range w.breaks {
		ends := w.partEnds(e)
		for i := 0; i+1 < len(ends); i++ {
			parent[first[e]+i] = first[e] + i
			length[first[e]+i] = (ends[i+1] - ends[i]) * w.edgeLength(e)
			finest[first[e]+i], turns[first[e]+i] = w.opt.First, w.turnsAt(e, ends[i], ends[i+1])
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
				turns[x] = append(turns[x], turns[y]...)
			}
		}
	}
	stops = make([][]float64, len(w.breaks))
	whole := make([][]float64, len(parent)) // the division of each class
	for e := range w.breaks {
		ends := w.partEnds(e)
		stops[e] = append(stops[e], 0)
		for i := 0; i+1 < len(ends); i++ {
			k := root(first[e] + i)
			if whole[k] == nil {
				whole[k] = w.division(length[k], finest[k], turns[k])
			}
			d := whole[k]
			for _, t := range d[1:] {
				stops[e] = append(stops[e], ends[i]+t*(ends[i+1]-ends[i]))
			}
			w.partCount[e] = append(w.partCount[e], len(d)-1)
		}
		stops[e][len(stops[e])-1] = 1
	}
	w.setLevels(stops)
	return stops
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

// turn is a pith beside a part of an edge, seen in the plane in which rings turn
// about it. Elements stay well below the distance to it, over which the wood
// turns, and grow away from it.
type turn struct{ a, b, pith layout.XY }

const (
	leastTurn = 2.0  // mm: a pith makes elements no smaller than this
	pithShare = 0.25 // of the distance to the pith
)

// turnsAt lists the piths of the pieces beside the part of an edge between two
// places 0 … 1, as far as they make its elements smaller.
func (w *work) turnsAt(e int, from, to float64) (out []turn) {
	ed := &w.b.Partition.Edges[e]
	for _, p := range [2]int{ed.Left, ed.Right} {
		if p < 0 || w.b.Pieces[p].Pith == nil {
			continue
		}
		pc := &w.b.Pieces[p]
		v0, v1 := w.b.Partition.Vertices[ed.V0], w.b.Partition.Vertices[ed.V1]
		a, b := lerp(v0, v1, from), lerp(v0, v1, to)
		if !pc.Grain.Up { // the cross-section: across the fibres, and depth
			sin, cos := math.Sincos(pc.Grain.Angle * math.Pi / 180)
			a, b = layout.XY{-a[0]*sin + a[1]*cos, 0}, layout.XY{-b[0]*sin + b[1]*cos, 0}
		}
		if t := (turn{a, b, *pc.Pith}); pithShare*distTo(t.pith, a, b) < w.opt.Most {
			out = append(out, t)
		}
	}
	return out
}

// sizeAt gives the longest element [mm] that piths allow at a place 0 … 1 and at
// its mirror image, for divisions are symmetric.
func sizeAt(near []turn, t float64) float64 {
	d := math.Inf(1)
	for i := range near {
		n := &near[i]
		d = math.Min(d, math.Min(dist(n.pith, lerp(n.a, n.b, t)), dist(n.pith, lerp(n.a, n.b, 1-t))))
	}
	return math.Max(leastTurn, pithShare*d)
}

// leastOf gives the shortest element [mm] that piths ask for anywhere along an
// edge, at most the given length.
func leastOf(near []turn, most float64) float64 {
	for i := range near {
		most = math.Min(most, math.Max(leastTurn, pithShare*distTo(near[i].pith, near[i].a, near[i].b)))
	}
	return most
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
