package draw

import (
	"errors"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Strip is one strip of the panel that slices are cut from.
type Strip struct {
	Name     string     // of the wood
	Colour   string     // "#rrggbb"; empty is neutral
	Width    float64    // mm
	Ring     float64    // degrees, as seen on the sawn end of the panel
	Unlooked bool       // nobody has looked at its rings: none are drawn
	Pith     *layout.XY // mm from the middle of the strip's end; nil for straight rings
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
		if v < least {
			return fmt.Errorf("draw: %s: %g mm is not above 0", what, v)
		}
	}
	return nil
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

// Depth runs to the right and up by these parts of its true length.
const deepX, deepY = 0.42, 0.36

// wide tells whether the panel is so wide for its height that drawings side by
// side would be too thin to read; they then stand one below the other.
func (d sliceDrawing) wide() bool { return d.total > 6.5*math.Max(d.Height, d.Thickness) }

// panelSteps draws the panel whole and cut.
func (d sliceDrawing) panelSteps(c *canvas, y float64) float64 {
	room := (picWidth - 2*side - 24) / 2
	if d.wide() {
		room = picWidth - 2*side - 20
	}
	n := min(d.Count, 4)
	gap := d.Thickness * 0.55
	long := d.Thickness*float64(n) + gap*float64(n-1)
	k := math.Min(room/(d.total+deepX*long), 150/(d.Height+deepY*long))
	k = math.Min(k, 2)
	high := k * (d.Height + deepY*long)
	bottom := y + 30 + high
	step(c, 1, side, y+8, "Glue the strips side by side")
	whole := d.Thickness * float64(n) * 1.12
	d.lying(c, solid{side, bottom, d.total * k, d.Height * k, deepX * whole * k, deepY * whole * k}, k)
	size := length(d.total, d.Inches) + " × " + length(d.Height, d.Inches) + " " + unitOf(d.Inches)
	c.label(side, bottom+17, 11.5, "panel "+size+", rings seen on the sawn end", "fill", mutedColour)
	x := side + room + 24
	head := x
	if d.wide() {
		x, head = side+14, side
		y = bottom + 46
		bottom = y + 30 + high
	}
	step(c, 2, head, y+8, fmt.Sprintf("Crosscut the panel: %s", plural(d.Count, "slice")))
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
	c.label(x, bottom+17, 11.5, "each slice "+length(d.Thickness, d.Inches)+" "+unitOf(d.Inches)+" long", "fill", mutedColour)
	return bottom + 46
}

// standStep draws one slice lying and stood on end.
func (d sliceDrawing) standStep(c *canvas, y float64) float64 {
	room := (picWidth - 2*side - 70) / 2
	if d.wide() {
		room = picWidth - 2*side
	}
	k := math.Min(room/(d.total+deepX*math.Max(d.Thickness, d.Height)), 92/(math.Max(d.Thickness, d.Height)*(1+deepY)))
	k = math.Min(k, 2)
	low, tall := k*(d.Height+deepY*d.Thickness), k*(d.Thickness+deepY*d.Height)
	step(c, 3, side, y+8, "Tip every slice up on end: the end grain comes to the top")
	note := "a row " + length(d.Height, d.Inches) + " " + unitOf(d.Inches) + " high, the board " +
		length(d.Thickness, d.Inches) + " " + unitOf(d.Inches) + " thick"
	lying := solid{side, y + 30 + math.Max(low, tall), d.total * k, d.Height * k, deepX * d.Thickness * k, deepY * d.Thickness * k}
	if d.wide() {
		lying.y = y + 30 + low
		d.lying(c, lying, k)
		mid := side + lying.w/2
		drawArrow(c, xy{mid, lying.y + 6}, xy{mid, lying.y + 34})
		bottom := lying.y + 42 + tall
		d.standing(c, solid{side, bottom, d.total * k, d.Thickness * k, deepX * d.Height * k, deepY * d.Height * k}, k)
		c.label(side, bottom+17, 11.5, note, "fill", mutedColour)
		return bottom + 46
	}
	d.lying(c, lying, k)
	level := lying.y - math.Max(low, tall)/2
	mid := side + lying.w + lying.dx + 12
	drawArrow(c, xy{mid, level}, xy{mid + 36, level})
	d.standing(c, solid{mid + 50, lying.y, d.total * k, d.Thickness * k, deepX * d.Height * k, deepY * d.Height * k}, k)
	c.label(mid+50, lying.y+17, 11.5, note, "fill", mutedColour)
	return lying.y + 46
}

// fromAbove draws a row as it lies, with the letters of its strips below.
func (d sliceDrawing) fromAbove(c *canvas, x, y, k float64, turn string, letters bool) {
	at := x
	for _, p := range turnedStrips(d.Strips, turn) {
		w, h := p.Width*k, d.Height*k
		l := look{id: fmt.Sprint("strip ", p.index), up: true, ring: p.Ring, unlooked: p.Unlooked, gap: math.Min(4, math.Max(2.6, h/7)),
			outline: []xy{{at, y}, {at + w, y}, {at + w, y + h}, {at, y + h}}}
		if p.Pith != nil {
			l.pith = &xy{at + w/2 + k*p.Pith[0], y + h/2 - k*p.Pith[1]}
		}
		face(c, l.outline, woodColour(p.Colour), 0, pathOf(grainLines(l)))
		if letters && w > 9 {
			c.label(at+w/2, y+h+13, 11.5, letter(p.index), "text-anchor", "middle", "fill", mutedColour)
		}
		at += w
	}
}

// turnStep draws an odd and an even slice from above.
func (d sliceDrawing) turnStep(c *canvas, y float64, words [2]string) float64 {
	room := (picWidth - 2*side - 70) / 2
	if d.wide() {
		room = picWidth - 2*side - 80
	}
	k := math.Min(math.Min(room/d.total, 64/d.Height), 2)
	w, h := d.total*k, d.Height*k
	step(c, 4, side, y+8, words[0])
	top := y + 40
	c.label(side, top-6, 11.5, "slices 1, 3, 5 … from above", "fill", mutedColour)
	d.fromAbove(c, side, top, k, "none", true)
	x, low := side+math.Max(w, 165)+70, top
	mid := xy{side + (w+x-side)/2, top + h/2}
	if d.wide() {
		x, low = side, top+h+42
		mid = xy{side + w + 42, (top + low + h) / 2}
	}
	drawTurn(c, mid, d.Turn)
	c.label(x, low-6, 11.5, "slices 2, 4, 6 …", "fill", mutedColour)
	d.fromAbove(c, x, low, k, d.Turn, true)
	y = low + h + 32
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
		name := cut(p.Name, 12, 150) + ", " + length(p.Width, d.Inches) + " " + unitOf(d.Inches)
		w := 41 + textWidth(name, 12) + 14
		if !column && x > left && x+w > picWidth-side {
			x, y = left, y+20
		}
		c.label(x+14, y+11.5, 11.5, letter(i), "text-anchor", "end", "fill", mutedColour)
		l := look{id: fmt.Sprint("strip ", i), up: true, ring: p.Ring, unlooked: p.Unlooked, gap: 3.6,
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
