package raster_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/raster"
)

func draw(t *testing.T, svg string, width int) image.Image {
	t.Helper()
	out, err := raster.PNG(t.Context(), []byte(svg), width)
	require.NoError(t, err)
	m, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	return m
}

// near tells whether a pixel has a colour to within what edges blur.
func near(t *testing.T, m image.Image, x, y int, want color.RGBA, what string) {
	t.Helper()
	r, g, b, _ := m.At(x, y).RGBA()
	assert.InDelta(t, int(want.R), int(r>>8), 3, "%s, red", what)
	assert.InDelta(t, int(want.G), int(g>>8), 3, "%s, green", what)
	assert.InDelta(t, int(want.B), int(b>>8), 3, "%s, blue", what)
}

// A square, a stroke, a see-through fill and letters stand where the SVG has them.
func TestPNGShowsWhatTheSVGSays(t *testing.T) {
	m := draw(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 300" width="600" height="300" fill="#22262b"><title>T</title><desc>D</desc>
<rect x="0" y="0" width="600" height="300" fill="#ffffff"/>
<g fill="#c00000" stroke="none"><path d="M30 30H90V90H30z" data-piece="r1c1"><title>no letters of this are drawn</title></path></g>
<path d="M120 60H200" fill="none" stroke="#0000c0" stroke-width="10"/>
<rect x="230" y="30" width="60" height="60" fill="#000000" fill-opacity="0.5"/>
<text x="300" y="200" font-size="200" font-weight="bold" text-anchor="middle">I</text></svg>`, 1200)
	assert.Equal(t, image.Rect(0, 0, 1200, 600), m.Bounds())
	near(t, m, 120, 120, color.RGBA{0xc0, 0, 0, 255}, "square")
	near(t, m, 320, 120, color.RGBA{0, 0, 0xc0, 255}, "stroke")
	near(t, m, 520, 120, color.RGBA{127, 127, 127, 255}, "see-through")
	near(t, m, 600, 300, color.RGBA{0x22, 0x26, 0x2b, 255}, "the letter, in the colour of the whole")
	near(t, m, 100, 500, color.RGBA{255, 255, 255, 255}, "paper")
}

// A picture of a board is drawn with its woods; widths out of bounds are faults.
func TestPNGOfABoard(t *testing.T) {
	svg, err := os.ReadFile("../../testdata/pictures/checker-alike.svg")
	require.NoError(t, err)
	m := draw(t, string(svg), 300)
	seen := map[color.Color]bool{}
	for y := range m.Bounds().Dy() {
		for x := range m.Bounds().Dx() {
			seen[m.At(x, y)] = true
		}
	}
	assert.Greater(t, len(seen), 100, "colours")
	for _, width := range []int{-1, 99, 4001} {
		_, err := raster.PNG(t.Context(), svg, width)
		l := fault.Of(err)
		require.Len(t, l, 1)
		assert.Equal(t, "/width", l[0].Pointer)
	}
	_, err = raster.PNG(t.Context(), []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 100000"></svg>`), 4000)
	assert.Len(t, fault.Of(err), 1, "too many pixels")
	_, err = raster.PNG(t.Context(), []byte("no picture"), 300)
	assert.Error(t, err)
}
