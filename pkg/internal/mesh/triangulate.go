package mesh

import (
	"context"
	"errors"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// triangulation is a covering of one polygon: the first points are the rim,
// counter-clockwise, the others lie inside.
type triangulation struct {
	pts []layout.XY
	tri [][3]int32
	adj [][3]int32 // adj[t][i] is the triangle across from corner i, −1 on the rim
	rim []float64  // spacing of the rim at each rim point, mm
	n   int        // rim points
}

// triangulate covers a simple polygon, given counter-clockwise with its
// divisions as points, without adding points on the rim: ears are cut off, the
// triangles are made constrained Delaunay by flipping, and circumcentres of
// triangles that are too large or too sharp are inserted (Delaunay refinement
// after Chew and Ruppert, the rim kept as it is).
func triangulate(ctx context.Context, rim []layout.XY) (*triangulation, error) {
	t := &triangulation{pts: append([]layout.XY{}, rim...), n: len(rim)}
	t.rim = make([]float64, t.n)
	for i := range rim {
		t.rim[i] = (dist(rim[i], rim[(i+1)%t.n]) + dist(rim[i], rim[(i+t.n-1)%t.n])) / 2
	}
	if err := t.cutEars(ctx); err != nil {
		return nil, err
	}
	t.link()
	t.flipAll()
	if err := t.refine(ctx); err != nil {
		return nil, err
	}
	t.smooth()
	for _, v := range t.tri {
		if cross(t.pts[v[0]], t.pts[v[1]], t.pts[v[2]]) <= 0 {
			return nil, errors.New("the outline could not be covered with triangles")
		}
	}
	return t, nil
}

// cutEars triangulates the rim, taking the best-shaped ear each time.
func (t *triangulation) cutEars(ctx context.Context) error {
	left := make([]int32, t.n)
	for i := range left {
		left[i] = int32(i)
	}
	scale := 0.0
	for i := range t.pts {
		scale = math.Max(scale, dist(t.pts[0], t.pts[i]))
	}
	for len(left) > 3 {
		if err := ctx.Err(); err != nil {
			return err
		}
		best, at := -1.0, -1
		for i := range left {
			a, b, c := left[(i+len(left)-1)%len(left)], left[i], left[(i+1)%len(left)]
			pa, pb, pc := t.pts[a], t.pts[b], t.pts[c]
			if cross(pa, pb, pc) <= 1e-12*scale*scale {
				continue
			}
			q := sharpest(pa, pb, pc)
			if q <= best || !t.isEar(left, a, b, c) {
				continue
			}
			best, at = q, i
		}
		if at < 0 {
			return errors.New("the outline crosses itself or has no area")
		}
		t.tri = append(t.tri, [3]int32{left[(at+len(left)-1)%len(left)], left[at], left[(at+1)%len(left)]})
		left = append(left[:at], left[at+1:]...)
	}
	if cross(t.pts[left[0]], t.pts[left[1]], t.pts[left[2]]) <= 0 {
		return errors.New("the outline has no area")
	}
	t.tri = append(t.tri, [3]int32{left[0], left[1], left[2]})
	return nil
}

func (t *triangulation) isEar(left []int32, a, b, c int32) bool {
	pa, pb, pc := t.pts[a], t.pts[b], t.pts[c]
	for _, o := range left {
		if o == a || o == b || o == c {
			continue
		}
		p := t.pts[o]
		// A point on the cut a–c would leave a flat remainder: it blocks too.
		if cross(pa, pb, p) >= 0 && cross(pb, pc, p) >= 0 && cross(pc, pa, p) >= -1e-9 {
			return false
		}
	}
	return true
}

func sharpest(a, b, c layout.XY) float64 {
	return math.Min(angle(a, b, c), math.Min(angle(b, c, a), angle(c, a, b)))
}

// link fills the neighbours.
func (t *triangulation) link() {
	t.adj = make([][3]int32, len(t.tri))
	seen := map[[2]int32][2]int32{}
	for i, v := range t.tri {
		for k := 0; k < 3; k++ {
			t.adj[i][k] = -1
			e := pair(v[(k+1)%3], v[(k+2)%3])
			if o, ok := seen[e]; ok {
				t.adj[i][k], t.adj[o[0]][o[1]] = o[0], int32(i)
			} else {
				seen[e] = [2]int32{int32(i), int32(k)}
			}
		}
	}
}

// legalise flips the side across from corner k of triangle i, and on from
// there, until the sides met are Delaunay.
func (t *triangulation) legalise(i, k int32) {
	stack := [][2]int32{{i, k}}
	for guard := 0; len(stack) > 0 && guard < 100*len(t.tri)+1000; guard++ {
		i, k := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		j := t.adj[i][k]
		if j < 0 {
			continue
		}
		m := t.facing(j, i)
		p, a, b, q := t.tri[i][k], t.tri[i][(k+1)%3], t.tri[i][(k+2)%3], t.tri[j][m]
		if !inCircle(t.pts[p], t.pts[a], t.pts[b], t.pts[q]) {
			continue
		}
		// i = p a b, j = q b a  →  i = p a q, j = p q b
		ia, ib := t.adj[i][(k+1)%3], t.adj[i][(k+2)%3] // across from a, from b
		jb, ja := t.adj[j][(m+1)%3], t.adj[j][(m+2)%3] // across from b, from a
		t.tri[i], t.tri[j] = [3]int32{p, a, q}, [3]int32{p, q, b}
		t.adj[i], t.adj[j] = [3]int32{jb, j, ib}, [3]int32{ja, ia, i}
		t.repoint(jb, j, i)
		t.repoint(ia, i, j)
		stack = append(stack, [2]int32{i, 0}, [2]int32{i, 2}, [2]int32{j, 0}, [2]int32{j, 1})
	}
}

// facing gives the corner of triangle j whose opposite side borders triangle i.
func (t *triangulation) facing(j, i int32) int32 {
	for k := int32(0); k < 3; k++ {
		if t.adj[j][k] == i {
			return k
		}
	}
	panic("mesh: triangles do not know each other")
}

func (t *triangulation) repoint(at, from, to int32) {
	if at >= 0 {
		t.adj[at][t.facing(at, from)] = to
	}
}

func (t *triangulation) flipAll() {
	for i := range t.tri {
		for k := int32(0); k < 3; k++ {
			t.legalise(int32(i), k)
		}
	}
}

// inCircle tells whether q lies clearly inside the circle through p, a, b
// (counter-clockwise). Points on the circle to within round-off count as out,
// so that flipping ends.
func inCircle(p, a, b, q layout.XY) bool {
	ax, ay := p[0]-q[0], p[1]-q[1]
	bx, by := a[0]-q[0], a[1]-q[1]
	cx, cy := b[0]-q[0], b[1]-q[1]
	a2, b2, c2 := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	det := a2*(bx*cy-cx*by) - b2*(ax*cy-cx*ay) + c2*(ax*by-bx*ay)
	size := math.Max(a2, math.Max(b2, c2))
	return det > 1e-10*size*size
}

// sizeAt is the length aimed at for a side at p: the rim's spacing nearby,
// growing with the distance from it.
func (t *triangulation) sizeAt(p layout.XY) float64 {
	h := math.Inf(1)
	for i := 0; i < t.n; i++ {
		h = math.Min(h, t.rim[i]+0.4*dist(p, t.pts[i]))
	}
	return h
}
