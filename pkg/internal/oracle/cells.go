package oracle

import (
	"fmt"
	"math"
)

// cell is a convex part of a piece that has no corner of another cell inside
// one of its edges, so that cells can be meshed edge by edge.
type cell struct {
	piece   int
	corners []Vec2
}

// cells cuts pieces at T-junctions, square to the edge on which the junction
// lies, until no cell's corner lies inside another cell's edge. A piece with
// its pith inside is first cut into triangles round the pith.
func (d *Deck) cells() ([]cell, error) {
	var cs []cell
	for i, p := range d.Pieces {
		if p.Pith != nil && p.Up && inside(p.Corners, *p.Pith) {
			for k := range p.Corners {
				a, b := edge(p.Corners, k)
				cs = append(cs, cell{i, []Vec2{*p.Pith, a, b}})
			}
			continue
		}
		cs = append(cs, cell{i, p.Corners})
	}
	for range 10000 {
		k, e, at, found := findT(cs)
		if !found {
			return cs, nil
		}
		one, two := cut(cs[k], e, at)
		cs[k] = one
		cs = append(cs, two)
	}
	return nil, fmt.Errorf("oracle: %s: cutting at T-junctions does not end", d.Name)
}

func inside(c []Vec2, p Vec2) bool {
	for k := range c {
		a, b := edge(c, k)
		if b.minus(a).cross(p.minus(a)) <= near {
			return false
		}
	}
	return true
}

// findT returns a cell, one of its edges, and a corner of another cell strictly inside that edge.
func findT(cs []cell) (k, e int, at Vec2, found bool) {
	for k := range cs {
		for e := range cs[k].corners {
			p, q := edge(cs[k].corners, e)
			for j := range cs {
				if j == k {
					continue
				}
				for _, c := range cs[j].corners {
					if within(p, q, c) {
						return k, e, c, true
					}
				}
			}
		}
	}
	return 0, 0, Vec2{}, false
}

// within reports whether c lies on the segment p–q and not at its ends.
func within(p, q, c Vec2) bool {
	dir := q.minus(p)
	length := dir.norm()
	s := dir.dot(c.minus(p)) / length
	return math.Abs(dir.cross(c.minus(p)))/length < near && s > near && s < length-near
}

// cut splits c at place `at` of edge e by a line square to that edge. A corner
// met within a degree of that line is taken as the far end of the cut.
func cut(c cell, e int, at Vec2) (cell, cell) {
	n := len(c.corners)
	p, q := edge(c.corners, e)
	dir := q.minus(p)
	dir = Vec2{dir[0] / dir.norm(), dir[1] / dir.norm()}
	for k := range n {
		if k == e || k == (e+1)%n {
			continue
		}
		if r := c.corners[k].minus(at); math.Abs(dir.dot(r)) < 0.0175*r.norm() {
			return split(c, e, at, k, c.corners[k], true)
		}
	}
	for k := range n {
		if k == e {
			continue
		}
		r, s := edge(c.corners, k)
		tr, ts := dir.dot(r.minus(at)), dir.dot(s.minus(at))
		if tr > 0 && ts < 0 {
			return split(c, e, at, k, r.along(s.minus(r), tr/(tr-ts)), false)
		}
	}
	panic("oracle: a line into a convex cell does not leave it")
}

// split joins `at` on edge e to `far`, which is corner k or lies on edge k.
func split(c cell, e int, at Vec2, k int, far Vec2, corner bool) (cell, cell) {
	n := len(c.corners)
	one, two := []Vec2{at}, []Vec2{far}
	for i := (e + 1) % n; ; i = (i + 1) % n {
		if corner && i == k {
			break
		}
		one = append(one, c.corners[i])
		if !corner && i == k {
			break
		}
	}
	one = append(one, far)
	for i := (k + 1) % n; ; i = (i + 1) % n {
		two = append(two, c.corners[i])
		if i == e {
			break
		}
	}
	two = append(two, at)
	return cell{c.piece, one}, cell{c.piece, two}
}
