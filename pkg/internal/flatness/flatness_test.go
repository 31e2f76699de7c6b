package flatness

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// surface samples a second-order surface on a board; the last four points are
// its corners.
func surface(w, h float64, z func(x, y float64) float64) (points []Point, corners []int) {
	const n = 24
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := w*float64(i)/n, h*float64(j)/n
			points = append(points, Point{x, y, z(x-w/2, y-h/2)})
		}
	}
	for _, c := range [4][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}} {
		corners = append(corners, len(points))
		points = append(points, Point{c[0], c[1], z(c[0]-w/2, c[1]-h/2)})
	}
	return points, corners
}

// A ring segment of radius 1/k, hollow down, stands on its two long edges, with
// k·b²/8 under the middle, and does not rock.
func TestHollowDownStandsOnItsEdges(t *testing.T) {
	const k, w, h = 1e-4, 300.0, 450.0
	p, c := surface(w, h, func(x, _ float64) float64 { return -k * x * x / 2 })
	s, ok := On(p, w/2, h/2, c)
	require.True(t, ok)
	assert.InDelta(t, k*w*w/8, s.Gap, 1e-9, "mm")
	assert.InDelta(t, w/2, s.At[0], 1e-9)
	assert.InDelta(t, 0, s.Rocks, 1e-9, "mm")
}

// The same turned over stands on its middle. Pressed at an edge it rolls until
// weight and hand together stand over the line of contact, at half of b = w/2;
// the tangent there leaves the edge k·(b/2)²/2 off, and the other k·(3b/2)²/2.
func TestHollowUpRolls(t *testing.T) {
	const k, w, h = 1e-4, 300.0, 450.0
	p, c := surface(w, h, func(x, _ float64) float64 { return k * x * x / 2 })
	s, ok := On(p, w/2, h/2, c)
	require.True(t, ok)
	assert.InDelta(t, k*w*w/8, s.Gap, 1e-9, "mm, edges over the middle")
	b := w / 2
	off := func(share float64) float64 { return k * b * b * share * share / 2 }
	assert.InDelta(t, off(1+Default().Hand)-off(1-Default().Hand), s.Rocks, k*w/24*b+1e-9, "mm, as fine as the points lie")
}

// A twisted board stands on two corners, the other two off by c·w·h/2 in
// balance; pressed, either comes down to the top, and the other is then off the
// plane of three by c·w·h.
func TestTwistRocks(t *testing.T) {
	const c, w, h = 2e-5, 300.0, 450.0
	p, corners := surface(w, h, func(x, y float64) float64 { return c * x * y })
	s, ok := On(p, w/2, h/2, corners)
	require.True(t, ok)
	assert.InDelta(t, c*w*h/2, s.Gap, 1e-9, "mm")
	assert.InDelta(t, c*w*h, s.Rocks, 1e-9, "mm")
}

// The plane of rest lies below every point, touches three, and no tilt of the
// board changes the gap: a property over random surfaces.
func TestRestIsASupport(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 200 {
		a, b, c := r.NormFloat64()*1e-4, r.NormFloat64()*1e-4, r.NormFloat64()*1e-4
		tx, ty := r.NormFloat64()*1e-2, r.NormFloat64()*1e-2
		z := func(x, y float64) float64 { return a*x*x/2 + b*y*y/2 + c*x*y + 0.05*math.Sin(x/37)*math.Cos(y/23) }
		p, corners := surface(310, 230, z)
		q, _ := surface(310, 230, func(x, y float64) float64 { return z(x, y) + 3 + tx*x + ty*y })
		plane, on, ok := Rest(p, 155, 115)
		require.True(t, ok)
		for _, v := range p {
			assert.Greater(t, v[2]-plane.At(v[0], v[1]), -1e-8, "mm")
		}
		for _, i := range on {
			assert.InDelta(t, 0, p[i][2]-plane.At(p[i][0], p[i][1]), 1e-8, "mm")
		}
		s1, _ := On(p, 155, 115, corners)
		s2, _ := On(q, 155, 115, corners)
		assert.InDelta(t, s1.Gap, s2.Gap, 1e-7, "mm, tilted")
		assert.InDelta(t, s1.Rocks, s2.Rocks, 1e-7, "mm, tilted")
	}
}

