package draw

import (
	"fmt"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/layout"
)

// DeformedOptions are the words and sizes of a picture of the moved board.
type DeformedOptions struct {
	Title, Subtitle string
	Colours         []string // "#rrggbb" of each piece, as in Marks
	Factor          float64  // how many times larger movement is drawn; 0 chooses a round number
	Inches          bool
	Width           int // px, 0 means 600
}

// Deformed draws a board as it has moved in its own plane, over the pale outline of the
// board as it was. Before and after it takes the outline of every piece as a closed row
// of points [mm], point for point. The factor by which movement is drawn larger is
// written in the picture, with the largest displacement.
func Deformed(b *layout.Board, from, to [][]layout.XY, o DeformedOptions) ([]byte, error) {
	if err := checkBoard(b); err != nil {
		return nil, err
	}
	if err := checkColours(b, o.Colours); err != nil {
		return nil, err
	}
	if len(from) != len(b.Pieces) || len(to) != len(b.Pieces) {
		return nil, fmt.Errorf("draw: %d outlines before and %d after for %d pieces", len(from), len(to), len(b.Pieces))
	}
	if err := finite("factor", o.Factor); err != nil {
		return nil, err
	}
	most, where, went := 0.0, xy{}, xy{}
	for i := range from {
		if len(from[i]) != len(to[i]) {
			return nil, fmt.Errorf("draw: piece %s has %d points before and %d after", b.Pieces[i].ID, len(from[i]), len(to[i]))
		}
		for k := range from[i] {
			if err := finite("displacement of piece "+b.Pieces[i].ID, from[i][k][0], from[i][k][1], to[i][k][0], to[i][k][1]); err != nil {
				return nil, err
			}
			if d := math.Hypot(to[i][k][0]-from[i][k][0], to[i][k][1]-from[i][k][1]); d > most {
				most, where, went = d, from[i][k], to[i][k]
			}
		}
	}
	factor := o.Factor
	if factor <= 0 {
		factor = roundFactor(0.05 * math.Max(b.Width, b.Height) / most)
	}
	shown := func(p, q xy) xy { return xy{p[0] + factor*(q[0]-p[0]), p[1] + factor*(q[1]-p[1])} }
	lo, hi := xy{0, 0}, xy{b.Width, b.Height}
	for i := range from {
		for k := range from[i] {
			p := shown(from[i][k], to[i][k])
			for d := range p {
				lo[d], hi[d] = math.Min(lo[d], p[d]), math.Max(hi[d], p[d])
			}
		}
	}

	var c canvas
	y := heading(&c, o.Title, o.Subtitle, "#a08a6c")
	f := fit(hi[0]-lo[0], hi[1]-lo[1], y)
	f.x -= f.k * lo[0]
	f.tall = hi[1]
	bottom := y + f.k*(hi[1]-lo[1])
	var ws []wood
	for i, q := range b.Pieces {
		out := make([]xy, len(from[i]))
		for k := range out {
			out[k] = f.at(shown(from[i][k], to[i][k]))
		}
		w := woodOf(q, out, colourOf(o.Colours, i), f)
		if len(b.Pieces) <= manyParts {
			w.title = pieceTitle(q)
		}
		ws = append(ws, w)
	}
	drawPieces(&c, ws, "moved")
	c.begin("g", "data-layer", "glue", "fill", "none", "stroke", plainJoint, "stroke-width", "0.9", "stroke-linejoin", "round")
	for _, w := range ws {
		c.el("path", "d", ringPath(w.outline))
	}
	c.end()
	drawGhost(&c, b, f)
	drawLargest(&c, f.at(where), f.at(shown(where, went)), length2(most, o.Inches))
	bottom = drawScale(&c, f, bottom, b, o.Inches)
	words := fmt.Sprintf("Movement drawn %s times larger; largest %s.", sig(factor, 4), length2(most, o.Inches))
	c.el("path", "d", "M"+num(side)+" "+num(bottom+18)+"h26", "fill", "none", "stroke", inkColour,
		"stroke-width", "1.3", "stroke-dasharray", "4 3")
	c.label(side+34, bottom+22, 12.5, "as it was. "+words)
	bottom = drawWoods(&c, b, o.Colours, bottom+26)
	return c.finish(o.Width, bottom+8, brief(o.Title), "The board from above, moved. "+words), nil
}

