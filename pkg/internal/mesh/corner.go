package mesh

import "math"

const (
	cutRatio  = 1. / 3 // of a side that is left next to the vertex at each cut
	leastSide = 0.08   // mm: sides are not cut below this
)

// setLevels decides how often the elements at each vertex are cut. Vertices
// where a joint ends are cut: stress has no bound there, and the force of the
// last node of a joint cannot be told from that of its neighbour joint.
func (w *work) setLevels(stops [][]float64) {
	if w.opt.Corner == 0 {
		return
	}
	least := make([]float64, len(w.levels)) // shortest element side at each vertex
	joint := make([]bool, len(w.levels))
	for i := range least {
		least[i] = math.Inf(1)
	}
	for e := range stops {
		ed, l, n := w.b.Partition.Edges[e], w.edgeLength(e), len(stops[e])
		least[ed.V0] = math.Min(least[ed.V0], l*stops[e][1])
		least[ed.V1] = math.Min(least[ed.V1], l*(1-stops[e][n-2]))
		if ed.Joint >= 0 {
			joint[ed.V0], joint[ed.V1] = true, true
		}
	}
	for v := range w.levels {
		if !joint[v] {
			continue
		}
		for h := least[v] * cutRatio; h >= leastSide && int(w.levels[v]) < w.opt.Corner; h *= cutRatio {
			w.levels[v]++
		}
	}
}

// placeNodes makes the nodes of an edge divided at stops, its ends cut.
func (w *work) placeNodes(e int, stops []float64) {
	ed := w.b.Partition.Edges[e]
	a, b := w.b.Partition.Vertices[ed.V0], w.b.Partition.Vertices[ed.V1]
	ends := make([]int32, len(stops)) // nodes at the stops
	ends[0], ends[len(ends)-1] = w.vertex[ed.V0], w.vertex[ed.V1]
	for i := 1; i+1 < len(ends); i++ {
		ends[i] = w.node(lerp(a, b, stops[i]))
	}
	base := []int32{ends[0]}
	full := []int32{ends[0]}
	for i := 0; i+1 < len(ends); i++ {
		switch {
		case i == 0 && w.levels[ed.V0] > 0:
			full = append(full, w.chain(ends[0], ends[1], w.levels[ed.V0])[1:]...)
			base = append(base, -1, ends[1])
		case i+2 == len(ends) && w.levels[ed.V1] > 0:
			c := w.chain(ends[i+1], ends[i], w.levels[ed.V1])
			for k := len(c) - 2; k >= 0; k-- {
				full = append(full, c[k])
			}
			base = append(base, -1, ends[i+1])
		default:
			m := w.node(mid(w.m.Nodes[ends[i]], w.m.Nodes[ends[i+1]]))
			base, full = append(base, m, ends[i+1]), append(full, m, ends[i+1])
		}
	}
	w.base[e], w.m.Edges[e].Nodes = base, full
}

// chain gives the nodes from a vertex's node to the far end of a side that is
// cut: end, midside, end, …
func (w *work) chain(from, to int32, levels int8) []int32 {
	k := [2]int32{from, to}
	if c, ok := w.chains[k]; ok {
		return c
	}
	c := []int32{from}
	a, b := w.m.Nodes[from], w.m.Nodes[to]
	for l := levels; l >= 0; l-- {
		end := to
		if l > 0 {
			end = w.node(lerp(a, b, math.Pow(cutRatio, float64(l))))
		}
		c = append(c, w.node(mid(w.m.Nodes[c[len(c)-1]], w.m.Nodes[end])), end)
	}
	w.chains[k] = c
	return c
}

// cutCorner gives the corner of an element that is a vertex to be cut, or −1.
func (w *work) cutCorner(c *[4]int32) int {
	for i, n := range c {
		if int(n) < len(w.levels) && w.levels[n] > 0 {
			return i
		}
	}
	return -1
}

// coverCorner covers a quadrilateral so that elements shrink towards one corner:
// each cut leaves a smaller copy at the corner and two elements beside it.
//
//	v0 ───────── d0
//	│ ╲          │
//	v1 ── d1     │
//	│     │ ╲    │
//	P ─── u1 ─── u0
func (w *work) coverCorner(c, mids *[4]int32, cut int, cell int32, p int) {
	at := func(k int) int32 { return c[(cut+k)%4] }
	levels := w.levels[at(0)]
	u, v := w.chain(at(0), at(1), levels), w.chain(at(0), at(3), levels)
	corner, far := w.m.Nodes[at(0)], at(2)
	d, du, dv := far, mids[(cut+1)%4], mids[(cut+2)%4] // and the middles of d–u, d–v
	for l := 1; l <= int(levels); l++ {
		k := len(u) - 1 - 2*l // place of u_l in the chain
		t := math.Pow(cutRatio, float64(l))
		// Where the lines from u_l and v_l across the element meet.
		next := w.node(lerp(lerp(corner, w.m.Nodes[at(1)], t), lerp(w.m.Nodes[at(3)], w.m.Nodes[far], t), t))
		diag := w.node(mid(w.m.Nodes[next], w.m.Nodes[d]))
		nu, nv := w.node(mid(w.m.Nodes[next], w.m.Nodes[u[k]])), w.node(mid(w.m.Nodes[next], w.m.Nodes[v[k]]))
		w.addQuad(&[4]int32{u[k], u[k+2], d, next}, &[4]int32{u[k+1], du, diag, nu}, cell, p)
		w.addQuad(&[4]int32{v[k], next, d, v[k+2]}, &[4]int32{nv, diag, dv, v[k+1]}, cell, p)
		d, du, dv = next, nu, nv
	}
	w.addQuad(&[4]int32{at(0), u[2], d, v[2]}, &[4]int32{u[1], du, dv, v[1]}, cell, p)
}
