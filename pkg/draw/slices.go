package draw

import (
	"errors"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Strip is one strip of the panel that slices are cut from.
type Strip struct {
	Name   string     // of the wood
	Colour string     // "#rrggbb"; empty is neutral
	Width  float64    // mm
	Ring   float64    // degrees, as seen on the sawn end of the panel
	Pith   *layout.XY // mm from the middle of the strip's end; nil for straight rings
}

// SlicePlan is a field built of slices: strips glued to a panel, the panel
// crosscut, every slice stood on end and every other one turned.
type SlicePlan struct {
	Title, Subtitle string
	Strips          []Strip // from left to right
	Height          float64 // mm, thickness of the panel; it becomes the height of a row
	Thickness       float64 // mm, length of a slice; it becomes the thickness of the board
	Count           int     // slices
	Turn            string  // "none", "end-for-end", "over" or "both": of slices 2, 4 and so on
	Inches          bool
	Width           int // px, 0 means 600
}

// turnWords say what a turn does, to the hand and to the wood.
var turnWords = map[string][2]string{
	"none":        {"No slice is turned.", "Every row is alike."},
	"end-for-end": {"Turn slices 2, 4, 6 … half round on the bench.", "Strips in reverse order; rings keep their angle; a pith goes to the opposite side."},
	"over":        {"Roll slices 2, 4, 6 … over their long edge, the lower sawn face up.", "Strips keep their order; the ring angle changes its sign; a pith goes from top to bottom."},
	"both":        {"Roll slices 2, 4, 6 … over and turn them half round.", "Strips in reverse order; the ring angle changes its sign; a pith goes from left to right."},
}

// Slices draws the order of work of a sliced field, from the strips to the
// finished rows, with the rings of every piece as they come to lie. It returns
// an error when there is no strip, a size is not positive and finite, a colour
// is not #rrggbb, or the turn is not one of the four words.
func Slices(s SlicePlan) ([]byte, error) {
	words, ok := turnWords[s.Turn]
	if !ok {
		return nil, fmt.Errorf("draw: turn %q: allowed none, end-for-end, over, both", s.Turn)
	}
	if err := checkStrips(s); err != nil {
		return nil, err
	}
	var c canvas
	total := 0.0
	for _, p := range s.Strips {
		total += p.Width
	}
	d := sliceDrawing{SlicePlan: s, total: total}
	y := heading(&c, s.Title, s.Subtitle, "#a08a6c")
	y = d.panelSteps(&c, y)
	y = d.standStep(&c, y)
	y = d.turnStep(&c, y, words)
	y = d.fieldStep(&c, y)
	desc := fmt.Sprintf("Order of work: %s side by side, glued and crosscut into %s, stood on end. %s %s",
		plural(len(s.Strips), "strip"), plural(s.Count, "slice"), words[0], words[1])
	return c.finish(s.Width, y+10, brief(s.Title), desc), nil
}

func checkStrips(s SlicePlan) error {
	if len(s.Strips) == 0 {
		return errors.New("draw: a panel without strips has no picture")
	}
	if s.Count < 1 {
		return fmt.Errorf("draw: %d slices: allowed 1 and above", s.Count)
	}
	sizes := map[string]float64{"height of the panel": s.Height, "length of a slice": s.Thickness}
	for i, p := range s.Strips {
		sizes[fmt.Sprintf("width of strip %d", i+1)] = p.Width
		if err := finite(fmt.Sprintf("ring angle of strip %d", i+1), p.Ring); err != nil {
			return err
		}
		if p.Pith != nil {
			if err := finite(fmt.Sprintf("pith of strip %d", i+1), p.Pith[0], p.Pith[1]); err != nil {
				return err
			}
		}
		if p.Colour != "" {
			if _, err := parseHex(p.Colour); err != nil {
				return err
			}
		}
	}
	for _, what := range sortedKeys(sizes) {
		v := sizes[what]
		if err := finite(what, v); err != nil {
			return err
		}
		if v <= 0 {
			return fmt.Errorf("draw: %s: %g mm is not above 0", what, v)
		}
	}
	return nil
}

// laid is a strip as it lies in a slice.
type laid struct {
	Strip
	index int // from 0, in the order of the panel
}

// turnedStrips gives the strips of a slice after its turn, left to right. A
// half turn about z takes (x, y) to (−x, −y); rolling over x to (x, −y); both
// to (−x, y). The axis of the rings keeps its angle under the first and changes
// sign under the other two.
func turnedStrips(strips []Strip, turn string) []laid {
	sx, sy := 1.0, 1.0
	switch turn {
	case "end-for-end":
		sx, sy = -1, -1
	case "over":
		sy = -1
	case "both":
		sx = -1
	}
	out := make([]laid, len(strips))
	for i, p := range strips {
		p.Ring *= sx * sy
		if p.Pith != nil {
			p.Pith = &xy{sx * p.Pith[0], sy * p.Pith[1]}
		}
		k := i
		if sx < 0 {
			k = len(strips) - 1 - i
		}
		out[k] = laid{p, i}
	}
	return out
}

// sliceDrawing is the picture in the making.
type sliceDrawing struct {
	SlicePlan
	total float64 // mm, width of the panel
}

// step writes the head of one step with its number.
func step(c *canvas, n int, x, y float64, text string) {
	c.el("circle", "cx", num(x+9), "cy", num(y), "r", "9", "fill", inkColour)
	c.label(x+9, y+4.3, 12, fmt.Sprint(n), "text-anchor", "middle", "fill", cardColour, "font-weight", "600")
	c.label(x+25, y+4.5, 13, text, "font-weight", "600")
}

// solid is a box in oblique view: its front lower left corner, its size on the
// screen, and how far its depth runs to the right and up.
type solid struct {
	x, y, w, h float64
	dx, dy     float64
}

func (b solid) top() []xy {
	return []xy{{b.x, b.y - b.h}, {b.x + b.w, b.y - b.h}, {b.x + b.w + b.dx, b.y - b.h - b.dy}, {b.x + b.dx, b.y - b.h - b.dy}}
}

func (b solid) side() []xy {
	return []xy{{b.x + b.w, b.y}, {b.x + b.w, b.y - b.h}, {b.x + b.w + b.dx, b.y - b.h - b.dy}, {b.x + b.w + b.dx, b.y - b.dy}}
}

// face paints one strip's share of a face: a colour, lines, an outline.
func face(c *canvas, o []xy, base rgb, shade float64, lines string) {
	base = lighten(base, shade)
	c.el("path", "d", ringPath(o), "fill", base.hex())
	if lines != "" {
		c.el("path", "d", lines, "fill", "none", "stroke", grainColour(base).hex(), "stroke-width", "0.8")
	}
	c.el("path", "d", ringPath(o), "fill", "none", "stroke", plainJoint, "stroke-width", "0.8", "stroke-linejoin", "round")
}

// endGrain gives the rings of one strip's end, w × h on the screen at k units
// per mm, carried by at from the strip's own place (x right, y down).
func endGrain(p Strip, id string, w, h, k float64, at func(xy) xy) string {
	look := look{id: id, up: true, ring: p.Ring, gap: 4, outline: []xy{{0, 0}, {w, 0}, {w, h}, {0, h}}}
	if p.Pith != nil {
		look.pith = &xy{w/2 + k*p.Pith[0], h/2 - k*p.Pith[1]}
	}
	out := ""
	for _, a := range grainLines(look) {
		out += polyline(sampled(a, at))
	}
	return out
}

// sampled turns a growth line into points and carries them elsewhere.
func sampled(a arcLine, at func(xy) xy) []xy {
	if a.r == 0 {
		return []xy{at(a.from), at(a.to)}
	}
	// The centre lies to the right of the chord on the screen for a short arc
	// that runs clockwise, and to the left for a long one.
	mx, my := (a.from[0]+a.to[0])/2, (a.from[1]+a.to[1])/2
	dx, dy := a.to[0]-a.from[0], a.to[1]-a.from[1]
	l := math.Hypot(dx, dy)
	off := math.Sqrt(math.Max(a.r*a.r-l*l/4, 0))
	if a.large {
		off = -off
	}
	cx, cy := mx-off*dy/l, my+off*dx/l
	t0, t1 := math.Atan2(a.from[1]-cy, a.from[0]-cx), math.Atan2(a.to[1]-cy, a.to[0]-cx)
	if t1 < t0 {
		t1 += 2 * math.Pi
	}
	n := max(2, int(math.Ceil((t1-t0)/0.25))+1)
	out := make([]xy, n)
	for i := range out {
		s, co := math.Sincos(t0 + (t1-t0)*float64(i)/float64(n-1))
		out[i] = at(xy{cx + a.r*co, cy + a.r*s})
	}
	return out
}

func woodColour(hex string) rgb {
	if c, err := parseHex(hex); err == nil {
		return c
	}
	c, _ := parseHex(neutralWood)
	return c
}

// lying draws a length of the panel: end grain in front, fibres running back.
func (d sliceDrawing) lying(c *canvas, b solid, k float64) {
	x := 0.0
	for i, p := range d.Strips {
		w := p.Width * k
		base := woodColour(p.Colour)
		front := []xy{{b.x + x, b.y}, {b.x + x + w, b.y}, {b.x + x + w, b.y - b.h}, {b.x + x, b.y - b.h}}
		top := []xy{{b.x + x, b.y - b.h}, {b.x + x + w, b.y - b.h}, {b.x + x + w + b.dx, b.y - b.h - b.dy}, {b.x + x + b.dx, b.y - b.h - b.dy}}
		fibres := ""
		for t := 4.0; t < w; t += 5 {
			fibres += pathOf([]arcLine{{from: xy{b.x + x + t, b.y - b.h}, to: xy{b.x + x + t + b.dx, b.y - b.h - b.dy}}})
		}
		face(c, top, base, 0.02, fibres)
		x0 := x
		face(c, front, base, -0.02, endGrain(p, fmt.Sprint("strip ", i), w, b.h, k, func(q xy) xy {
			return xy{b.x + x0 + q[0], b.y - b.h + q[1]}
		}))
		x += w
	}
	last := d.Strips[len(d.Strips)-1]
	face(c, b.side(), woodColour(last.Colour), -0.07, "")
}

// standing draws a slice on end: fibres upright in front, end grain on top.
func (d sliceDrawing) standing(c *canvas, b solid, k float64) {
	x := 0.0
	for i, p := range d.Strips {
		w := p.Width * k
		base := woodColour(p.Colour)
		front := []xy{{b.x + x, b.y}, {b.x + x + w, b.y}, {b.x + x + w, b.y - b.h}, {b.x + x, b.y - b.h}}
		top := []xy{{b.x + x, b.y - b.h}, {b.x + x + w, b.y - b.h}, {b.x + x + w + b.dx, b.y - b.h - b.dy}, {b.x + x + b.dx, b.y - b.h - b.dy}}
		fibres := ""
		for t := 4.0; t < w; t += 5 {
			fibres += pathOf([]arcLine{{from: xy{b.x + x + t, b.y - b.h}, to: xy{b.x + x + t, b.y}}})
		}
		face(c, front, base, -0.02, fibres)
		x0, deep := x, d.Height*k
		face(c, top, base, 0.02, endGrain(p, fmt.Sprint("strip ", i), w, deep, k, func(q xy) xy {
			t := 1 - q[1]/deep // from the front edge to the back
			return xy{b.x + x0 + q[0] + t*b.dx, b.y - b.h - t*b.dy}
		}))
		x += w
	}
	last := d.Strips[len(d.Strips)-1]
	face(c, b.side(), woodColour(last.Colour), -0.07, "")
}

// Depth runs to the right and up by these parts of its true length.
const deepX, deepY = 0.42, 0.36

// panelSteps draws the panel whole and cut.
func (d sliceDrawing) panelSteps(c *canvas, y float64) float64 {
	const half = (picWidth - 2*side - 24) / 2
	n := min(d.Count, 4)
	gap := d.Thickness * 0.55
	long := d.Thickness*float64(n) + gap*float64(n-1)
	k := math.Min(half/(d.total+deepX*long), 150/(d.Height+deepY*long))
	k = math.Min(k, 2)
	high := k * (d.Height + deepY*long)
	bottom := y + 30 + high
	step(c, 1, side, y+8, "Glue the strips side by side")
	whole := d.Thickness * float64(n) * 1.12
	d.lying(c, solid{side, bottom, d.total * k, d.Height * k, deepX * whole * k, deepY * whole * k}, k)
	x := side + half + 24
	step(c, 2, x, y+8, fmt.Sprintf("Crosscut the panel: %s", plural(d.Count, "slice")))
	for i := n - 1; i >= 0; i-- {
		back := (d.Thickness + gap) * float64(i) * k
		b := solid{x + deepX*back, bottom - deepY*back, d.total * k, d.Height * k, deepX * d.Thickness * k, deepY * d.Thickness * k}
		d.lying(c, b, k)
		text := fmt.Sprint(i + 1)
		if i == n-1 && d.Count > n {
			text = "… " + text
		}
		c.label(b.x-4, b.y-b.h+3, 11.5, text, "text-anchor", "end", "fill", mutedColour)
	}
	size := length(d.total, d.Inches) + " × " + length(d.Height, d.Inches) + " " + unitOf(d.Inches)
	c.label(side, bottom+17, 11.5, "panel "+size+", rings seen on the sawn end", "fill", mutedColour)
	c.label(x, bottom+17, 11.5, "each slice "+length(d.Thickness, d.Inches)+" "+unitOf(d.Inches)+" long", "fill", mutedColour)
	return bottom + 46
}

// standStep draws one slice lying and stood on end.
func (d sliceDrawing) standStep(c *canvas, y float64) float64 {
	const half = (picWidth - 2*side - 70) / 2
	k := math.Min(half/(d.total+deepX*math.Max(d.Thickness, d.Height)), 92/(math.Max(d.Thickness, d.Height)*(1+deepY)))
	k = math.Min(k, 2)
	high := k * math.Max(d.Height+deepY*d.Thickness, d.Thickness+deepY*d.Height)
	bottom := y + 30 + high
	step(c, 3, side, y+8, "Tip every slice up on end: the end grain comes to the top")
	d.lying(c, solid{side, bottom, d.total * k, d.Height * k, deepX * d.Thickness * k, deepY * d.Thickness * k}, k)
	mid := side + k*(d.total+deepX*d.Thickness) + 12
	drawArrow(c, xy{mid, bottom - high/2}, xy{mid + 36, bottom - high/2})
	d.standing(c, solid{mid + 50, bottom, d.total * k, d.Thickness * k, deepX * d.Height * k, deepY * d.Height * k}, k)
	x := mid + 50 + k*(d.total+deepX*d.Height) + 12
	if room := picWidth - side - x; room > 70 {
		for i, l := range wrap("a row "+length(d.Height, d.Inches)+" "+unitOf(d.Inches)+" high, the board "+
			length(d.Thickness, d.Inches)+" "+unitOf(d.Inches)+" thick", 11.5, room, 4) {
			c.label(x, bottom-high/2+15*float64(i), 11.5, l, "fill", mutedColour)
		}
	}
	return bottom + 28
}

// fromAbove draws a row as it lies, with the letters of its strips below.
func (d sliceDrawing) fromAbove(c *canvas, x, y, k float64, turn string, letters bool) {
	var ws []wood
	at := x
	for _, p := range turnedStrips(d.Strips, turn) {
		w, h := p.Width*k, d.Height*k
		l := look{id: fmt.Sprint("strip ", p.index), up: true, ring: p.Ring, gap: math.Min(4, math.Max(2.6, h/7)),
			outline: []xy{{at, y}, {at + w, y}, {at + w, y + h}, {at, y + h}}}
		if p.Pith != nil {
			l.pith = &xy{at + w/2 + k*p.Pith[0], y + h/2 - k*p.Pith[1]}
		}
		ws = append(ws, wood{look: l, colour: woodColour(p.Colour).hex()})
		if letters && w > 9 {
			c.label(at+w/2, y+h+13, 11.5, letter(p.index), "text-anchor", "middle", "fill", mutedColour)
		}
		at += w
	}
	for _, w := range ws {
		base := woodColour(w.colour)
		face(c, w.outline, base, 0, pathOf(grainLines(w.look)))
	}
}

// turnStep draws an odd and an even slice from above.
func (d sliceDrawing) turnStep(c *canvas, y float64, words [2]string) float64 {
	const half = (picWidth - 2*side - 70) / 2
	k := math.Min(half/d.total, 64/d.Height)
	k = math.Min(k, 2)
	step(c, 4, side, y+8, words[0])
	top := y + 40
	c.label(side, top-6, 11.5, "slices 1, 3, 5 … from above", "fill", mutedColour)
	d.fromAbove(c, side, top, k, "none", true)
	x := side + d.total*k + 70
	mid := xy{x - 35, top + d.Height*k/2}
	drawTurn(c, mid, d.Turn)
	c.label(x, top-6, 11.5, "slices 2, 4, 6 …", "fill", mutedColour)
	d.fromAbove(c, x, top, k, d.Turn, true)
	y = top + d.Height*k + 32
	c.label(side, y, 11.5, words[1], "fill", mutedColour)
	return y + 24
}

// fieldStep draws the first rows as they are glued, row 1 at the top.
func (d sliceDrawing) fieldStep(c *canvas, y float64) float64 {
	n := min(d.Count, 6)
	k := math.Min((picWidth-2*side-90)/d.total, 190/(d.Height*float64(n)))
	k = math.Min(k, 2)
	step(c, 5, side, y+8, "Glue the rows, first slice at the top")
	top := y + 28
	for i := range n {
		turn := "none"
		if i%2 == 1 {
			turn = d.Turn
		}
		ry := top + float64(i)*d.Height*k
		d.fromAbove(c, side+22, ry, k, turn, false)
		c.label(side+14, ry+d.Height*k/2+4, 11.5, fmt.Sprint(i+1), "text-anchor", "end", "fill", mutedColour)
	}
	bottom := top + float64(n)*d.Height*k
	size := length(d.total, d.Inches) + " × " + length(d.Height*float64(d.Count), d.Inches) + " " + unitOf(d.Inches)
	text := "field " + size
	if d.Count > n {
		text = fmt.Sprintf("and %d more rows: ", d.Count-n) + text
	}
	c.label(side+22, bottom+17, 11.5, text, "fill", mutedColour)
	// The names of the strips stand beside the field where there is room.
	if x := side + 22 + d.total*k + 40; x < picWidth-side-170 {
		end := d.stripNames(c, x, top, int(math.Max(1, (bottom-top)/20)), true)
		return math.Max(end, bottom+20)
	}
	return d.stripNames(c, side, bottom+32, 24, false)
}

// letter names a strip: a to z, then a1 and so on.
func letter(i int) string {
	s := string(rune('a' + i%26))
	if i >= 26 {
		s += fmt.Sprint(i / 26)
	}
	return s
}

// stripNames lists the strips by letter, in a column or in rows; it returns
// the lower end. When there are more than most, the last place says how many.
func (d sliceDrawing) stripNames(c *canvas, left, y float64, most int, column bool) float64 {
	x := left
	for i, p := range d.Strips {
		if i == most-1 && len(d.Strips) > most {
			c.label(x, y+12, 12, fmt.Sprintf("and %d more", len(d.Strips)-i), "fill", mutedColour)
			break
		}
		name := cut(p.Name, 12, 150)
		w := 41 + textWidth(name, 12) + 14
		if !column && x > left && x+w > picWidth-side {
			x, y = left, y+20
		}
		c.label(x+14, y+11.5, 11.5, letter(i), "text-anchor", "end", "fill", mutedColour)
		l := look{id: fmt.Sprint("strip ", i), up: true, ring: p.Ring, gap: 3.6,
			outline: []xy{{x + 20, y}, {x + 34, y}, {x + 34, y + 14}, {x + 20, y + 14}}}
		if p.Pith != nil {
			l.pith = &xy{x + 27 + p.Pith[0]/2, y + 7 - p.Pith[1]/2}
		}
		drawSwatch(c, wood{colour: woodColour(p.Colour).hex(), look: l})
		c.label(x+41, y+12, 12, name)
		if column {
			y += 20
		} else {
			x += w
		}
	}
	return y + 20
}

// drawArrow is a plain arrow.
func drawArrow(c *canvas, a, b xy) {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	d := xy{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
	c.el("path", "d", pathOf([]arcLine{{from: a, to: xy{b[0] - 5*d[0], b[1] - 5*d[1]}}}), "stroke", inkColour, "stroke-width", "2")
	c.el("path", "d", arrowHead(b, d), "fill", inkColour)
}

func arrowHead(tip, d xy) string {
	n := xy{-d[1], d[0]}
	return ringPath([]xy{tip, {tip[0] - 9*d[0] + 4.5*n[0], tip[1] - 9*d[1] + 4.5*n[1]}, {tip[0] - 9*d[0] - 4.5*n[0], tip[1] - 9*d[1] - 4.5*n[1]}})
}

// drawTurn is the sign of a turn: a round arrow for half a turn on the bench,
// an upright bow for rolling over, both for both, a straight arrow for none.
func drawTurn(c *canvas, m xy, turn string) {
	spin := func(x, y, r float64) {
		c.el("path", "d", "M"+num(x-r)+" "+num(y)+"A"+num(r)+" "+num(r)+" 0 1 1 "+num(x)+" "+num(y+r),
			"fill", "none", "stroke", inkColour, "stroke-width", "2")
		c.el("path", "d", arrowHead(xy{x - 5, y + r}, xy{-1, 0}), "fill", inkColour)
	}
	roll := func(x, y, r, axis float64) {
		c.el("path", "d", "M"+num(x-axis)+" "+num(y)+"H"+num(x+axis), "stroke", mutedColour, "stroke-width", "1.2", "stroke-dasharray", "4 3")
		c.el("path", "d", "M"+num(x-2)+" "+num(y-r)+"A"+num(r*0.55)+" "+num(r)+" 0 1 1 "+num(x-r*0.5)+" "+num(y+r*0.35),
			"fill", "none", "stroke", inkColour, "stroke-width", "2")
		c.el("path", "d", arrowHead(xy{x - r*0.55 - 1, y + r*0.35 - 7}, xy{-0.25, -0.97}), "fill", inkColour)
	}
	switch turn {
	case "end-for-end":
		spin(m[0], m[1], 13)
	case "over":
		roll(m[0], m[1], 18, 26)
	case "both":
		roll(m[0]-16, m[1], 15, 14)
		spin(m[0]+16, m[1], 10)
	default:
		drawArrow(c, xy{m[0] - 16, m[1]}, xy{m[0] + 18, m[1]})
	}
}