// roundFactor is a round number not above v, and at least 1.
func roundFactor(v float64) float64 {
	if !(v > 1) || math.IsInf(v, 0) {
		return 1
	}
	return roundBelow(math.Min(v, 1e6))
}

// length2 writes a small length with its unit.
func length2(mm float64, inch bool) string {
	if inch {
		return sig(mm/25.4, 2) + " in"
	}
	return sig(mm, 3) + " mm"
}

// drawGhost draws the edge of the board as it was.
func drawGhost(c *canvas, b *layout.Board, f frame) {
	d := pathOf(freeEdges(b, f))
	c.begin("g", "data-layer", "before", "fill", "none")
	c.el("path", "d", d, "stroke", cardColour, "stroke-width", "2.6", "stroke-opacity", "0.7")
	c.el("path", "d", d, "stroke", inkColour, "stroke-width", "1.2", "stroke-dasharray", "4 3")
	c.end()
}

// freeEdges are the parts of the outlines that no joint covers, on the screen.
func freeEdges(b *layout.Board, f frame) []arcLine {
	of := make([][]int, len(b.Pieces))
	for i, j := range b.Joints {
		for _, p := range [2]int{j.A, j.B} {
			if p >= 0 && p < len(of) {
				of[p] = append(of[p], i)
			}
		}
	}
	var out []arcLine
	for i, q := range b.Pieces {
		for k, a := range q.Outline {
			e := q.Outline[(k+1)%len(q.Outline)]
			l := math.Hypot(e[0]-a[0], e[1]-a[1])
			if l == 0 {
				continue
			}
			d := xy{(e[0] - a[0]) / l, (e[1] - a[1]) / l}
			var covered [][2]float64
			for _, n := range of[i] {
				j := b.Joints[n]
				// A thousandth of the side, far above rounding, tells whether the joint lies on it.
				if toSegment(j.From, a, e) < 1e-3*l && toSegment(j.To, a, e) < 1e-3*l {
					s, t := (j.From[0]-a[0])*d[0]+(j.From[1]-a[1])*d[1], (j.To[0]-a[0])*d[0]+(j.To[1]-a[1])*d[1]
					covered = append(covered, [2]float64{math.Min(s, t), math.Max(s, t)})
				}
			}
			covered = append(covered, [2]float64{l, l})
			sort.Slice(covered, func(x, y int) bool { return covered[x][0] < covered[y][0] })
			from := 0.0
			at := func(s float64) xy { return f.at(xy{a[0] + s*d[0], a[1] + s*d[1]}) }
			for _, c := range covered {
				if c[0]-from > 2e-3*l {
					out = append(out, arcLine{from: at(from), to: at(c[0])})
				}
				from = math.Max(from, c[1])
			}
		}
	}
	return out
}

// drawLargest points from where a place was to where it went.
func drawLargest(c *canvas, a, b xy, text string) {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	if l < 4 {
		return
	}
	d := xy{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
	n := xy{-d[1], d[0]}
	head := "M" + num(b[0]) + " " + num(b[1])
	for _, s := range []float64{1, -1} {
		head += "L" + num(b[0]-7*d[0]+s*3.4*n[0]) + " " + num(b[1]-7*d[1]+s*3.4*n[1])
	}
	line := pathOf([]arcLine{{from: a, to: xy{b[0] - 5*d[0], b[1] - 5*d[1]}}})
	c.begin("g", "data-layer", "largest")
	c.el("path", "d", line+head+"z", "fill", cardColour, "stroke", cardColour, "stroke-width", "4.5", "stroke-linejoin", "round")
	c.el("path", "d", line, "stroke", inkColour, "stroke-width", "1.8")
	c.el("path", "d", head+"z", "fill", inkColour)
	// The figure stands beyond the arrow's head, towards the middle of the picture.
	x, anchor := b[0]+9, "start"
	if a[0] > picWidth/2 {
		x, anchor = b[0]-9, "end"
	}
	dy := 14.0
	if b[1] < a[1] {
		dy = -5
	}
	c.label(x, b[1]+dy, 12, text, "text-anchor", anchor, "font-weight", "600",
		"stroke", cardColour, "stroke-width", "3.4", "paint-order", "stroke", "stroke-linejoin", "round")
	c.end()
}
