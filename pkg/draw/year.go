package draw

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// YearFrame is the board at one moment of a year.
type YearFrame struct {
	Label    string        // "Jan"
	Text     string        // a figure or two, "u 0.71"
	Outlines [][]layout.XY // of every piece, mm, point for point with those as glued
}

// YearOptions are the words and colours of a year in motion.
type YearOptions struct {
	Title, Subtitle string
	Colours         []string
	Inches          bool
	Width           int
}

// A year lasts this long on the screen, and this many of its moments are drawn
// still as well.
const (
	yearSeconds = 12
	yearStills  = 6
)

// Year draws a board as it moves through a year, over and over, and stills of it
// below. Where a reader has asked for less motion the board above stands still in
// its first moment and the stills tell the year.
func Year(b *layout.Board, from [][]layout.XY, frames []YearFrame, o YearOptions) ([]byte, error) {
	if err := checkBoard(b); err != nil {
		return nil, err
	}
	if err := checkColours(b, o.Colours); err != nil {
		return nil, err
	}
	if len(frames) < 2 {
		return nil, errors.New("draw: a year needs two moments at least")
	}
	most := 0.0
	for _, fr := range frames {
		if len(fr.Outlines) != len(b.Pieces) || len(from) != len(b.Pieces) {
			return nil, fmt.Errorf("draw: %d and %d outlines for %d pieces", len(from), len(fr.Outlines), len(b.Pieces))
		}
		for i, line := range fr.Outlines {
			if len(line) != len(from[i]) {
				return nil, fmt.Errorf("draw: piece %s has %d points before and %d after", b.Pieces[i].ID, len(from[i]), len(line))
			}
			for k, p := range line {
				if err := finite("displacement of piece "+b.Pieces[i].ID, p[0], p[1], from[i][k][0], from[i][k][1]); err != nil {
					return nil, err
				}
				most = math.Max(most, math.Hypot(p[0]-from[i][k][0], p[1]-from[i][k][1]))
			}
		}
	}
	factor := roundFactor(0.05 * math.Max(b.Width, b.Height) / math.Max(most, 1e-9))
	margin := factor * most

	var c canvas
	y := heading(&c, o.Title, o.Subtitle, "#a08a6c")
	f := fit(b.Width+2*margin, b.Height+2*margin, y)
	f.x, f.tall = f.x+f.k*margin, b.Height+margin
	bottom := y + f.k*(b.Height+2*margin)
	// The rule below is the only one of the picture; it stops what moves for readers
	// who asked for that.
	c.text("style", "@media (prefers-reduced-motion:reduce){.moving{display:none}}")
	drawMoment(&c, b, from, frames[0], f, factor, o.Colours, "still")
	c.begin("g", "data-layer", "moving", "class", "moving", "stroke", plainJoint, "stroke-width", "0.9", "stroke-linejoin", "round")
	for i := range b.Pieces {
		values := make([]string, 0, len(frames)+1)
		for _, fr := range frames {
			values = append(values, ringPath(shownAt(from[i], fr.Outlines[i], factor, f)))
		}
		values = append(values, values[0])
		c.begin("path", "fill", colourOf(o.Colours, i), "d", values[0])
		c.el("animate", "attributeName", "d", "dur", fmt.Sprintf("%ds", yearSeconds), "repeatCount", "indefinite", "values", strings.Join(values, ";"))
		c.end()
	}
	c.end()
	c.begin("g", "class", "moving")
	drawRing(&c, frames, bottom+16)
	c.end()
	drawGhost(&c, b, f)
	c.label(side+4, bottom+44, 12.5, fmt.Sprintf("Movement drawn %s times larger; largest %s. Dashed: as it was made.", sig(factor, 4), length2(most, o.Inches)))
	y = bottom + 62
	const columns, gap = 3, 14.0
	wide := (picWidth - 2*side - gap*(columns-1)) / columns
	k := wide / (b.Width + 2*margin)
	high := k*(b.Height+2*margin) + 34
	stills := min(yearStills, len(frames))
	for n := range stills {
		fr := frames[n*len(frames)/stills]
		x, top := side+float64(n%columns)*(wide+gap), y+float64(n/columns)*high
		c.label(x, top+12, 12.5, cut(fr.Label+"  "+fr.Text, 12.5, wide), "font-weight", "600")
		s := frame{x: x + k*margin, y: top + 18, k: k, tall: b.Height + margin}
		drawMoment(&c, b, from, fr, s, factor, o.Colours, "still")
		drawGhost(&c, b, s)
	}
	y += high * math.Ceil(float64(stills)/columns)
	return c.finish(o.Width, y+8, brief(o.Title), "The board from above, month by month. "+describeYear(frames)), nil
}

// drawRing writes the names of the moments along a line, each lit in its time.
func drawRing(c *canvas, frames []YearFrame, y float64) {
	n := len(frames)
	for i, fr := range frames {
		x := side + (picWidth-2*side)*(float64(i)+0.5)/float64(n)
		values := make([]string, n)
		for k := range values {
			values[k] = "0.55"
		}
		values[i] = "1"
		c.begin("g", "opacity", "0.55")
		c.label(x, y+8, 12.5, fr.Label, "text-anchor", "middle", "font-weight", "600")
		c.el("animate", "attributeName", "opacity", "dur", fmt.Sprintf("%ds", yearSeconds), "repeatCount", "indefinite",
			"calcMode", "discrete", "values", strings.Join(values, ";"))
		c.end()
	}
}

// drawMoment draws every piece as it lies at one moment.
func drawMoment(c *canvas, b *layout.Board, from [][]xy, fr YearFrame, f frame, factor float64, colours []string, layer string) {
	c.begin("g", "data-layer", layer, "stroke", plainJoint, "stroke-width", "0.9", "stroke-linejoin", "round")
	for i := range b.Pieces {
		c.el("path", "fill", colourOf(colours, i), "d", ringPath(shownAt(from[i], fr.Outlines[i], factor, f)))
	}
	c.end()
}

// shownAt is an outline as drawn: its movement times the factor.
func shownAt(from, to []xy, factor float64, f frame) []xy {
	out := make([]xy, len(from))
	for k := range from {
		out[k] = f.at(xy{from[k][0] + factor*(to[k][0]-from[k][0]), from[k][1] + factor*(to[k][1]-from[k][1])})
	}
	return out
}

func describeYear(frames []YearFrame) string {
	var s strings.Builder
	for _, fr := range frames {
		s.WriteString(fr.Label + ": " + fr.Text + ". ")
	}
	return brief(s.String())
}
