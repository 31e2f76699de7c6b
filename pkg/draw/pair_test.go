package draw

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func pairTest(name string) PairPicture {
	return PairPicture{Title: name, Subtitle: "8 to 12 %", Length: 300, Curvature: 7e-5, Utilisation: 0.6, Notes: []string{name},
		A:    PairSide{Name: name, Colour: "#e8d9b5", Width: 40, Up: true, Ring: 0, Along: 0.006, Across: 0.013},
		B:    PairSide{Name: "walnut", Colour: "#5b3a29", Width: 30, Ring: 90, Along: 0.011, Across: 0.008},
		Bars: []PairBar{{"slides", 0.6}, {"splits", 1.2}}}
}

// Bars are as long as the figures they stand for, the radial one dark and the tangential
// one pale: a screen without colour tells them apart.
func TestMovementBarsAreAsLongAsTheirFigures(t *testing.T) {
	svg, err := Movement([]MovementBar{{"maple", 0.8, 1.6, false}, {"teak", 0.4, 0.8, false}}, MovementOptions{Title: "t"})
	require.NoError(t, err)
	var long []float64
	for _, n := range find(nodes(t, svg), "data-percent") {
		w, err := strconv.ParseFloat(n.attrs["width"], 64)
		require.NoError(t, err)
		v, err := strconv.ParseFloat(n.attrs["data-percent"], 64)
		require.NoError(t, err)
		long = append(long, w/v)
	}
	require.Len(t, long, 4)
	for _, k := range long {
		assert.InEpsilon(t, long[0], k, 0.01, "px a per cent")
	}
	dark, err := parseHex(radialFill)
	require.NoError(t, err)
	pale, err := parseHex(tangentFill)
	require.NoError(t, err)
	assert.Greater(t, pale.lab()[0]-dark.lab()[0], 0.35, "lightness")
	for _, bad := range [][]MovementBar{nil, {{"x", -1, 1, false}}, {{"x", 1, math.NaN(), false}}} {
		_, err := Movement(bad, MovementOptions{})
		assert.Error(t, err)
	}
}

// The strip that wants to be longer is drawn longer; glued, both are one length, and the
// pair bows towards the shorter one.
func TestPairIsDrawnAsItMoves(t *testing.T) {
	p := pairTest("maple")
	svg, err := Pair(p)
	require.NoError(t, err)
	outlines := regexp.MustCompile(`<path d="(M[^"]*z)" fill="#`).FindAllStringSubmatch(string(svg), -1)
	require.Len(t, outlines, 4, "two unglued, two glued")
	box := func(d string) (w, top, middle float64) {
		lo, hi := math.Inf(1), math.Inf(-1)
		var x, y float64
		for _, m := range regexp.MustCompile(`([MLHV])([-0-9.]+)(?: ([-0-9.]+))?`).FindAllStringSubmatch(d, -1) {
			v, _ := strconv.ParseFloat(m[2], 64)
			switch m[1] {
			case "H":
				x = v
			case "V":
				y = v
			default:
				x = v
				y, _ = strconv.ParseFloat(m[3], 64)
			}
			if x < lo {
				lo, top = x, y
			}
			hi = math.Max(hi, x)
			if math.Abs(x-picWidth/2) < 12 {
				middle = y
			}
		}
		return hi - lo, top, middle
	}
	a, _, _ := box(outlines[0][1])
	b, _, _ := box(outlines[1][1])
	assert.Greater(t, b, a+5, "px")
	g, end, middle := box(outlines[3][1])
	h, _, _ := box(outlines[2][1])
	assert.InDelta(t, g, h, 0.02*g, "one length, but for the lean of the ends")
	assert.Less(t, end, middle, "ends towards A, which lies above")
	for _, spoil := range []func(p *PairPicture){func(p *PairPicture) { p.A.Width = 0 }, func(p *PairPicture) { p.Length = math.NaN() },
		func(p *PairPicture) { p.B.Colour = "red" }, func(p *PairPicture) { p.Bars[0].Figure = math.Inf(1) }} {
		q := pairTest("maple")
		spoil(&q)
		_, err := Pair(q)
		assert.Error(t, err)
	}
}
