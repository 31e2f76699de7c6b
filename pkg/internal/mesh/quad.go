package mesh

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

const (
	sameBreak  = 1e-4 // mm: two breaks nearer than this are one
	breakGap   = 2.0  // mm: a break nearer than this to another would make slivers
	mostBreaks = 6    // extra breaks on one edge before its pieces are better triangulated
	wideBreak  = 10.0 // mm: as many more as lie this far apart are no burden
)

// quad tells how a piece's ring falls into four straight sides.
type quad struct {
	ok    bool
	sides [4][]layout.RingEdge
	at    [4]layout.XY // corners
}

// findQuads marks the convex pieces with four corners.
func (w *work) findQuads() {
	for p := range w.b.Pieces {
		out := w.b.Pieces[p].Outline
		if len(out) != 4 || !convex(out) {
			continue
		}
		ring := w.b.Partition.Rings[p]
		// The ring may start anywhere: turn it so that it starts at the lowest,
		// then leftmost corner, which congruent pieces share.
		first := 0
		for i := 1; i < 4; i++ {
			if lower(out[i], out[first]) {
				first = i
			}
		}
		start := -1
		for i, re := range ring {
			if dist(w.b.Partition.Vertices[w.from(re)], out[first]) < 1e-6 {
				start = i
			}
		}
		if start < 0 {
			continue
		}
		q := quad{ok: true}
		side := 0
		for i := range ring {
			re := ring[(start+i)%len(ring)]
			if side > 3 {
				q.ok = false
				break
			}
			q.sides[side] = append(q.sides[side], re)
			if dist(w.b.Partition.Vertices[w.to(re)], out[(first+side+1)%4]) < 1e-6 {
				side++
			}
		}
		if side != 4 {
			q.ok = false
		}
		for i := range q.at {
			q.at[i] = out[(first+i)%4]
		}
		w.quads[p] = q
	}
}

func (w *work) from(re layout.RingEdge) int {
	e := w.b.Partition.Edges[re.Edge]
	if re.Reversed {
		return e.V1
	}
	return e.V0
}

func (w *work) to(re layout.RingEdge) int {
	e := w.b.Partition.Edges[re.Edge]
	if re.Reversed {
		return e.V0
	}
	return e.V1
}

func (w *work) edgeLength(e int) float64 {
	ed := w.b.Partition.Edges[e]
	return dist(w.b.Partition.Vertices[ed.V0], w.b.Partition.Vertices[ed.V1])
}

// stops gives the places of all vertices and breaks strictly inside a side, as
// lengths from its start, and the side's whole length.
func (w *work) stops(side []layout.RingEdge) (at []float64, length float64) {
	for i, re := range side {
		l := w.edgeLength(re.Edge)
		bs := w.breaks[re.Edge]
		for j := range bs {
			t := bs[j]
			if re.Reversed {
				t = 1 - bs[len(bs)-1-j]
			}
			at = append(at, length+t*l)
		}
		length += l
		if i < len(side)-1 {
			at = append(at, length)
		}
	}
	return at, length
}

// matchBreaks carries every vertex in the middle of a side (a T-junction) over
// to the opposite side, through piece after piece, until it meets a vertex or
// the rim. A piece where that would leave a sliver is left to triangles.
func (w *work) matchBreaks() {
	queue := make([]int, 0, len(w.quads))
	queued := make([]bool, len(w.quads))
	for p := range w.quads {
		if w.quads[p].ok {
			queue, queued[p] = append(queue, p), true
		}
	}
	for len(queue) > 0 {
		p := queue[0]
		queue, queued[p] = queue[1:], false
		q := &w.quads[p]
		for s := 0; s < 4 && q.ok; s++ {
			missing, ok := w.missing(q.sides[s], q.sides[(s+2)%4])
			if !ok {
				q.ok = false
				break
			}
			for _, m := range missing {
				w.breaks[m.edge] = append(w.breaks[m.edge], m.t)
				slices.Sort(w.breaks[m.edge])
				if len(w.breaks[m.edge]) > max(mostBreaks, int(w.edgeLength(m.edge)/wideBreak)) {
					q.ok = false
				}
				e := w.b.Partition.Edges[m.edge]
				for _, n := range [2]int{e.Left, e.Right} {
					if n >= 0 && w.quads[n].ok && !queued[n] {
						queue, queued[n] = append(queue, n), true
					}
				}
			}
		}
	}
	// A piece given up late may have left neighbours that relied on nothing but
	// their own sides, so one last look at every quadrilateral is enough.
	for p := range w.quads {
		q := &w.quads[p]
		for s := 0; s < 4 && q.ok; s++ {
			if m, ok := w.missing(q.sides[s], q.sides[(s+2)%4]); !ok || len(m) > 0 {
				q.ok = false
			}
		}
	}
}

type newBreak struct {
	edge int
	t    float64
}

// missing lists the stops of side a that side b (running the other way) lacks.
// ok is false when one of them falls too near another stop or end of b.
func (w *work) missing(a, b []layout.RingEdge) (out []newBreak, ok bool) {
	sa, la := w.stops(a)
	sb, lb := w.stops(b)
	for _, x := range sa {
		want := (1 - x/la) * lb
		nearest := math.Min(want, lb-want)
		for _, y := range sb {
			nearest = math.Min(nearest, math.Abs(y-want))
		}
		if nearest < sameBreak*math.Max(1, lb/la) {
			continue
		}
		if nearest < breakGap {
			return nil, false
		}
		run := 0.0
		for _, re := range b {
			l := w.edgeLength(re.Edge)
			if want < run+l {
				t := (want - run) / l
				if re.Reversed {
					t = 1 - t
				}
				out = append(out, newBreak{re.Edge, t})
				break
			}
			run += l
		}
	}
	return out, true
}

