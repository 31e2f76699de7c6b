package draw

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// pictures are all kinds of picture, each with a name that a stranger chose.
func pictures(name string) map[string]func() ([]byte, error) {
	return map[string]func() ([]byte, error){
		"layout": func() ([]byte, error) {
			b, m := frameTest()
			m.Title = name
			return Layout(b, m)
		},
		"history": func() ([]byte, error) {
			s := historyTest()
			s[0].Name = name
			return History(s, HistoryOptions{Title: name, FirstMonth: 9, Events: []Event{{120, 135, name}, {200, 200, "washed"}}})
		},
		"profiles": func() ([]byte, error) {
			return Profiles(profilesTest(), ProfileOptions{Title: name, Thickness: 40, TopFace: "room", BottomFace: name})
		},
		"deformed": func() ([]byte, error) {
			b, c := gridBoard(40, "MWmW", "WMWm")
			return Deformed(b, moveTest, DeformedOptions{Title: name, Colours: c})
		},
		"surface": func() ([]byte, error) {
			return Surface(gridTest(), SurfaceOptions{Title: name, Notes: []string{name}})
		},
		"slices": func() ([]byte, error) {
			s := sliceTest("end-for-end")
			s.Title, s.Strips[0].Name = name, name
			return Slices(s)
		},
	}
}

func TestEveryPictureIsWellFormedAndTheSameTwice(t *testing.T) {
	for _, name := range append(nasty, "plain") {
		for kind, draw := range pictures(name) {
			svg, err := draw()
			require.NoError(t, err, kind)
			again, err := draw()
			require.NoError(t, err, kind)
			require.Equal(t, svg, again, kind)
			ns := nodes(t, svg)
			assert.Equal(t, "600", ns[0].attrs["width"], kind)
			assert.Equal(t, "img", ns[0].attrs["role"], kind)
			assert.Equal(t, "desc", ns[2].name, kind)
			assert.NotEmpty(t, ns[2].text, kind)
			assert.Empty(t, find(ns, "id"), kind)
			assert.NotContains(t, string(svg), "NaN", kind)
			assert.NotContains(t, string(svg), "Inf", kind)
			assert.NotContains(t, string(svg), "%!", kind)
			for _, n := range ns {
				assert.False(t, n.name == "script" || n.name == "image", kind)
			}
		}
	}
}

func TestGoldenPictures(t *testing.T) {
	for kind, draw := range pictures("plain name") {
		if kind == "layout" {
			continue // has goldens of its own
		}
		svg, err := draw()
		require.NoError(t, err)
		golden(t, kind, svg)
	}
	for _, turn := range []string{"none", "over", "both"} {
		svg, err := Slices(sliceTest(turn))
		require.NoError(t, err)
		golden(t, "slices-"+turn, svg)
	}
}

func TestHistoryShowsPanelsLimitsAndPeak(t *testing.T) {
	svg, err := History(historyTest(), HistoryOptions{Title: "year", FirstMonth: 9})
	require.NoError(t, err)
	ns := nodes(t, svg)
	assert.Len(t, find(ns, "data-panel"), 3)
	assert.Len(t, find(ns, "data-series"), 4)
	read := texts(ns)
	for _, want := range []string{"Moisture, mean of the thickness [% MC]", "holds", "tight", "doubtful", "fails", "Sep", "Aug", "Cup over the width [mm]"} {
		assert.Contains(t, read, want)
	}
	s := historyTest()[2]
	top := 0
	for i, v := range s.Values {
		if v > s.Values[top] {
			top = i
		}
	}
	assert.Contains(t, read, fmt.Sprintf("%s, day %d", sig(s.Values[top], 3), top))
}

func TestHistoryCountsHoursWhenShort(t *testing.T) {
	svg, err := History([]Series{{Panel: "cup", Name: "a", Days: []float64{0, 0.25, 1}, Values: []float64{0, 1, 2}}}, HistoryOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "hours")
}

