package layout

import (
	"math"
	"slices"
)

// side is one straight side of one or two outlines, corner to corner, before
// T-junctions split it.
type side struct {
	a, b  int32
	owner int32   // the first piece that has it
	on    []int32 // vertices standing on it, in order from a to b
}

// plan is the planar map while it is being worked out.
type plan struct {
	pieces []Piece
	spots  *spots
	owner  []int32   // per vertex: a piece with a corner there
	rings  [][]int32 // per piece: vertices, at first corners only, after split all
	sides  []side
	part   Partition
	flaws  flaws
	piled  bool // so many pieces overlap that the work stopped
}

func edgeKey(a, b int32) uint64 { return uint64(uint32(min(a, b)))<<32 | uint64(uint32(max(a, b))) }

// snap numbers the corners of all outlines and moves them onto their vertices.
func (p *plan) snap() {
	n := 0
	for i := range p.pieces {
		n += len(p.pieces[i].Outline)
	}
	p.spots = newSpots(n/2 + 8)
	p.rings = make([][]int32, len(p.pieces))
	all := make([]int32, 0, n)
	for i := range p.pieces {
		start := len(all)
		for _, q := range p.pieces[i].Outline {
			v := p.spots.add(q)
			if int(v) == len(p.owner) {
				p.owner = append(p.owner, int32(i))
			}
			if len(all) > start && all[len(all)-1] == v {
				continue
			}
			all = append(all, v)
		}
		for len(all) > start+1 && all[len(all)-1] == all[start] {
			all = all[:len(all)-1]
		}
		p.rings[i] = all[start:len(all):len(all)]
	}
	for i := range p.pieces {
		out := make([]XY, len(p.rings[i]))
		for k, v := range p.rings[i] {
			out[k] = p.spots.at[v]
		}
		p.pieces[i].Outline = out
	}
}

// crowded finds vertices too near each other to be worked with.
func (p *plan) crowded() {
	for i, q := range p.spots.at {
		p.spots.near(q, Narrow, func(j int32) bool {
			if j > int32(i) && distance(q, p.spots.at[j]) < Narrow {
				p.flaws.sliver(p.owner[i], p.owner[j], q, distance(q, p.spots.at[j]), "corners")
			}
			return !p.flaws.full()
		})
		if p.flaws.full() {
			return
		}
	}
}

// split finds the vertices that stand on sides and cuts the rings there.
func (p *plan) split() {
	index := make(map[uint64]int32, len(p.spots.at)*2)
	for i, ring := range p.rings {
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			if _, known := index[edgeKey(a, b)]; !known {
				index[edgeKey(a, b)] = int32(len(p.sides))
				p.sides = append(p.sides, side{a: a, b: b, owner: int32(i)})
			}
		}
	}
	lo, hi := bounds(p.spots.at)
	boxes := newBins(lo, hi, len(p.spots.at))
	boxes.fill(len(p.spots.at), func(i int, f func(int)) {
		q := p.spots.at[i]
		f(boxes.row(q[1])*boxes.nx + boxes.column(q[0]))
	})
	standing := 0
	for s := range p.sides {
		p.standing(&p.sides[s], boxes)
		if p.flaws.full() {
			return
		}
		// A corner leaves room for one straight side through its place, not for
		// two; three are allowed for snapping.
		if standing += len(p.sides[s].on); standing > 3*len(p.spots.at)+100 {
			p.piledUp("more corners standing on edges than pieces side by side can have", "one edge through each corner")
			return
		}
	}
	for i, ring := range p.rings {
		var longer []int32
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			s := &p.sides[index[edgeKey(a, b)]]
			if len(s.on) > 0 && longer == nil {
				longer = append(make([]int32, 0, len(ring)+4), ring[:k]...)
			}
			if longer == nil {
				continue
			}
			longer = append(longer, a)
			if s.a == a {
				longer = append(longer, s.on...)
				continue
			}
			for j := len(s.on) - 1; j >= 0; j-- {
				longer = append(longer, s.on[j])
			}
		}
		if longer != nil {
			p.rings[i] = longer
		}
	}
}

// standing finds the vertices on one side, and those too near it.
func (p *plan) standing(s *side, boxes *bins) {
	a, b := p.spots.at[s.a], p.spots.at[s.b]
	d := sub(b, a)
	length := math.Hypot(d[0], d[1])
	boxes.along(a, b, Narrow, func(box int) {
		for _, w := range boxes.in(box) {
			if w == s.a || w == s.b {
				continue
			}
			q := sub(p.spots.at[w], a)
			if t := dot(q, d); t <= 0 || t >= length*length {
				continue
			}
			switch off := math.Abs(cross(d, q)) / length; {
			case off <= Snap:
				s.on = append(s.on, w)
			case off < Narrow:
				p.flaws.sliver(s.owner, p.owner[w], p.spots.at[w], off, "a corner and an edge")
			}
		}
	})
	slices.SortFunc(s.on, func(v, w int32) int {
		tv, tw := dot(sub(p.spots.at[v], a), d), dot(sub(p.spots.at[w], a), d)
		switch {
		case tv < tw:
			return -1
		case tv > tw:
			return 1
		}
		return 0
	})
}
