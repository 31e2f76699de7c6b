package layout

import (
	"math"
	"strconv"
)

// join makes the joints: for each pair of neighbours the longest straight runs
// of edges they share. Joints come in the order of their piece A, and round A
// counter-clockwise, so that A lies on the left of From→To.
func (p *plan) join() []Joint {
	joints := make([]Joint, 0, len(p.part.Edges))
	all := make([]int, 0, len(p.part.Edges)) // backs every Joint.Edges
	type count struct{ a, n int }
	met := make([]count, len(p.pieces)) // per piece B: segments with the A at hand
	for a, ring := range p.part.Rings {
		ring = p.fromAChange(ring, a)
		for k := 0; k < len(ring); {
			b := p.across(ring[k], a)
			if b <= a { // free, or told from the other side
				k++
				continue
			}
			from := p.start(ring[k])
			end := k + 1
			for end < len(ring) && p.across(ring[end], a) == b && p.straightRun(ring[k:end+1]) {
				end++
			}
			to := p.start(ring[end%len(ring)])
			j := Joint{
				ID: p.pieces[a].ID + "|" + p.pieces[b].ID, A: a, B: b,
				From: p.part.Vertices[from], To: p.part.Vertices[to],
			}
			j.Length = distance(j.From, j.To)
			if met[b].a != a+1 {
				met[b] = count{a: a + 1}
			}
			if met[b].n++; met[b].n > 1 {
				j.ID += "#" + strconv.Itoa(met[b].n)
			}
			first := len(all)
			for ; k < end; k++ {
				all = append(all, ring[k].Edge)
				p.part.Edges[ring[k].Edge].Joint = len(joints)
			}
			j.Edges = all[first:len(all):len(all)]
			joints = append(joints, j)
		}
	}
	return joints
}

// fromAChange returns the ring of piece a started where one neighbour ends and
// the next begins, so that no joint is cut in two by the ring's start.
func (p *plan) fromAChange(ring []RingEdge, a int) []RingEdge {
	last := p.across(ring[len(ring)-1], a)
	if last <= a || p.across(ring[0], a) != last {
		return ring
	}
	for k := range ring {
		if p.across(ring[k], a) != last {
			return append(append(make([]RingEdge, 0, len(ring)), ring[k:]...), ring[:k]...)
		}
	}
	return ring
}

// across is the piece on the other side of an edge of piece a's ring.
func (p *plan) across(u RingEdge, a int) int {
	e := p.part.Edges[u.Edge]
	if e.Left == a {
		return e.Right
	}
	return e.Left
}

// start is the vertex from which a ring runs along an edge.
func (p *plan) start(u RingEdge) int {
	if u.Reversed {
		return p.part.Edges[u.Edge].V1
	}
	return p.part.Edges[u.Edge].V0
}

func (p *plan) end(u RingEdge) int {
	return p.start(RingEdge{Edge: u.Edge, Reversed: !u.Reversed})
}

// straightRun reports whether every vertex within the run stands within Snap of
// the line from its start to its end.
func (p *plan) straightRun(run []RingEdge) bool {
	a, b := p.part.Vertices[p.start(run[0])], p.part.Vertices[p.end(run[len(run)-1])]
	d := sub(b, a)
	length := math.Hypot(d[0], d[1])
	if length == 0 {
		return false
	}
	for _, u := range run[1:] {
		q := sub(p.part.Vertices[p.start(u)], a)
		if t := dot(q, d); t <= 0 || t >= length*length || math.Abs(cross(d, q)) > Snap*length {
			return false
		}
	}
	return true
}

// islands numbers the groups of pieces that hang together by joints.
func islands(pieces int, joints []Joint) (group []int, sizes []int) {
	parent := make([]int, pieces)
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for _, j := range joints {
		if a, b := find(j.A), find(j.B); a != b {
			parent[max(a, b)] = min(a, b)
		}
	}
	number := map[int]int{}
	group = make([]int, pieces)
	for i := range parent {
		root := find(i)
		g, ok := number[root]
		if !ok {
			g = len(sizes)
			number[root] = g
			sizes = append(sizes, 0)
		}
		group[i] = g
		sizes[g]++
	}
	return group, sizes
}