func TestHistoryDrawsConstantAndSinglePoint(t *testing.T) {
	for _, s := range []Series{
		{Days: []float64{0, 1, 2}, Values: []float64{7.5, 7.5, 7.5}},
		{Days: []float64{3}, Values: []float64{0}},
		{Days: []float64{3, 3, 4}, Values: []float64{0, 1e-12, 0}, Utilisation: true},
		{Days: []float64{0, 1}, Values: []float64{-1e6, 1e6}},
		{Days: []float64{0, 1}, Values: []float64{0, 7.9}, Utilisation: true},
	} {
		svg, err := History([]Series{s}, HistoryOptions{})
		require.NoError(t, err)
		assert.NotContains(t, string(svg), "NaN")
		nodes(t, svg)
	}
}

// A long history is thinned, but its peak must not be lost.
func TestThinKeepsPeaks(t *testing.T) {
	var pts []xy
	for i := range 50_000 {
		pts = append(pts, xy{float64(i) / 100, math.Sin(float64(i))})
	}
	pts[31_416][1] = 99
	pts[20_001][1] = -99
	got := thin(pts)
	assert.Less(t, len(got), 2200)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range got {
		lo, hi = math.Min(lo, p[1]), math.Max(hi, p[1])
		if i > 0 {
			require.GreaterOrEqual(t, p[0], got[i-1][0])
		}
	}
	assert.Equal(t, 99.0, hi)
	assert.Equal(t, -99.0, lo)
	assert.Equal(t, pts[0], got[0])
	assert.Equal(t, pts[len(pts)-1], got[len(got)-1])
}

func TestHistoryRefuses(t *testing.T) {
	good := Series{Panel: "p", Name: "s", Unit: "mm", Days: []float64{0, 1}, Values: []float64{1, 2}}
	other := good
	other.Unit = "in"
	short, fall, nan := good, good, good
	short.Values = []float64{1}
	fall.Days = []float64{1, 0}
	nan.Values = []float64{1, math.NaN()}
	for want, list := range map[string][]Series{
		"without series": nil, "mixes the units": {good, other}, "2 days and 1 values": {short}, "fall": {fall}, "not a finite": {nan},
	} {
		_, err := History(list, HistoryOptions{})
		assert.ErrorContains(t, err, want)
	}
	_, err := History([]Series{good}, HistoryOptions{FirstMonth: 13})
	assert.ErrorContains(t, err, "allowed 1 to 12")
	_, err = History([]Series{good}, HistoryOptions{Events: []Event{{From: math.Inf(-1)}}})
	assert.ErrorContains(t, err, "not a finite")
}

func TestProfilesHaveTheTopFaceUp(t *testing.T) {
	svg, err := Profiles([]Profile{{Panel: "maple", Z: []float64{0, 40}, MC: []float64{6, 12}}}, ProfileOptions{Thickness: 40})
	require.NoError(t, err)
	line := find(nodes(t, svg), "data-days")[0].attrs["d"]
	var x0, y0, x1, y1 float64
	_, err = fmt.Sscanf(strings.NewReplacer("M", "", "L", " ").Replace(line), "%g %g %g %g", &x0, &y0, &x1, &y1)
	require.NoError(t, err)
	assert.Less(t, y1, y0, "z = 40 mm stands above z = 0 on the screen")
	assert.Greater(t, x1, x0, "12 %% MC stands to the right of 6")
}

func TestProfilesRefuse(t *testing.T) {
	for want, p := range map[string]Profile{
		"2 heights and 1 moistures": {Z: []float64{0, 1}, MC: []float64{5}},
		"heights":                   {Z: []float64{0, math.NaN()}, MC: []float64{5, 5}},
		"fall":                      {Z: []float64{2, 1}, MC: []float64{5, 5}},
		"outside the thickness":     {Z: []float64{0, 41}, MC: []float64{5, 5}},
		"0 heights":                 {},
	} {
		_, err := Profiles([]Profile{p}, ProfileOptions{Thickness: 40})
		assert.ErrorContains(t, err, want)
	}
	_, err := Profiles(nil, ProfileOptions{})
	assert.ErrorContains(t, err, "no profile")
}

