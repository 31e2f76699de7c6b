package draw

import (
	"errors"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// BuildMarks is what a caller has to say about a build.
type BuildMarks struct {
	Title, Subtitle string
	Colours         map[string]string // "#rrggbb" by key of stock; a missing one is neutral
	Inches          bool
	Width           int // px, 0 means 600
}

// Build draws the order of work of a board that is built: its sticks, the panels they
// are glued to, how the panels are crosscut, the rows as they are glued, and the
// borders in their stages. It returns an error for a board without a build.
func Build(b *layout.Board, m BuildMarks) ([]byte, error) {
	if b == nil || b.Build == nil || len(b.Build.Slices) == 0 {
		return nil, errors.New("draw: a board without a build has no order of work")
	}
	if err := checkBoard(b); err != nil {
		return nil, err
	}
	d := &buildDrawing{BuildMarks: m, b: b, kind: map[string]int{}}
	for i := range b.Build.Sticks {
		s := &b.Build.Sticks[i]
		if _, known := d.kind[d.kindOf(s)]; !known {
			d.kind[d.kindOf(s)] = len(d.kinds)
			d.kinds = append(d.kinds, i)
		}
	}
	y := heading(&d.c, m.Title, m.Subtitle, "#a08a6c")
	y = d.stickStep(y)
	y = d.panelStep(y)
	y = d.crosscutStep(y)
	y = d.rowStep(y)
	for i := range b.Borders {
		y = d.borderStep(y, i)
	}
	if b.Build.Sawn > b.Thickness {
		d.step(y, "Flatten both faces: "+d.size(b.Build.Sawn)+" to "+d.size(b.Thickness))
		y += 30
	}
	colours := make([]string, len(b.Pieces))
	for i := range b.Pieces {
		colours[i] = m.Colours[b.Pieces[i].Stock]
	}
	y = drawWoods(&d.c, b, colours, y)
	desc := fmt.Sprintf("Order of work: %s, %s, %s, %s.", plural(len(b.Build.Sticks), "stick"), plural(len(b.Build.Panels), "panel"),
		plural(len(b.Build.Slices), "slice"), plural(len(b.Borders), "border"))
	return d.c.finish(m.Width, y+10, brief(m.Title), desc), nil
}

// buildDrawing is the picture in the making.
type buildDrawing struct {
	BuildMarks
	b     *layout.Board
	c     canvas
	steps int
	kind  map[string]int // the letter of every kind of stick
	kinds []int          // and the first stick of it
}

// kindOf names what a stick is made like.
func (d *buildDrawing) kindOf(s *layout.Stick) string {
	if s.Kind != "" {
		return s.Kind
	}
	return s.ID
}

func (d *buildDrawing) step(y float64, text string) {
	d.steps++
	step(&d.c, d.steps, side, y+8, cut(text, 13, picWidth-2*side-26))
}

// size is a length with its unit.
func (d *buildDrawing) size(mm float64) string { return length(mm, d.Inches) + " " + unitOf(d.Inches) }

// area is two lengths with their unit.
func (d *buildDrawing) area(w, h float64) string {
	return length(w, d.Inches) + " × " + length(h, d.Inches) + " " + unitOf(d.Inches)
}

func (d *buildDrawing) note(x, y float64, text string) {
	d.c.label(x, y, 11.5, text, "fill", mutedColour)
}

// end draws the end of a stick, its middle at m, k units a mm.
func (d *buildDrawing) end(s *layout.Stick, m xy, k float64) {
	for i, p := range s.Parts {
		l := look{id: fmt.Sprint(s.ID, " ", i), up: true, ring: p.RingAngle, unlooked: p.RingUnknown, gap: math.Min(4, math.Max(2.6, s.Height*k/8))}
		var area float64
		var centre xy
		for j, q := range p.Outline {
			l.outline = append(l.outline, xy{m[0] + k*q[0], m[1] - k*q[1]})
			r := p.Outline[(j+1)%len(p.Outline)]
			w := q[0]*r[1] - q[1]*r[0]
			area += w
			centre[0] += w * (q[0] + r[0]) / 3
			centre[1] += w * (q[1] + r[1]) / 3
		}
		if p.Pith != nil && area > 0 {
			l.pith = &xy{m[0] + k*(centre[0]/area+p.Pith[0]), m[1] - k*(centre[1]/area+p.Pith[1])}
		}
		face(&d.c, l.outline, woodColour(d.Colours[p.Stock]), 0, pathOf(grainLines(l)))
	}
}

// stickStep draws how every kind of stick is made, with number and length.
func (d *buildDrawing) stickStep(y float64) float64 {
	made := false
	widest := 0.0
	for _, i := range d.kinds {
		s := d.b.Build.Sticks[i].AsMade()
		widest = math.Max(widest, math.Max(s.Width, s.Height))
		made = made || len(s.Parts) > 1
	}
	title := "Prepare the sticks; seen on the sawn end"
	if made {
		title = "Make the sticks, glue those of several woods; seen on the sawn end"
	}
	d.step(y, title)
	const across, high = 4, 46.0
	wide := (picWidth - 2*side) / across
	k := math.Min(high/widest, 1.6)
	y += 28
	for n, i := range d.kinds {
		s := d.b.Build.Sticks[i].AsMade()
		if n > 0 && n%across == 0 {
			y += high + 28
		}
		x := side + wide*float64(n%across)
		d.end(&s, xy{x + 6 + high/2, y + high/2}, k)
		d.c.label(x+high+14, y+14, 11.5, letter(n), "font-weight", "600")
		d.c.label(x+high+26, y+14, 11.5, cut(d.kindOf(&s), 11.5, wide-high-30))
		d.note(x+high+14, y+29, d.area(s.Width, s.Height))
		lengths := d.lengths(d.kindOf(&s))
		if len(lengths) > 2 {
			lengths = append(lengths[:1], fmt.Sprintf("and %d more lengths", len(lengths)-1))
		}
		for r, line := range lengths {
			d.note(x+high+14, y+43+14*float64(r), line)
		}
	}
	return y + high + 40
}

// lengths tells how many sticks of a kind there are, by length.
func (d *buildDrawing) lengths(kind string) []string {
	count := map[float64]int{}
	var order []float64
	for i := range d.b.Build.Sticks {
		if s := &d.b.Build.Sticks[i]; d.kindOf(s) == kind {
			if count[s.Length] == 0 {
				order = append(order, s.Length)
			}
			count[s.Length]++
		}
	}
	var parts []string
	for _, l := range order {
		part := fmt.Sprint(count[l])
		if l > 0 {
			part += " of " + d.size(l)
		}
		parts = append(parts, part)
	}
	return parts
}

// turnMarks are the signs of what is done with a stick before its glue-up.
var turnMarks = map[string]string{"quarter": "¼", "half": "½", "three-quarters": "¾"}

// panelStep draws every panel as its sticks are put together.
func (d *buildDrawing) panelStep(y float64) float64 {
	d.step(y, "Glue the sticks side by side into panels, and plane them")
	d.note(side, y+28, "¼ ½ ¾: turned about its length, counter-clockwise; ↔: ends changed. Dashed: planed to here.")
	y += 42
	for i := range d.b.Build.Panels {
		p := &d.b.Build.Panels[i]
		tallest := p.Thickness
		for _, s := range p.Sticks {
			tallest = math.Max(tallest, d.b.Build.Sticks[s].Height)
		}
		k := math.Min(math.Min((picWidth-2*side-30)/p.Width, 64/tallest), 1.6)
		d.c.label(side, y+tallest*k/2+5, 14, p.Key, "font-weight", "650")
		x, mid := side+30, y+tallest*k/2
		for _, n := range p.Sticks {
			s := &d.b.Build.Sticks[n]
			w := s.Width * k
			d.end(s, xy{x + w/2, mid}, k)
			mark := letter(d.kind[d.kindOf(s)]) + turnMarks[s.Turn]
			if s.EndForEnd {
				mark += "↔"
			}
			if w > 9 {
				d.c.label(x+w/2, y+tallest*k+13, 11.5, cut(mark, 11.5, math.Max(w+4, 14)), "text-anchor", "middle", "fill", mutedColour)
			}
			x += w
		}
		if p.Thickness < tallest-layout.Snap {
			for _, v := range []float64{mid - p.Thickness*k/2, mid + p.Thickness*k/2} {
				d.c.el("path", "d", "M"+num(side+26)+" "+num(v)+"H"+num(x+4), "stroke", inkColour, "stroke-width", "0.8", "stroke-dasharray", "4 3")
			}
		}
		text := "panel " + p.Key + ": " + d.area(p.Width, p.Thickness)
		if p.Length > 0 {
			text += ", " + d.size(p.Length) + " long"
		}
		d.note(side+30, y+tallest*k+29, text)
		y += tallest*k + 44
	}
	return y + 6
}

// crosscutStep draws where the saw goes through each panel.
func (d *buildDrawing) crosscutStep(y float64) float64 {
	longest := 0.0
	for i := range d.b.Build.Panels {
		longest = math.Max(longest, d.b.Build.Panels[i].Length)
	}
	text := "Crosscut the panels into slices of " + d.size(d.b.Build.Sawn)
	if d.b.Build.Kerf > 0 {
		text += ", the saw takes " + d.size(d.b.Build.Kerf)
	}
	d.step(y, text)
	y += 26
	k := (picWidth - 2*side - 30 - 190) / longest
	for i := range d.b.Build.Panels {
		p := &d.b.Build.Panels[i]
		need := float64(p.Slices)*d.b.Build.Sawn + float64(max(p.Slices-1, 0))*d.b.Build.Kerf
		d.c.label(side, y+11, 13, p.Key, "font-weight", "650")
		text := plural(p.Slices, "slice")
		x := side + 30.0
		if longest > 0 {
			d.c.el("rect", "x", num(x), "y", num(y), "width", num(p.Length*k), "height", "14", "fill", cardColour, "stroke", faintColour)
			step := (d.b.Build.Sawn + d.b.Build.Kerf) * k
			for n := range p.Slices {
				d.c.el("rect", "x", num(x+float64(n)*step), "y", num(y), "width", num(d.b.Build.Sawn*k), "height", "14", "fill", neutralWood, "stroke", inkColour, "stroke-width", "0.7")
			}
			text += ", " + d.size(need) + " of " + d.size(p.Length)
			x += p.Length*k + 10
		}
		if x+textWidth(text, 11.5) > picWidth-side {
			y += 16
			x = side + 30
		}
		d.note(x, y+11, text)
		y += 22
	}
	return y + 12
}
