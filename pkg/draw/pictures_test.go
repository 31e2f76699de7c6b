package draw

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
			return movedBy(b, moveTest, DeformedOptions{Title: name, Colours: c})
		},
		"surface": func() ([]byte, error) {
			return Surface(gridTest(), SurfaceOptions{Title: name, Notes: []string{name}})
		},
		"slices": func() ([]byte, error) {
			s := sliceTest("end-for-end")
			s.Title, s.Strips[0].Name = name, name
			return Slices(s)
		},
		"movement": func() ([]byte, error) {
			return Movement([]MovementBar{{name, 0.8, 1.72, false}, {"walnut", 0.9, 1.3, true}}, MovementOptions{Title: name, More: 3})
		},
		"pair": func() ([]byte, error) {
			return Pair(pairTest(name))
		},
		"build": func() ([]byte, error) {
			b := buildTest()
			b.Build.Panels[0].Key, b.Build.Sticks[0].Kind = name, name
			return Build(b, BuildMarks{Title: name, Colours: map[string]string{"M": "#e8d9b5"}})
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
