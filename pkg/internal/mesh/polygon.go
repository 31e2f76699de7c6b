package mesh

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// coverPolygon covers a piece of any outline with triangles. Congruent pieces
// (equal up to a shift) are triangulated once.
func (w *work) coverPolygon(ctx context.Context, p int) error {
	rim := w.rimNodes(p)
	first := 0
	for i := 2; i < len(rim); i += 2 {
		if lower(w.m.Nodes[rim[i]], w.m.Nodes[rim[first]]) {
			first = i
		}
	}
	rim = append(append([]int32{}, rim[first:]...), rim[:first]...)
	origin := w.m.Nodes[rim[0]]
	pts := make([]layout.XY, 0, len(rim)/2)
	var key strings.Builder
	for i := 0; i < len(rim); i += 2 {
		q := w.m.Nodes[rim[i]]
		d := layout.XY{q[0] - origin[0], q[1] - origin[1]}
		pts = append(pts, d)
		fmt.Fprintf(&key, "%d,%d;", int64(math.Round(d[0]/shapeUnit)), int64(math.Round(d[1]/shapeUnit)))
	}
	tr, ok := w.polygons[key.String()]
	if !ok {
		var err error
		if tr, err = triangulate(ctx, pts); ctx.Err() != nil {
			return ctx.Err()
		} else if err != nil {
			return fmt.Errorf("mesh: piece %s: %w", w.b.Pieces[p].ID, err)
		}
		w.polygons[key.String()] = tr
	}
	cell := int32(w.m.Cells)
	w.m.Cells++
	ids := make([]int32, len(tr.pts))
	for i := range tr.pts {
		if i < len(pts) {
			ids[i] = rim[2*i]
		} else {
			ids[i] = w.node(layout.XY{tr.pts[i][0] + origin[0], tr.pts[i][1] + origin[1]})
		}
	}
	mids := make(map[[2]int32]int32, 3*len(tr.tri)/2)
	for i := range pts {
		a, b := ids[i], ids[(i+1)%len(pts)]
		mids[pair(a, b)] = rim[2*i+1]
	}
	for _, t := range tr.tri {
		e := Element{N: 6, Cell: cell}
		for c := 0; c < 3; c++ {
			e.Nodes[c] = ids[t[c]]
		}
		for c := 0; c < 3; c++ {
			a, b := e.Nodes[c], e.Nodes[(c+1)%3]
			m, ok := mids[pair(a, b)]
			if !ok {
				m = w.node(mid(w.m.Nodes[a], w.m.Nodes[b]))
				mids[pair(a, b)] = m
			}
			e.Nodes[3+c] = m
		}
		w.add(e, p)
	}
	return nil
}

func pair(a, b int32) [2]int32 {
	if a > b {
		a, b = b, a
	}
	return [2]int32{a, b}
}

// rimNodes lists the nodes round a piece counter-clockwise: end, midside, end, …
func (w *work) rimNodes(p int) []int32 {
	n := joined(w.b.Partition.Rings[p], func(e int) []int32 { return w.m.Edges[e].Nodes })
	return n[:len(n)-1]
}

// linkEdges finds, for every edge, the element sides that lie on it.
func (w *work) linkEdges() error {
	sides := make(map[[2]int32][]Side, len(w.m.Elements))
	rim := map[[2]int32]bool{}
	for e := range w.m.Edges {
		n := w.m.Edges[e].Nodes
		for i := 0; i+2 < len(n); i += 2 {
			rim[pair(n[i], n[i+2])] = true
		}
	}
	for i := range w.m.Elements {
		el := &w.m.Elements[i]
		nc := el.Corners()
		for s := 0; s < nc; s++ {
			k := pair(el.Nodes[s], el.Nodes[(s+1)%nc])
			if rim[k] {
				sides[k] = append(sides[k], Side{int32(i), int8(s)})
			}
		}
	}
	for e := range w.m.Edges {
		em := &w.m.Edges[e]
		ed := w.b.Partition.Edges[e]
		for i := 0; i+2 < len(em.Nodes); i += 2 {
			for _, s := range sides[pair(em.Nodes[i], em.Nodes[i+2])] {
				switch int(w.m.Elements[s.Element].Piece) {
				case ed.Left:
					em.Left = append(em.Left, s)
				case ed.Right:
					em.Right = append(em.Right, s)
				}
			}
		}
		n := (len(em.Nodes) - 1) / 2
		if (ed.Left >= 0 && len(em.Left) != n) || (ed.Right >= 0 && len(em.Right) != n) {
			return fmt.Errorf("mesh: edge %d does not conform: %d sides, %d left, %d right", e, n, len(em.Left), len(em.Right))
		}
	}
	return nil
}

// minAngle gives the sharpest corner of any element, degrees.
func (w *work) minAngle() float64 {
	seen := make([]bool, len(w.shapes))
	least := 180.0
	for i := range w.m.Elements {
		el := &w.m.Elements[i]
		if seen[el.Shape] {
			continue
		}
		seen[el.Shape] = true
		nc := el.Corners()
		for c := 0; c < nc; c++ {
			a, b, d := w.m.Nodes[el.Nodes[c]], w.m.Nodes[el.Nodes[(c+1)%nc]], w.m.Nodes[el.Nodes[(c+nc-1)%nc]]
			least = math.Min(least, angle(a, b, d))
		}
	}
	return least
}

// angle gives the corner at a between b and c, degrees.
func angle(a, b, c layout.XY) float64 {
	u := layout.XY{b[0] - a[0], b[1] - a[1]}
	v := layout.XY{c[0] - a[0], c[1] - a[1]}
	return math.Atan2(math.Abs(u[0]*v[1]-u[1]*v[0]), u[0]*v[0]+u[1]*v[1]) * 180 / math.Pi
}
