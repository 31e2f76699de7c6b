package layout

import "math"

// connect makes the edges of the partition from the rings. An edge that two
// pieces use in the same direction is an overlap: both lie on its left.
func (p *plan) connect() {
	total := 0
	for _, ring := range p.rings {
		total += len(ring)
	}
	index := make(map[uint64]int32, total*2/3)
	uses := make([]RingEdge, 0, total)
	edges := make([]Edge, 0, total*2/3)
	p.part.Vertices = p.spots.at
	p.part.Rings = make([][]RingEdge, len(p.rings))
	for i, ring := range p.rings {
		start := len(uses)
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			key := edgeKey(a, b)
			e, known := index[key]
			if !known {
				e = int32(len(edges))
				index[key] = e
				edges = append(edges, Edge{V0: int(a), V1: int(b), Left: i, Right: -1, Joint: -1})
				uses = append(uses, RingEdge{Edge: int(e)})
				continue
			}
			switch edge := &edges[e]; {
			case edge.V0 == int(a):
				p.flaws.overlap(int32(edge.Left), int32(i), p.middle(*edge))
			case edge.Right >= 0:
				p.flaws.overlap(int32(edge.Right), int32(i), p.middle(*edge))
			default:
				edge.Right = i
			}
			uses = append(uses, RingEdge{Edge: int(e), Reversed: true})
		}
		p.part.Rings[i] = uses[start:len(uses):len(uses)]
	}
	p.part.Edges = edges
}

func (p *plan) middle(e Edge) XY {
	a, b := p.spots.at[e.V0], p.spots.at[e.V1]
	return XY{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
}

// spoke is an edge as it leaves a vertex.
type spoke struct {
	angle float64 // a number that grows with the angle, 0 to 4
	edge  int32
	out   bool // the vertex is the edge's V0
}

// wedges looks round every vertex: a piece owns the wedge between the edge by
// which its ring leaves and the edge by which it came, and no other edge may
// leave the vertex within it. Together with connect and crossings this finds
// every overlap of pieces whose outlines meet anywhere.
func (p *plan) wedges() {
	n := len(p.part.Vertices)
	start := make([]int32, n+1)
	for _, e := range p.part.Edges {
		start[e.V0+1]++
		start[e.V1+1]++
	}
	for v := 0; v < n; v++ {
		start[v+1] += start[v]
	}
	spokes := make([]spoke, start[n])
	fill := append([]int32(nil), start[:n]...)
	put := func(v int, s spoke, to XY) {
		s.angle = pseudoAngle(sub(to, p.part.Vertices[v]))
		at := fill[v]
		for ; at > start[v] && spokes[at-1].angle > s.angle; at-- {
			spokes[at] = spokes[at-1]
		}
		spokes[at] = s
		fill[v]++
	}
	for i, e := range p.part.Edges {
		put(e.V0, spoke{edge: int32(i), out: true}, p.part.Vertices[e.V1])
		put(e.V1, spoke{edge: int32(i)}, p.part.Vertices[e.V0])
	}
	for v := 0; v < n; v++ {
		round := spokes[start[v]:start[v+1]]
		for k, s := range round {
			e := p.part.Edges[s.edge]
			leaving := e.Left // the piece left of the edge as it leaves v
			if !s.out {
				leaving = e.Right
			}
			if leaving < 0 {
				continue
			}
			t := round[(k+1)%len(round)]
			f := p.part.Edges[t.edge]
			coming := f.Right // the piece whose ring comes in by the next spoke
			if !t.out {
				coming = f.Left
			}
			if coming == leaving {
				continue
			}
			other := f.Left
			if other < 0 || other == leaving {
				other = f.Right
			}
			if other >= 0 && other != leaving {
				p.flaws.overlap(int32(leaving), int32(other), p.part.Vertices[v])
			}
		}
	}
}

// pseudoAngle grows with the direction of d, from 0 at +x round to 4.
func pseudoAngle(d XY) float64 {
	s := d[1] / (math.Abs(d[0]) + math.Abs(d[1]))
	switch {
	case d[0] < 0:
		return 2 - s
	case d[1] < 0:
		return 4 + s
	}
	return s
}

// crossings finds edges that cross between their ends.
func (p *plan) crossings() {
	lo, hi := bounds(p.part.Vertices)
	boxes := newBins(lo, hi, len(p.part.Edges))
	boxes.fill(len(p.part.Edges), func(i int, f func(int)) {
		e := p.part.Edges[i]
		boxes.along(p.part.Vertices[e.V0], p.part.Vertices[e.V1], 0, f)
	})
	for box := 0; box+1 < len(boxes.start); box++ {
		in := boxes.in(box)
		for k, i := range in {
			e := p.part.Edges[i]
			a, b := p.part.Vertices[e.V0], p.part.Vertices[e.V1]
			for _, j := range in[:k] {
				f := p.part.Edges[j]
				if e.V0 == f.V0 || e.V0 == f.V1 || e.V1 == f.V0 || e.V1 == f.V1 {
					continue
				}
				if c, d := p.part.Vertices[f.V0], p.part.Vertices[f.V1]; crossing(a, b, c, d) {
					p.crossed(e, f, meeting(a, b, c, d))
					if p.flaws.full() {
						return
					}
				}
			}
		}
	}
}

func (p *plan) crossed(e, f Edge, at XY) {
	for _, i := range []int{e.Left, e.Right} {
		for _, j := range []int{f.Left, f.Right} {
			if i >= 0 && j >= 0 && i != j {
				p.flaws.overlap(int32(i), int32(j), at)
				return
			}
		}
	}
	p.flaws.pinched(int32(max(e.Left, e.Right)), at)
}
