package draw

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// movedBy draws a board whose places [mm] move by what move gives [mm], six to a side.
func movedBy(b *layout.Board, move func(piece int, at layout.XY) layout.XY, o DeformedOptions) ([]byte, error) {
	from, to := make([][]xy, len(b.Pieces)), make([][]xy, len(b.Pieces))
	for i, q := range b.Pieces {
		from[i] = refined(q.Outline, 6)
		for _, p := range from[i] {
			u := move(i, p)
			to[i] = append(to[i], xy{p[0] + u[0], p[1] + u[1]})
		}
	}
	return Deformed(b, from, to, o)
}

// refined puts n points on every side of an outline.
func refined(o []xy, n int) []xy {
	out := make([]xy, 0, n*len(o))
	for i, a := range o {
		b := o[(i+1)%len(o)]
		for k := range n {
			t := float64(k) / float64(n)
			out = append(out, xy{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
		}
	}
	return out
}

func TestDeformedStatesItsFactor(t *testing.T) {
	b, c := gridBoard(40, "MW", "WM")
	grow := func(_ int, p layout.XY) layout.XY { return layout.XY{0.01 * p[0], 0} }
	svg, err := movedBy(b, grow, DeformedOptions{Title: "grown", Colours: c, Factor: 7})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "Movement drawn 7 times larger; largest 0.8 mm.")

	// The largest movement shows as a twentieth of the board: 4 mm over 0.8 mm
	// is 5, a round number already.
	svg, err = movedBy(b, grow, DeformedOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "drawn 5 times larger")

	still := func(int, layout.XY) layout.XY { return layout.XY{} }
	svg, err = movedBy(b, still, DeformedOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "drawn 1 times larger; largest 0 mm")
}

func TestDeformedRefuses(t *testing.T) {
	b, c := gridBoard(40, "MW")
	_, err := movedBy(b, func(int, layout.XY) layout.XY { return layout.XY{math.NaN(), 0} }, DeformedOptions{})
	assert.ErrorContains(t, err, "displacement of piece r1c1")
	_, err = Deformed(b, nil, nil, DeformedOptions{})
	assert.ErrorContains(t, err, "0 outlines")
	_, err = Deformed(b, [][]xy{{{0, 0}}, {}}, [][]xy{{}, {}}, DeformedOptions{Colours: c})
	assert.ErrorContains(t, err, "1 points before and 0 after")
}

// The ghost is the edge of the board: for a grid, once round its rectangle.
func TestFreeEdgesAreTheRim(t *testing.T) {
	b, _ := gridBoard(30, "MWM", "WMW")
	long := 0.0
	for _, e := range freeEdges(b, frame{k: 1, tall: b.Height}) {
		long += math.Hypot(e.to[0]-e.from[0], e.to[1]-e.from[1])
	}
	assert.InDelta(t, 2*(90+60), long, 1e-9) // mm, perimeter
	// A joint over half a side leaves the other half free.
	b.Joints = nil
	addJoint(b, 0, 1, xy{30, 30}, xy{30, 45})
	long = 0
	for _, e := range freeEdges(b, frame{k: 1, tall: b.Height}) {
		long += math.Hypot(e.to[0]-e.from[0], e.to[1]-e.from[1])
	}
	assert.InDelta(t, 6*4*30-2*15, long, 1e-9)
}

func TestSurfaceStatesExaggerationAndSpan(t *testing.T) {
	g := Grid{X: []float64{0, 100, 200}, Y: []float64{0, 50}, Z: [][]float64{{0, 0.5, 1}, {0, 0.5, 1}}}
	svg, err := Surface(g, SurfaceOptions{Exaggeration: 12})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "Heights drawn 12 times larger; they span 1 mm.")
	svg, err = Surface(g, SurfaceOptions{}) // a fifth of 200 mm over 1 mm is 40; 20 is the round number below
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "Heights drawn 20 times larger")
	flat := Grid{X: g.X, Y: g.Y, Z: [][]float64{{3, 3, 3}, {3, 3, 3}}}
	svg, err = Surface(flat, SurfaceOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "It stays flat")
	assert.NotContains(t, string(svg), "NaN")
}

func TestResampledIsExactForABilinearSurface(t *testing.T) {
	var g Grid
	h := func(x, y float64) float64 { return 0.3 + 0.02*x - 0.05*y + 0.001*x*y }
	for i := range 61 {
		g.X = append(g.X, float64(i*i))
	}
	for j := range 47 {
		g.Y = append(g.Y, float64(j)*3)
		var row []float64
		for _, x := range g.X {
			row = append(row, h(x, g.Y[j]))
		}
		g.Z = append(g.Z, row)
	}
	r := resampled(g, 25)
	require.Len(t, r.X, 25)
	for j, y := range r.Y {
		for i, x := range r.X {
			assert.InDelta(t, h(x, y), r.Z[j][i], 1e-9) // mm, rounding only
		}
	}
}

func TestSurfaceRefuses(t *testing.T) {
	for want, g := range map[string]Grid{
		"two columns":        {X: []float64{0}, Y: []float64{0, 1}},
		"rows of heights":    {X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 0}}},
		"row 1 has 1":        {X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 0}, {0}}},
		"must rise":          {X: []float64{0, 0}, Y: []float64{0, 1}, Z: [][]float64{{0, 0}, {0, 0}}},
		"heights of row 0":   {X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, math.Inf(1)}, {0, 0}}},
		"places in x, value": {X: []float64{0, math.NaN()}, Y: []float64{0, 1}, Z: [][]float64{{0, 0}, {0, 0}}},
	} {
		_, err := Surface(g, SurfaceOptions{})
		assert.ErrorContains(t, err, want)
	}
}