// coverQuad lays a grid of quadrilaterals over a piece, cell by cell.
func (w *work) coverQuad(p int) {
	q := &w.quads[p]
	bottom, right, top, left := w.baseNodes(q.sides[0]), w.baseNodes(q.sides[1]), w.baseNodes(q.sides[2]), w.baseNodes(q.sides[3])
	slices.Reverse(top)
	slices.Reverse(left)
	nu, nv := (len(bottom)-1)/2, (len(left)-1)/2
	id := make([]int32, (2*nu+1)*(2*nv+1))
	for i := range id {
		id[i] = -1
	}
	at := func(i, j int) *int32 { return &id[j*(2*nu+1)+i] }
	for i := 0; i <= 2*nu; i++ {
		*at(i, 0), *at(i, 2*nv) = bottom[i], top[i]
	}
	for j := 0; j <= 2*nv; j++ {
		*at(0, j), *at(2*nu, j) = left[j], right[j]
	}
	// Corners of inner elements by the bilinear map; fractions are the same on
	// opposite sides, so the lines between opposite nodes cross where it says.
	frac := func(n []int32, i int) float64 {
		return dist(w.m.Nodes[n[0]], w.m.Nodes[n[i]]) / dist(w.m.Nodes[n[0]], w.m.Nodes[n[len(n)-1]])
	}
	for j := 2; j < 2*nv; j += 2 {
		v := frac(left, j)
		for i := 2; i < 2*nu; i += 2 {
			u := frac(bottom, i)
			*at(i, j) = w.node(lerp(lerp(q.at[0], q.at[1], u), lerp(q.at[3], q.at[2], u), v))
		}
	}
	middle := func(i, j int, a, b int32) int32 {
		n := at(i, j)
		if *n < 0 {
			*n = w.node(mid(w.m.Nodes[a], w.m.Nodes[b]))
		}
		return *n
	}
	cu, cv := w.cellEnds(q.sides[0], nu), w.cellEnds(q.sides[1], nv)
	for b := 0; b+1 < len(cv); b++ {
		for a := 0; a+1 < len(cu); a++ {
			cell := int32(w.m.Cells)
			w.m.Cells++
			for j := cv[b]; j < cv[b+1]; j++ {
				for i := cu[a]; i < cu[a+1]; i++ {
					c := [4]int32{*at(2*i, 2*j), *at(2*i+2, 2*j), *at(2*i+2, 2*j+2), *at(2*i, 2*j+2)}
					cut := w.cutCorner(&c)
					var mids [4]int32
					for s, m := range [4][2]int{{2*i + 1, 2 * j}, {2*i + 2, 2*j + 1}, {2*i + 1, 2*j + 2}, {2 * i, 2*j + 1}} {
						if cut >= 0 && (s == cut || s == (cut+3)%4) {
							continue // the sides at the cut corner have other nodes
						}
						mids[s] = middle(m[0], m[1], c[s], c[(s+1)%4])
					}
					if cut >= 0 {
						w.coverCorner(&c, &mids, cut, cell, p)
					} else {
						w.addQuad(&c, &mids, cell, p)
					}
				}
			}
		}
	}
}

func (w *work) addQuad(c, mids *[4]int32, cell int32, p int) {
	e := Element{N: 8, Cell: cell}
	copy(e.Nodes[:4], c[:])
	copy(e.Nodes[4:], mids[:])
	w.add(e, p)
}

// cellEnds gives the numbers of the elements along a side at which cells begin,
// and last the number of elements.
func (w *work) cellEnds(side []layout.RingEdge, n int) []int {
	ends := []int{0}
	run := 0
	for _, re := range side {
		parts := w.parts(re.Edge)
		for i := range parts {
			l := parts[i]
			if re.Reversed {
				l = parts[len(parts)-1-i]
			}
			run += l
			ends = append(ends, run)
		}
	}
	if run != n {
		panic("mesh: sides of a quadrilateral do not match") // matchBreaks and divideEdges promise it
	}
	return ends
}

// baseNodes lists the nodes along a side in the ring's own direction as they
// were before corners were cut.
func (w *work) baseNodes(side []layout.RingEdge) []int32 {
	return joined(side, func(e int) []int32 { return w.base[e] })
}

func joined(side []layout.RingEdge, nodes func(edge int) []int32) []int32 {
	var out []int32
	for _, re := range side {
		n := nodes(re.Edge)
		if len(out) > 0 {
			out = out[:len(out)-1]
		}
		if !re.Reversed {
			out = append(out, n...)
			continue
		}
		for i := len(n) - 1; i >= 0; i-- {
			out = append(out, n[i])
		}
	}
	return out
}

func convex(p []layout.XY) bool {
	for i := range p {
		a, b, c := p[i], p[(i+1)%len(p)], p[(i+2)%len(p)]
		if cross(a, b, c) <= 1e-9 {
			return false
		}
	}
	return true
}

func cross(a, b, c layout.XY) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

// lower orders places from the bottom up, then from the left; places on one
// level to a thousandth of a millimetre count as level.
func lower(a, b layout.XY) bool {
	if math.Abs(a[1]-b[1]) > 1e-3 {
		return a[1] < b[1]
	}
	return a[0] < b[0]-1e-3
}
