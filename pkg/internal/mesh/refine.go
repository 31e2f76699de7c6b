package mesh

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

const (
	mostInner  = 4000 // inner points of one piece
	wantRatio  = 1.2  // circumradius over shortest side that is good enough: 24.6° or more
	wantRadius = 0.8  // circumradius over the length aimed at
	rimClear   = 0.45 // clearance of an inner point from the rim, of the rim's spacing
)

// refine inserts circumcentres, the worst triangle first.
func (t *triangulation) refine(ctx context.Context) error {
	type score struct {
		bad  float64
		v    [3]int32
		done bool
	}
	scores := make([]score, len(t.tri))
	given := map[[3]int32]bool{} // triangles whose circumcentre cannot be had
	for inner := 0; inner < mostInner; {
		if err := ctx.Err(); err != nil {
			return err
		}
		for len(scores) < len(t.tri) {
			scores = append(scores, score{})
		}
		worst, at := 1.0, -1
		for i, v := range t.tri {
			if !scores[i].done || scores[i].v != v {
				scores[i] = score{t.badness(v), v, true}
			}
			if scores[i].bad > worst && !given[v] {
				worst, at = scores[i].bad, i
			}
		}
		if at < 0 {
			return nil
		}
		v := t.tri[at]
		c, _ := circumcentre(t.pts[v[0]], t.pts[v[1]], t.pts[v[2]])
		where, ok := t.walk(int32(at), c)
		if !ok || !t.clear(c) {
			given[v] = true
			continue
		}
		t.insert(where, c)
		inner++
	}
	return nil
}

// badness is above 1 for a triangle that should be refined.
func (t *triangulation) badness(v [3]int32) float64 {
	a, b, c := t.pts[v[0]], t.pts[v[1]], t.pts[v[2]]
	ctr, r := circumcentre(a, b, c)
	short := math.Min(dist(a, b), math.Min(dist(b, c), dist(c, a)))
	bad := r / (wantRadius * t.sizeAt(layout.XY{(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3}))
	if short > 0.5*t.sizeAt(ctr) || short > 0.7*t.rimNear(ctr) {
		bad = math.Max(bad, r/short/wantRatio)
	}
	return bad
}

func (t *triangulation) rimNear(p layout.XY) float64 {
	best, h := math.Inf(1), 0.0
	for i := 0; i < t.n; i++ {
		if d := dist(p, t.pts[i]); d < best {
			best, h = d, t.rim[i]
		}
	}
	return h
}

func circumcentre(a, b, c layout.XY) (layout.XY, float64) {
	bx, by, cx, cy := b[0]-a[0], b[1]-a[1], c[0]-a[0], c[1]-a[1]
	d := 2 * (bx*cy - by*cx)
	b2, c2 := bx*bx+by*by, cx*cx+cy*cy
	ux, uy := (cy*b2-by*c2)/d, (bx*c2-cx*b2)/d
	return layout.XY{a[0] + ux, a[1] + uy}, math.Hypot(ux, uy)
}

// clear tells whether p keeps its distance from the rim.
func (t *triangulation) clear(p layout.XY) bool {
	for i := 0; i < t.n; i++ {
		a, b := t.pts[i], t.pts[(i+1)%t.n]
		if distTo(p, a, b) < rimClear*dist(a, b) {
			return false
		}
	}
	return true
}

// distTo is the distance from p to the segment a–b.
func distTo(p, a, b layout.XY) float64 {
	l2 := (b[0]-a[0])*(b[0]-a[0]) + (b[1]-a[1])*(b[1]-a[1])
	if l2 == 0 {
		return dist(p, a)
	}
	u := math.Max(0, math.Min(1, ((p[0]-a[0])*(b[0]-a[0])+(p[1]-a[1])*(b[1]-a[1]))/l2))
	return dist(p, lerp(a, b, u))
}

// walk goes from triangle i straight towards p and gives the triangle that
// holds p, or false when the rim is in the way.
func (t *triangulation) walk(i int32, p layout.XY) (int32, bool) {
	for steps := 0; steps < len(t.tri)+8; steps++ {
		next, in := int32(-1), true
		worst := -1e-12
		for k := 0; k < 3; k++ {
			a, b := t.pts[t.tri[i][(k+1)%3]], t.pts[t.tri[i][(k+2)%3]]
			if c := cross(a, b, p) / dist(a, b); c < worst {
				worst, next, in = c, t.adj[i][k], false
			}
		}
		if in {
			return i, true
		}
		if next < 0 {
			return -1, false
		}
		i = next
	}
	return -1, false
}

// insert splits triangle i in three at p and restores the Delaunay property.
func (t *triangulation) insert(i int32, p layout.XY) {
	n := int32(len(t.pts))
	t.pts = append(t.pts, p)
	v, a := t.tri[i], t.adj[i]
	j, k := int32(len(t.tri)), int32(len(t.tri)+1)
	t.tri[i] = [3]int32{n, v[0], v[1]}
	t.adj[i] = [3]int32{a[2], j, k}
	t.tri = append(t.tri, [3]int32{n, v[1], v[2]}, [3]int32{n, v[2], v[0]})
	t.adj = append(t.adj, [3]int32{a[0], k, i}, [3]int32{a[1], i, j})
	t.repoint(a[0], i, j)
	t.repoint(a[1], i, k)
	t.legalise(i, 0)
	t.legalise(j, 0)
	t.legalise(k, 0)
}

// smooth moves inner points towards the middle of their neighbours where that
// sharpens no triangle, and flips again.
func (t *triangulation) smooth() {
	for pass := 0; pass < 5; pass++ {
		around := make([][]int32, len(t.pts))
		for i, v := range t.tri {
			for _, c := range v {
				if int(c) >= t.n {
					around[c] = append(around[c], int32(i))
				}
			}
		}
		for p := t.n; p < len(t.pts); p++ {
			var sum layout.XY
			n, before := 0.0, 180.0
			for _, i := range around[p] {
				v := t.tri[i]
				before = math.Min(before, sharpest(t.pts[v[0]], t.pts[v[1]], t.pts[v[2]]))
				for _, c := range v {
					if int(c) != p {
						sum[0], sum[1], n = sum[0]+t.pts[c][0], sum[1]+t.pts[c][1], n+1
					}
				}
			}
			old := t.pts[p]
			t.pts[p] = layout.XY{sum[0] / n, sum[1] / n}
			for _, i := range around[p] {
				v := t.tri[i]
				if cross(t.pts[v[0]], t.pts[v[1]], t.pts[v[2]]) <= 0 || sharpest(t.pts[v[0]], t.pts[v[1]], t.pts[v[2]]) < 0.9*before {
					t.pts[p] = old
					break
				}
			}
		}
		t.flipAll()
	}
}
