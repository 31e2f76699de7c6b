package draw

import (
	"hash/fnv"
	"math"
	"strings"
)

// look is what the picture of one piece needs to know about its wood. Points
// and lengths are on the screen (y downwards); angles are the board's.
type look struct {
	id      string
	outline []xy
	up      bool    // end grain on the face
	angle   float64 // degrees, direction of the fibres when not up
	ring    float64 // degrees, as in package layout
	pith    *xy     // on the screen; only for end grain
	gap     float64 // mean distance of two growth lines

	unlooked bool // nobody has looked at the rings: none are drawn
}

// dice gives each piece its own unevenness, the same every time.
type dice uint64

func newDice(id string) dice {
	h := fnv.New64a()
	h.Write([]byte(id))
	return dice(h.Sum64() | 1)
}

// next is a number from 0 to 1 (xorshift, Marsaglia 2003).
func (d *dice) next() float64 {
	x := uint64(*d)
	x ^= x << 13
	x ^= x >> 7
	x ^= x << 17
	*d = dice(x)
	return float64(x>>11) / (1 << 53)
}

// grainLines gives the growth lines of a piece.
func grainLines(k look) []arcLine {
	if len(k.outline) < 3 {
		return nil
	}
	switch {
	case k.up && k.unlooked:
		return nil
	case k.up:
		return ringLines(k)
	case k.unlooked:
		k.ring = 90 // straight lines, which say nothing of the rings
	}
	return fibreLines(k)
}

// ringLines are the latewood bands of end grain: circles round the pith, or
// straight lines across the radial axis when the pith is far.
func ringLines(k look) []arcLine {
	d := newDice(k.id)
	var out []arcLine
	if k.pith != nil {
		_, far := radii(k.outline, *k.pith)
		near := nearest(k.outline, *k.pith)
		for r := near + k.gap*(0.3+0.5*d.next()); r < far; r += k.gap * (0.65 + 0.7*d.next()) {
			out = append(out, clipCircle(k.outline, *k.pith, r)...)
		}
		return out
	}
	s, c := math.Sincos(k.ring * math.Pi / 180)
	radial, along := xy{c, -s}, xy{s, c}
	mid := middle(k.outline)
	lo, hi := extent(k.outline, mid, radial)
	for t := lo + k.gap*(0.3+0.5*d.next()); t < hi; t += k.gap * (0.65 + 0.7*d.next()) {
		out = append(out, clipLine(k.outline, xy{mid[0] + t*radial[0], mid[1] + t*radial[1]}, along)...)
	}
	return out
}

// fibreLines are the lines of a long-grain face: fine and straight where it is
// quarter-sawn, wider apart and swelling round the middle where it is flat-sawn.
func fibreLines(k look) []arcLine {
	d := newDice(k.id)
	s, c := math.Sincos(k.angle * math.Pi / 180)
	along, across := xy{c, -s}, xy{s, c}
	flat := math.Cos(k.ring * math.Pi / 180)
	flat *= flat
	mid := middle(k.outline)
	lo, hi := extent(k.outline, mid, across)
	l0, l1 := extent(k.outline, mid, along)
	gap := k.gap * (0.72 + 0.5*flat)
	half := (hi - lo) / 2
	run := math.Max(l1-l0, 1)
	apex := (0.2 + 0.6*d.next() - 0.5) * run // where the swelling is widest
	var out []arcLine
	for t := lo + gap*(0.3+0.5*d.next()); t < hi; t += gap * (0.6 + 0.8*d.next()) {
		p := xy{mid[0] + t*across[0], mid[1] + t*across[1]}
		// A line at the edge of a flat-sawn face bows by up to a third of the
		// half width over its length; one in the middle runs straight.
		bow := flat * 0.34 * (t - (lo+hi)/2)
		if half <= 0 || math.Abs(bow) < 0.35 {
			out = append(out, clipLine(k.outline, p, along)...)
			continue
		}
		r := run * run / (8 * math.Abs(bow))
		sign := math.Copysign(1, bow)
		centre := xy{
			p[0] + apex*along[0] - sign*r*across[0],
			p[1] + apex*along[1] - sign*r*across[1],
		}
		for _, a := range clipCircle(k.outline, centre, r) {
			// Only the side of the circle that faces this line belongs to the picture.
			mx, my := (a.from[0]+a.to[0])/2-centre[0], (a.from[1]+a.to[1])/2-centre[1]
			if (mx*across[0]+my*across[1])*sign > 0 {
				out = append(out, a)
			}
		}
	}
	return out
}

// radii is the range of distances of an outline's corners from a point.
func radii(outline []xy, p xy) (near, far float64) {
	near = math.Inf(1)
	for _, q := range outline {
		r := math.Hypot(q[0]-p[0], q[1]-p[1])
		near, far = math.Min(near, r), math.Max(far, r)
	}
	return near, far
}

// nearest is the distance from a point to an outline, 0 inside it.
func nearest(outline []xy, p xy) float64 {
	if inside(outline, p) {
		return 0
	}
	best := math.Inf(1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		best = math.Min(best, toSegment(p, a, b))
	}
	return best
}

// toSegment is the distance of a point from a straight segment.
func toSegment(p, a, b xy) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if q := dx*dx + dy*dy; q > 0 {
		t = math.Min(math.Max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/q, 0), 1)
	}
	return math.Hypot(p[0]-a[0]-t*dx, p[1]-a[1]-t*dy)
}

// pathOf writes lines as one path.
func pathOf(lines []arcLine) string {
	var b strings.Builder
	for _, a := range lines {
		b.WriteString("M" + num(a.from[0]) + " " + num(a.from[1]))
		switch {
		case a.r > 0:
			flag := func(f bool) string {
				if f {
					return " 1"
				}
				return " 0"
			}
			b.WriteString("A" + num(a.r) + " " + num(a.r) + " 0" + flag(a.large) + flag(a.sweep) + " " + num(a.to[0]) + " " + num(a.to[1]))
		default:
			b.WriteString(lineTo(a.from, a.to))
		}
	}
	return b.String()
}

// lineTo writes the shortest command for a straight step.
func lineTo(from, to xy) string {
	switch {
	case num(from[0]) == num(to[0]):
		return "V" + num(to[1])
	case num(from[1]) == num(to[1]):
		return "H" + num(to[0])
	}
	return "L" + num(to[0]) + " " + num(to[1])
}

// ringPath writes a closed outline.
func ringPath(outline []xy) string {
	var b strings.Builder
	for i, p := range outline {
		if i == 0 {
			b.WriteString("M" + num(p[0]) + " " + num(p[1]))
			continue
		}
		b.WriteString(lineTo(outline[i-1], p))
	}
	return b.String() + "z"
}
