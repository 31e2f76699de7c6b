package arrange

import (
	"fmt"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/layout"
)

// fits is how far a corner may miss its place after a turn, mm: the distance
// within which package layout takes two places for one.
const fits = 0.05

// position is one way to put an end-grain piece back into its place with the
// cut faces where they were: turned over first (about the x axis: y to −y), or
// not, and then turned counter-clockwise.
type position struct {
	over bool
	turn float64 // degrees
}

// ring gives the ring angle of a piece put back in this position, −180 to 180.
// Turning over takes an axis at θ to −θ, a turn adds to it.
func (p position) ring(theta float64) float64 {
	if p == (position{}) {
		return theta
	}
	if p.over {
		theta = -theta
	}
	return wrap(theta + p.turn)
}

// of turns a place told from the piece's centre.
func (p position) of(q layout.XY) layout.XY {
	if p.over {
		q[1] = -q[1]
	}
	sin, cos := math.Sincos(p.turn * math.Pi / 180)
	return layout.XY{cos*q[0] - sin*q[1], sin*q[0] + cos*q[1]}
}

// words says what the maker does with the piece.
func (p position) words() string {
	turn := ""
	switch t := math.Abs(wrap(p.turn)); {
	case t < 1e-6:
	case math.Abs(t-90) < 1e-6:
		turn = "a quarter turn"
	case math.Abs(t-180) < 1e-6:
		turn = "half a turn"
	default:
		turn = fmt.Sprintf("turned by %.4g°", wrap(p.turn))
	}
	switch {
	case p.over && turn == "":
		return "turned over"
	case p.over:
		return "turned over, then " + turn
	case turn == "":
		return "as it is"
	}
	return turn
}

// stripWords says what the maker does with a strip before the panel is glued: its
// fibres lie along it, and the panel is seen in cross-section.
func (p position) stripWords() string {
	w := p.words()
	switch {
	case p.over && wrap(p.turn) == 0:
		return "turned end for end, top face down"
	case p.over:
		return "turned end for end, top face down, then rolled " + (position{turn: p.turn}).words()
	case w == "as it is":
		return w
	}
	return "rolled " + w
}

// wrap brings an angle into −180 < a ≤ 180 degrees.
func wrap(a float64) float64 {
	a = math.Remainder(a, 360)
	if a == -180 {
		return 180
	}
	return a
}

// axisApart is the difference of two axes, 0 to 90 degrees.
func axisApart(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 180)) }

// positionsOf lists the positions that make a difference, the present one
// first. They come from the symmetries of the outline: a square block has
// eight, of which four differ when its rings are straight; a rectangle four and
// two; a right-angled tile of equal legs two. Long grain has only the one:
// turning it end for end or over changes nothing in the plane of the board.
func positionsOf(p *layout.Piece) []position {
	out := []position{{}}
	if !p.Grain.Up || p.RingUnknown {
		return out // turning what nobody has looked at turns nothing for the better
	}
	n := len(p.Outline)
	at := make([]layout.XY, n)
	for i, q := range p.Outline {
		at[i] = layout.XY{q[0] - p.Centre[0], q[1] - p.Centre[1]}
	}
	angle := func(q layout.XY) float64 { return math.Atan2(q[1], q[0]) * 180 / math.Pi }
	var all []position
	for _, over := range []bool{false, true} {
		for k := 0; k < n; k++ {
			c := position{over: over}
			c.turn = wrap(angle(at[k]) - angle(c.of(at[0])))
			if r := math.Round(c.turn*8) / 8; math.Abs(r-c.turn) < 1e-7 {
				c.turn = r // right angles stay right through the arctangent
			}
			if keeps(at, c, k) {
				all = append(all, c)
			}
		}
	}
	// Of positions that come to the same the one with least to do is told.
	sort.SliceStable(all, func(i, k int) bool {
		if all[i].over != all[k].over {
			return !all[i].over
		}
		return math.Abs(all[i].turn) < math.Abs(all[k].turn)
	})
	for _, c := range all {
		if differs(p, c, out) {
			out = append(out, c)
		}
	}
	return out
}

// keeps reports whether a position takes corner 0 to corner k and every other
// corner to one in the same order.
func keeps(at []layout.XY, c position, k int) bool {
	n := len(at)
	for i := range at {
		to := at[(k+i)%n]
		if c.over {
			to = at[(k-i+n)%n]
		}
		if q := c.of(at[i]); math.Hypot(q[0]-to[0], q[1]-to[1]) > fits {
			return false
		}
	}
	return true
}

// differs reports whether a position puts the rings anywhere new.
func differs(p *layout.Piece, c position, known []position) bool {
	for _, k := range known {
		if p.Pith == nil {
			if axisApart(c.ring(p.RingAngle), k.ring(p.RingAngle)) < 1e-6 {
				return false
			}
			continue
		}
		rel := layout.XY{p.Pith[0] - p.Centre[0], p.Pith[1] - p.Centre[1]}
		a, b := c.of(rel), k.of(rel)
		if math.Hypot(a[0]-b[0], a[1]-b[1]) < fits {
			return false
		}
	}
	return true
}
