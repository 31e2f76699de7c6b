package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// snap is how far two lengths may differ and be one, mm.
const snap = layout.Snap

// built takes the sticks, panels and glue-ups from a board that tells how it is built.
func (w *work) built() {
	var field []int
	for i := range w.b.Pieces {
		if w.b.Pieces[i].Border < 0 {
			field = append(field, i)
		}
	}
	for p := range w.b.Build.Panels {
		if w.b.Build.Panels[p].Slices > 0 {
			w.builtPanel(p)
		}
	}
	w.laidIn()
	w.stickGluings()
	for p := range w.b.Build.Panels {
		if w.b.Build.Panels[p].Slices > 0 {
			w.gluePanel(p)
		}
	}
	w.field(w.cells(field))
}

// length is how long a panel is and how many are made: what the file tells, or what its
// slices need.
func (w *work) length(p *layout.Panel) (count int, length float64) {
	count, length = w.lengths(p.Slices)
	if p.Length > 0 {
		return 1, p.Length
	}
	return count, length
}

// builtPanel lists the sticks of a panel, equal ones together.
func (w *work) builtPanel(index int) {
	p := &w.b.Build.Panels[index]
	count, length := w.length(p)
	out := Panel{Name: p.Key, Sticks: len(p.Sticks), Slices: p.Slices, Made: count, Width: p.Width, Thickness: p.Thickness, Length: length, Rows: []int{}}
	for _, s := range w.b.Build.Slices {
		if s.Panel != index {
			continue
		}
		if s.Turn != "none" {
			out.Turned++
		}
		if s.Border < 0 {
			out.Rows = append(out.Rows, s.Row+1)
		}
	}
	if need := float64(p.Slices)*(w.slice+w.kerf) + 2*w.l.use("trim-end"); p.Length > 0 && need > p.Length+snap {
		w.notes = append(w.notes, fmt.Sprintf("Panel %s is %.0f mm long in the file; with trimmed ends and the flattening worked out here its %d slices want %.0f mm.", p.Key, p.Length, p.Slices, need))
	}
	if count > 1 {
		w.notes = append(w.notes, fmt.Sprintf("Panel %s would be longer than %.0f mm: make %d of %d slices or fewer.", p.Key, w.l.use("longest"), count, (p.Slices+count-1)/count))
	}
	w.panels = append(w.panels, out)
	var groups [][]int
	bySign := map[string]int{}
	for _, i := range p.Sticks {
		s := &w.b.Build.Sticks[i]
		sign := fmt.Sprintf("%s %.2f %.2f", s.Kind, s.Width, s.Height)
		if s.Kind == "" {
			sign = s.ID // the short form tells strips one by one
		}
		for _, part := range s.Parts {
			sign += fmt.Sprintf(" %s %.1f %v %.2f", part.Stock, part.RingAngle, part.RingUnknown, part.Moisture)
		}
		k, known := bySign[sign]
		if !known {
			k = len(groups)
			bySign[sign] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	for _, g := range groups {
		w.builtSticks(p, g, length, count)
	}
}

// builtSticks lists the woods of equal sticks of a panel.
func (w *work) builtSticks(p *layout.Panel, group []int, length float64, count int) {
	s := &w.b.Build.Sticks[group[0]]
	var ids []string
	for _, i := range group {
		id := w.b.Build.Sticks[i].ID
		if t := w.b.Build.Sticks[i].Turn; t != "none" {
			id += " (a " + strings.ReplaceAll(t, "-", " ") + " turn)"
			id = strings.Replace(id, "a three quarters turn", "three quarter turns", 1)
		}
		ids = append(ids, id)
	}
	use := fmt.Sprintf("panel %s, %s of %d from the left", p.Key, strings.Join(ids, ", "), len(p.Sticks))
	more := 0.0
	if s.Height <= p.Thickness+snap {
		more = w.l.use("panel-face") // what planing the panel takes is not in the stick yet
	}
	n := count * len(group)
	for k, part := range s.Parts {
		row := Stick{ID: s.ID, For: use, Stock: part.Stock, Count: n, Shape: "rectangle", Width: s.Width, Thickness: s.Height, Length: length, Rings: "not looked at", net: w.netOf(group, k)}
		if !part.RingUnknown {
			row.Rings = ringText([]float64{layout.Axis(part.RingAngle)}, true)
		}
		if len(s.Parts) > 1 {
			row.ID += string(rune('a' + k))
			if s.Kind != "" {
				row.For = "stick " + s.Kind + ": " + row.For
			}
		}
		switch s.Cut {
		case "layers":
			wide, thick := extentOf(part.Outline)
			row.Width, row.Thickness = wide, thick
		case "":
		default:
			row.Shape, row.Count = "triangle", (n+len(s.Parts)-1)/len(s.Parts)
			row.For += fmt.Sprintf("; %d of a blank sawn along %s", len(s.Parts), map[int]string{2: "one diagonal", 4: "both diagonals"}[len(s.Parts)])
			row.RoughWidth, row.RoughThickness = w.blank(s.Width, s.Height, len(s.Parts), more)
		}
		w.cut(row, more)
	}
}

// netOf is the volume in the finished board of one part of some sticks, mm³.
func (w *work) netOf(group []int, part int) (net float64) {
	for i := range w.b.Pieces {
		if p := &w.b.Pieces[i]; p.StickPart == part && slices.Contains(group, p.Stick) {
			net += p.Area * w.b.Thickness
		}
	}
	return net
}

// extentOf is the size of an outline across and up, mm.
func extentOf(outline []layout.XY) (wide, high float64) {
	lo, hi := box(&layout.Piece{Outline: outline})
	return hi[0] - lo[0], hi[1] - lo[1]
}

// laidIn lists the sticks that are laid in between rows, fibres along the row; equal
// ones together.
func (w *work) laidIn() {
	first := len(w.sticks)
	for i := range w.b.Build.Sticks {
		s := &w.b.Build.Sticks[i]
		if s.Panel >= 0 {
			continue
		}
		net := w.netOf([]int{i}, 0)
		k := slices.IndexFunc(w.sticks[first:], func(o Stick) bool { return o.Stock == s.Parts[0].Stock && near(o.Width, s.Width) })
		if k >= 0 {
			o := &w.sticks[first+k]
			o.Count++
			o.For += ", " + s.ID
			o.net += net
			continue
		}
		row := Stick{ID: s.ID, For: "laid in: " + s.ID, Stock: s.Parts[0].Stock, Count: 1, Shape: "rectangle", Width: s.Width, Thickness: w.slice, Length: s.Length + 2*w.l.use("overhang"), Rings: "not looked at", net: net}
		if !s.Parts[0].RingUnknown {
			row.Rings = ringText([]float64{s.Parts[0].RingAngle}, false)
		}
		w.cut(row, 0)
	}
}

// softest is the lightest wood of a stick.
func (w *work) softest(s *layout.Stick) string {
	best := s.Parts[0].Stock
	for _, part := range s.Parts[1:] {
		if w.gravity(part.Stock) < w.gravity(best) {
			best = part.Stock
		}
	}
	return best
}

// stickGluings lists the glue-ups of sticks of several woods, each kind once.
func (w *work) stickGluings() {
	type made struct {
		first *layout.Stick
		long  float64
		times int
	}
	var kinds []string
	by := map[string]*made{}
	for p := range w.b.Build.Panels {
		panel := &w.b.Build.Panels[p]
		if panel.Slices == 0 {
			continue
		}
		count, length := w.length(panel)
		for _, i := range panel.Sticks {
			s := &w.b.Build.Sticks[i]
			if len(s.Parts) < 2 {
				continue
			}
			name := fmt.Sprintf("%s, %.0f mm long", s.Kind, length)
			if by[name] == nil {
				by[name] = &made{first: s, long: length}
				kinds = append(kinds, name)
			}
			by[name].times += count
		}
	}
	for _, name := range kinds {
		m := by[name]
		s := m.first
		g := joinery{name: "stick " + name, kind: "stick", times: m.times, run: m.long, stack: math.Min(s.Width, s.Height), outer: math.Min(s.Width, s.Height) / 2, thick: math.Min(s.Width, s.Height), border: -1}
		stock := func(i int) string { return s.Parts[i].Stock }
		if s.Cut == "layers" {
			wide, thin := extentOf(s.Parts[0].Outline)
			if s.Turn == "quarter" || s.Turn == "three-quarters" {
				wide, thin = thin, wide
			}
			g.stack, g.thick, g.outer = thin*float64(len(s.Parts)), wide, math.Max(thin, 1)
			for k := 1; k < len(s.Parts); k++ {
				g.joints = append(g.joints, seam{wide * m.long, [2]string{stock(k - 1), stock(k)}})
			}
			w.gluings = append(w.gluings, g)
			continue
		}
		w.diagonals(g, math.Hypot(s.Width, s.Height), m.long, len(s.Parts), stock)
	}
}

// gluePanel is the glue-up of a panel.
func (w *work) gluePanel(index int) {
	p := &w.b.Build.Panels[index]
	if len(p.Sticks) < 2 {
		return
	}
	count, length := w.length(p)
	g := joinery{name: "panel " + p.Key, kind: "panel", times: count, run: length, stack: p.Width, outer: math.Inf(1), along: true, border: -1}
	for _, i := range p.Sticks {
		g.thick = math.Max(g.thick, w.b.Build.Sticks[i].Height)
	}
	if g.thick <= p.Thickness+snap {
		g.thick += 2 * w.l.use("panel-face")
	}
	ends := []int{p.Sticks[0], p.Sticks[len(p.Sticks)-1]}
	for _, i := range ends {
		g.outer = math.Min(g.outer, w.b.Build.Sticks[i].Width)
	}
	for k := 1; k < len(p.Sticks); k++ {
		g.joints = append(g.joints, seam{length * g.thick, [2]string{w.softest(&w.b.Build.Sticks[p.Sticks[k-1]]), w.softest(&w.b.Build.Sticks[p.Sticks[k]])}})
	}
	w.gluings = append(w.gluings, g)
}

// strips lists the glue-ups of the slices of a border's panel end to end, a side each.
func (w *work) strips(border int) {
	b := &w.b.Borders[border]
	for _, side := range []string{"left", "right", "top", "bottom"} {
		n, wide := 0, 0.0
		var stock string
		for _, s := range w.b.Build.Slices {
			if s.Border == border && s.Side == side {
				n++
				wide, stock = w.b.Build.Panels[s.Panel].Width, w.softest(&w.b.Build.Sticks[w.b.Build.Panels[s.Panel].Sticks[0]])
			}
		}
		if n < 2 {
			continue
		}
		g := joinery{name: fmt.Sprintf("strip of border %d, %s", border+1, side), kind: "row", times: 1, run: b.Width, outer: wide, stack: wide * float64(n), thick: w.slice, ends: true, along: true, border: border}
		for range n - 1 {
			g.joints = append(g.joints, seam{b.Width * w.slice, [2]string{stock, stock}})
		}
		w.gluings = append(w.gluings, g)
	}
}