func TestTurnedOverSwapsHollowAndHump(t *testing.T) {
	p, c := surface(300, 200, func(x, _ float64) float64 { return 1e-4 * x * x / 2 })
	up, _ := On(p, 150, 100, c)
	down, ok := On(turned(p), 150, -100, c)
	require.True(t, ok)
	assert.Greater(t, up.Rocks, 0.5, "mm")
	assert.InDelta(t, 0, down.Rocks, 1e-9, "mm")
	assert.InDelta(t, up.Gap, down.Gap, 1e-9, "mm")
}

func TestNoPlaneWithoutThreePoints(t *testing.T) {
	_, ok := On([]Point{{0, 0, 0}, {10, 0, 0}}, 5, 0, nil)
	assert.False(t, ok)
	_, ok = On([]Point{{0, 0, 0}, {10, 0, 0}, {20, 0, 1}}, 5, 0, nil)
	assert.False(t, ok, "on one line")
}

// turned gives the points of the other face for a board turned over about its
// x axis: heights and y change sign.
func turned(points []Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = Point{p[0], -p[1], -p[2]}
	}
	return out
}

// The limit lies among printed tolerances, each as mm in mm of length: solid-surface tops
// 0.7 mm (premium) and 0.9 mm (custom) in 305 (Architectural Woodwork Standards 2009), a
// parquet board 5 mm in 1000 (GOST 862.3, quoted by a maker), solid table tops 1/8 inch in
// a foot (a maker's own). Stricter than any of wood, no stricter than of stone.
func TestLimitIsAmongPrintedTolerances(t *testing.T) {
	limit := Default().Gap
	assert.Greater(t, limit, 0.9/305)
	assert.Less(t, limit, 5.0/1000)
	assert.Less(t, limit, 0.125/12)
	assert.InDelta(t, 1.0/300, limit, 1e-5)
}

// What counts is the rise that lasts: of a hump the height at which it is as wide as the
// limit says, of a step all of it, of what the times end with all of it, and never more
// than the peak.
func TestOnlyWhatLastsCounts(t *testing.T) {
	l := Limits{Held: 12}
	triangle := func(hours float64) (times, index []float64) { // up to 2 in the middle of a day and a half
		for i := 0; i <= 360; i++ {
			x := float64(i) / 10
			times, index = append(times, x), append(index, math.Max(0, 2*(1-math.Abs(x-18)/(hours/2))))
		}
		return times, index
	}
	for hours, want := range map[float64]float64{24: 1, 18: 2.0 / 3, 36: 4.0 / 3, 13: 2.0 / 13} {
		times, index := triangle(hours)
		at := l.Longest(times, index)
		require.GreaterOrEqual(t, at, 0)
		assert.InDelta(t, want, index[at], 0.03, "%g h wide: a step of the sampling is 0.02 and less", hours)
	}
	times, index := triangle(10)
	assert.Equal(t, -1, l.Longest(times, index), "gone sooner")
	assert.Equal(t, 2, l.Longest([]float64{0, 1, 2}, []float64{0, 1, 3}), "as it is at the end it stays")
	assert.Equal(t, 1, l.Longest([]float64{0, 0.001, 20, 20.001}, []float64{0, 1, 1, 0}))
	assert.Equal(t, 1, Limits{}.Longest([]float64{0, 1, 2}, []float64{0, 5, 0}), "a peak where any time counts")
	assert.Equal(t, -1, l.Longest([]float64{0, 1, 2}, []float64{0, 0, 0}))
}
