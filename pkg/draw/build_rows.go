package draw

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// turnedWords say what is done with a slice, in short.
var turnedWords = map[string]string{
	"none": "as it is", "end-for-end": "half round on the bench", "over": "rolled over its long edge", "both": "rolled over and half round",
}

// rowStep draws the rows of the field as they are glued.
func (d *buildDrawing) rowStep(y float64) float64 {
	d.step(y, "Stand the slices on end, glue the rows, the first at the top")
	if rest := d.restBefore(layout.StageField); rest != "" {
		d.note(side, y+28, rest)
		y += 16
	}
	y += 26
	lo, hi := d.extent(-1)
	w, h := hi[0]-lo[0], hi[1]-lo[1]
	k := math.Min(math.Min((picWidth-2*side-190)/w, 320/h), 2)
	f := frame{x: side + 26 - lo[0]*k, y: y + hi[1]*k - d.b.Height*k, k: k, tall: d.b.Height}
	d.pieces(f, func(p *layout.Piece) (bool, float64) { return p.Border < 0, 0 })
	used := map[string]bool{}
	last := math.Inf(-1)
	for i := range d.b.Build.Slices {
		s := &d.b.Build.Slices[i]
		if s.Row < 0 || len(s.Pieces) == 0 {
			continue
		}
		top, low := math.Inf(-1), math.Inf(1)
		for _, n := range s.Pieces {
			for _, q := range d.b.Pieces[n].Outline {
				top, low = math.Max(top, q[1]), math.Min(low, q[1])
			}
		}
		used[s.Turn] = used[s.Turn] || s.Panel >= 0
		at := f.at(xy{lo[0], (top + low) / 2})
		if at[1]-last < 13 {
			continue // too near to be read
		}
		last = at[1]
		d.c.label(side+20, at[1]+4, 11.5, fmt.Sprint(s.Row+1), "text-anchor", "end", "fill", mutedColour)
		text := "a stick laid in"
		if s.Panel >= 0 {
			if text = d.b.Build.Panels[s.Panel].Key; s.Turn != "none" {
				text += ", " + s.Turn
			}
		}
		d.c.label(side+26+w*k+8, at[1]+4, 11.5, cut(text, 11.5, picWidth-side-(side+26+w*k+8)))
	}
	y += h*k + 17
	d.note(side+26, y, "field "+d.area(w, h))
	for _, turn := range []string{"end-for-end", "over", "both"} {
		if used[turn] {
			y += 15
			d.note(side+26, y, turn+": "+turnedWords[turn])
		}
	}
	return y + 24
}

// extent is the lower left and upper right of the board up to a border, −1 for the
// field alone.
func (d *buildDrawing) extent(border int) (lo, hi xy) {
	lo, hi = xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for i := range d.b.Pieces {
		if d.b.Pieces[i].Border > border {
			continue
		}
		for _, q := range d.b.Pieces[i].Outline {
			for a := range q {
				lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
			}
		}
	}
	return lo, hi
}

// pieces draws those that are there, some of them paler.
func (d *buildDrawing) pieces(f frame, there func(p *layout.Piece) (bool, float64)) {
	for i := range d.b.Pieces {
		p := &d.b.Pieces[i]
		ok, pale := there(p)
		if !ok {
			continue
		}
		w := woodOf(*p, f.outline(p.Outline), "", f)
		lines := pathOf(grainLines(w.look))
		if pale > 0 {
			lines = ""
		}
		face(&d.c, w.outline, woodColour(d.Colours[p.Stock]), pale, lines)
	}
}

// borderStep draws one border on what is there.
func (d *buildDrawing) borderStep(y float64, i int) float64 {
	e := &d.b.Borders[i]
	sides := strings.Join(e.Sides, ", ")
	if e.Mitre {
		sides = "mitred, all round"
	}
	text := fmt.Sprintf("Glue border %d on: %s", i+1, sides)
	d.step(y, text)
	y += 28
	var lines []string
	switch {
	case e.Panel != "":
		line := "slices of panel " + e.Panel + ", " + d.size(e.Width) + " wide"
		if e.Turn != "none" {
			line += ", " + turnedWords[e.Turn]
		}
		lines = append(lines, line, "centred; what hangs over is sawn off")
	case e.Along:
		lines = append(lines, woodName(d.b.Stock[e.Stock].Species)+", fibres along the edge, "+d.size(e.Width)+" wide")
	case e.Blocks > 1:
		lines = append(lines, fmt.Sprintf("%s, end grain, %s wide, %d blocks a side", woodName(d.b.Stock[e.Stock].Species), d.size(e.Width), e.Blocks))
	default:
		lines = append(lines, woodName(d.b.Stock[e.Stock].Species)+", end grain, "+d.size(e.Width)+" wide")
	}
	for _, s := range d.b.Stages {
		if s.ID == fmt.Sprintf("b%d", i+1) {
			lines = append(lines, d.rest(&s))
		}
	}
	lo, hi := d.extent(i)
	w, h := hi[0]-lo[0], hi[1]-lo[1]
	lines = append(lines, "then "+d.area(w, h))
	k := math.Min(math.Min((picWidth-2*side)*0.5/w, 170/h), 1.5)
	f := frame{x: side - lo[0]*k, y: y + hi[1]*k - d.b.Height*k, k: k, tall: d.b.Height}
	const paler = 0.06
	d.pieces(f, func(p *layout.Piece) (bool, float64) {
		if p.Border < i {
			return true, paler
		}
		return p.Border == i, 0
	})
	x := side + w*k + 16
	at := y
	for _, line := range lines {
		for _, l := range wrap(line, 11.5, picWidth-side-x, 3) {
			at += 15
			d.note(x, at, l)
		}
	}
	return math.Max(y+h*k, at) + 26
}

// restBefore tells of the rest before the stage of a kind, "" for none.
func (d *buildDrawing) restBefore(kind layout.StageKind) string {
	for i := range d.b.Stages {
		if s := &d.b.Stages[i]; s.Kind == kind && i > 0 {
			return d.rest(s)
		}
	}
	return ""
}

// rest tells how long what is glued rests before a stage.
func (d *buildDrawing) rest(s *layout.Stage) string {
	if s.Rest.Days == 0 {
		return "after what was glued has come to the moisture told"
	}
	text := "after a rest of " + sig(s.Rest.Days, 3) + " days"
	if s.Rest.Air != nil {
		text += " at " + sig(s.Rest.Air.Humidity, 3) + " % and " + sig(s.Rest.Air.Temperature, 3) + " °C"
	}
	return text
}
