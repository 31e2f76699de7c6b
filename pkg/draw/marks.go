package draw

import (
	"math"
	"strconv"

	"github.com/tanrad/tanrad/pkg/layout"
)

// markRoom is what column numbers need above the board.
const markRoom = 16.0

// span is where a row or a column of the field lies on the board, mm.
type span struct{ from, to float64 }

// fieldSpans gives the rows (in y) and the columns (in x) of the field, from the
// top and from the left. A field whose rows or columns run into each other, as
// columns do in a staggered one, has none of that kind: a number would point at
// the wrong block.
func fieldSpans(b *layout.Board) (rows, cols []span) {
	axis := func(axis int, number func(layout.Piece) int) []span {
		var out []span
		for _, q := range b.Pieces {
			n := number(q)
			if n < 0 {
				continue
			}
			for len(out) <= n {
				out = append(out, span{math.Inf(1), math.Inf(-1)})
			}
			for _, v := range q.Outline {
				out[n].from, out[n].to = math.Min(out[n].from, v[axis]), math.Max(out[n].to, v[axis])
			}
		}
		const touch = 1e-6 // mm
		for i, s := range out {
			if s.from > s.to {
				return nil
			}
			if i > 0 && s.from < out[i-1].to-touch && s.to > out[i-1].from+touch {
				return nil
			}
		}
		return out
	}
	return axis(1, func(q layout.Piece) int { return q.Row }), axis(0, func(q layout.Piece) int { return q.Col })
}

// drawPlaces numbers the rows of the field from the top and its columns from
// the left, so that “row 4, block 5” can be found. Where blocks are too small
// for every number, every second, fifth or tenth is written.
func (p *plan) drawPlaces(c *canvas) {
	if len(p.rows) == 0 && len(p.cols) == 0 {
		return
	}
	c.begin("g", "data-layer", "places", "fill", mutedColour)
	write := func(list []span, at func(middle float64) (x, y float64), anchor string) {
		every := stepOf(list, p.f.k)
		for i, s := range list {
			if (i+1)%every != 0 && !(i == 0 && every > 1) {
				continue
			}
			x, y := at((s.from + s.to) / 2)
			c.label(x, y, 11, strconv.Itoa(i+1), "text-anchor", anchor)
		}
	}
	write(p.rows, func(m float64) (float64, float64) {
		at := p.f.at(xy{0, m})
		return p.f.x - 7, at[1] + 4
	}, "end")
	write(p.cols, func(m float64) (float64, float64) {
		at := p.f.at(xy{m, 0})
		return at[0], p.f.y - 5
	}, "middle")
	c.end()
}

// stepOf is how many rows or columns share one number: 1, 2, 5 or 10.
func stepOf(list []span, k float64) int {
	const least = 15 // units between two numbers
	smallest := math.Inf(1)
	for i := range list {
		smallest = math.Min(smallest, k*(list[i].to-list[i].from))
	}
	for _, n := range []int{1, 2, 5} {
		if smallest*float64(n) >= least {
			return n
		}
	}
	return 10
}