func TestDeformedStatesItsFactor(t *testing.T) {
	b, c := gridBoard(40, "MW", "WM")
	grow := func(_ int, p layout.XY) layout.XY { return layout.XY{0.01 * p[0], 0} }
	svg, err := Deformed(b, grow, DeformedOptions{Title: "grown", Colours: c, Factor: 7})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "Movement drawn 7 times larger; largest 0.8 mm.")

	// The largest movement shows as a twentieth of the board: 4 mm over 0.8 mm
	// is 5, a round number already.
	svg, err = Deformed(b, grow, DeformedOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "drawn 5 times larger")

	still := func(int, layout.XY) layout.XY { return layout.XY{} }
	svg, err = Deformed(b, still, DeformedOptions{})
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "drawn 1 times larger; largest 0 mm")
}

func TestDeformedRefuses(t *testing.T) {
	b, c := gridBoard(40, "MW")
	_, err := Deformed(b, nil, DeformedOptions{})
	assert.ErrorContains(t, err, "no displacement")
	_, err = Deformed(b, func(int, layout.XY) layout.XY { return layout.XY{math.NaN(), 0} }, DeformedOptions{})
	assert.ErrorContains(t, err, "displacement of piece r1c1")
	_, err = DeformedOutlines(b, nil, nil, DeformedOptions{})
	assert.ErrorContains(t, err, "0 outlines")
	_, err = DeformedOutlines(b, [][]xy{{{0, 0}}, {}}, [][]xy{{}, {}}, DeformedOptions{Colours: c})
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
	assert.Contains(t, texts(nodes(t, svg)), "they span 0 mm")
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

// What each turn does to the order of strips, the ring angle and the pith,
// worked out by turning the slice as a solid: a half turn about the upright
// z, about the long edge x, and one after the other.
func TestTurnedStrips(t *testing.T) {
	pith := xy{3, -40}
	strips := []Strip{{Name: "A", Width: 10, Ring: 30}, {Name: "B", Width: 20, Ring: -50}, {Name: "C", Width: 30, Pith: &pith}}
	rotations := map[string][2]float64{"none": {1, 1}, "end-for-end": {-1, -1}, "over": {1, -1}, "both": {-1, 1}}
	for turn, r := range rotations {
		got := turnedStrips(strips, turn)
		x := 0.0
		where := map[string]float64{}
		for _, p := range got {
			where[p.Name] = x + p.Width/2
			x += p.Width
		}
		at := 0.0
		for _, p := range strips {
			// The middle of the strip about the middle of the slice, turned.
			want := 30 + r[0]*(at+p.Width/2-30)
			assert.InDelta(t, want, where[p.Name], 1e-12, "%s: place of %s", turn, p.Name)
			at += p.Width
		}
		for _, p := range got {
			before := strips[p.index]
			s, c := math.Sincos(before.Ring * math.Pi / 180)
			s2, c2 := math.Sincos(p.Ring * math.Pi / 180)
			// An axis has no sign: the turned one and the told one are parallel.
			assert.InDelta(t, 0, r[0]*c*s2-r[1]*s*c2, 1e-12, "%s: rings of %s", turn, p.Name)
			if before.Pith != nil {
				assert.Equal(t, xy{r[0] * 3, r[1] * -40}, *p.Pith, turn)
			}
		}
	}
	assert.Equal(t, xy{3, -40}, pith, "the caller's pith is left alone")
}

func TestSlicesRefuse(t *testing.T) {
	for want, spoil := range map[string]func(s *SlicePlan){
		`turn "sideways"`:       func(s *SlicePlan) { s.Turn = "sideways" },
		"without strips":        func(s *SlicePlan) { s.Strips = nil },
		"0 slices":              func(s *SlicePlan) { s.Count = 0 },
		"height of the panel":   func(s *SlicePlan) { s.Height = 0 },
		"length of a slice":     func(s *SlicePlan) { s.Thickness = math.NaN() },
		"width of strip 2":      func(s *SlicePlan) { s.Strips[1].Width = -1 },
		"ring angle of strip 1": func(s *SlicePlan) { s.Strips[0].Ring = math.Inf(1) },
		"pith of strip 3":       func(s *SlicePlan) { s.Strips[2].Pith = &xy{math.NaN(), 0} },
		"#rrggbb":               func(s *SlicePlan) { s.Strips[0].Colour = "blue" },
	} {
		s := sliceTest("over")
		spoil(&s)
		_, err := Slices(s)
		assert.ErrorContains(t, err, want)
	}
}
