package draw

import (
	"fmt"
	"strings"
)

// neutralWood is the colour of a piece nobody gave a colour for.
const neutralWood = "#d8c7a8"

// wood is one piece of wood to draw.
type wood struct {
	look
	colour string // "#rrggbb", checked before
	title  string
}

// shades are the small differences in lightness from block to block, so that a
// field of one wood still looks like a field of blocks.
var shades = [3]float64{-0.016, 0, 0.014}

// drawPieces paints pieces and their grain, grouped by colour to save space.
func drawPieces(c *canvas, ws []wood, layer string) {
	type group struct {
		fill, line string
		of         []int
	}
	var groups []*group
	index := map[string]*group{}
	for i, w := range ws {
		shade := int(uint64(newDice(w.id)) >> 20 % 3)
		key := fmt.Sprint(w.colour, shade)
		g := index[key]
		if g == nil {
			base, err := parseHex(w.colour)
			if err != nil {
				base, _ = parseHex(neutralWood) // colours were checked on entry
			}
			g = &group{fill: lighten(base, shades[shade]).hex(), line: grainColour(base).hex()}
			index[key] = g
			groups = append(groups, g)
		}
		g.of = append(g.of, i)
	}
	c.begin("g", "data-layer", layer)
	for _, g := range groups {
		// A hair of the same colour round each piece closes the seams that
		// anti-aliasing leaves between neighbours.
		c.begin("g", "fill", g.fill, "stroke", g.fill, "stroke-width", "0.4")
		for _, i := range g.of {
			w := ws[i]
			c.titled("path", w.title, "d", ringPath(w.outline), "data-piece", w.id)
		}
		c.end()
		var grain strings.Builder
		for _, i := range g.of {
			grain.WriteString(pathOf(grainLines(ws[i].look)))
		}
		if grain.Len() > 0 {
			c.el("path", "d", grain.String(), "fill", "none", "stroke", g.line, "stroke-width", "0.9", "pointer-events", "none")
		}
	}
	c.end()
}

// grainColour is the latewood tone of a wood: darker, or lighter where the
// wood is too dark for that to show.
func grainColour(c rgb) rgb {
	if l := c.lab()[0]; l < 0.40 {
		return lighten(c, 0.105)
	}
	return lighten(c, -0.095)
}
