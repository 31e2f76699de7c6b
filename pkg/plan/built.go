package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
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
	w.shortPanels()
	w.sticksOfKinds()
	w.laidIn()
	for p := range w.b.Build.Panels {
		if w.b.Build.Panels[p].Slices > 0 {
			w.gluePanel(p)
		}
	}
	w.field(w.cells(field))
}

// shortPanels tells which panels are too short to be planed by machine.
func (w *work) shortPanels() {
	var names []string
	shortest := w.l.use("shortest")
	for _, p := range w.panels {
		if p.Sticks > 1 && p.Length < shortest-snap {
			names = append(names, p.Name)
		}
	}
	if len(names) > 0 {
		w.note("%s is the shortest that goes through a planer safely, and so long are not: panel %s. Plane them by hand or sand them flat, or glue them longer.", w.size(shortest), strings.Join(names, ", "))
	}
}

// length is how long a panel is and how many are made: what the file tells, or what its
// slices need.
func (w *work) length(p *layout.Panel) (count int, length float64) {
	if p.Length > 0 {
		return 1, p.Length
	}
	return w.lengths(p.Slices, w.builtFrom(p)...)
}

// builtFrom are the stocks of the sticks of a panel.
func (w *work) builtFrom(p *layout.Panel) (keys []string) {
	for _, i := range p.Sticks {
		for _, part := range w.b.Build.Sticks[i].Parts {
			if !slices.Contains(keys, part.Stock) {
				keys = append(keys, part.Stock)
			}
		}
	}
	return keys
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
		w.note("Panel %s is %s long in the file; with trimmed ends and the flattening worked out here %s of it want %s.", p.Key, w.size(p.Length), quantity.Count(p.Slices, "slice"), w.size(need))
	}
	if count > 1 {
		w.divided(p.Key, p.Slices, count, w.builtFrom(p))
	}
	w.panels = append(w.panels, out)
	if p.Pointer == "" || w.b.Build.Sticks[p.Sticks[0]].Kind == "" { // the short form tells strips one by one
		for _, i := range p.Sticks {
			w.builtSticks(w.b.Build.Sticks[i].ID, []int{i}, length, count)
		}
		return
	}
}

// sticksOfKinds lists the sticks of a build that names how they are made: equal ones
// together, whatever panel they go into and however they lie there.
func (w *work) sticksOfKinds() {
	type lot struct {
		kind  string
		of    []int
		long  float64
		count int
	}
	var lots []lot
	bySign, named := map[string]int{}, map[string]int{}
	for p := range w.b.Build.Panels {
		panel := &w.b.Build.Panels[p]
		if panel.Slices == 0 {
			continue
		}
		count, length := w.length(panel)
		for _, i := range panel.Sticks {
			s := &w.b.Build.Sticks[i]
			if s.Kind == "" {
				continue
			}
			sign := fmt.Sprintf("%s %.2f %d", s.Kind, length, count)
			for k := range s.Parts {
				angle, known := madeRing(s, k)
				sign += fmt.Sprintf(" %.1f %v %.2f", angle, known, s.Parts[k].Moisture)
			}
			k, known := bySign[sign]
			if !known {
				k = len(lots)
				bySign[sign] = k
				name := s.Kind
				if named[s.Kind]++; named[s.Kind] > 1 {
					name = fmt.Sprintf("%s-%d", s.Kind, named[s.Kind])
				}
				lots = append(lots, lot{name, nil, length, count})
			}
			lots[k].of = append(lots[k].of, i)
		}
	}
	for _, l := range lots {
		w.builtSticks(l.kind, l.of, l.long, l.count)
	}
}

// madeRing is the ring angle [degrees] of a part of a stick before the stick is turned.
func madeRing(s *layout.Stick, part int) (angle float64, known bool) {
	p := s.Parts[part]
	if p.RingUnknown {
		return 0, false
	}
	angle = p.RingAngle
	if s.EndForEnd {
		angle = -angle
	}
	return layout.Axis(angle - 90*float64(slices.Index(layout.StickTurns, s.Turn))), true
}

// joined divides sticks among longer ones, which go through the machines and are
// glued and ripped at once: how many long sticks, how many each gives, and how long
// each is [mm].
func (w *work) joined(n int, length float64, stocks []string) (long, gives int, each float64) {
	if length >= w.l.use("shortest") {
		return n, 1, length
	}
	fit := max(1, int((w.most(stocks...)+w.kerf)/(length+w.kerf)))
	long = (n + fit - 1) / fit
	gives = (n + long - 1) / long
	return long, gives, float64(gives)*(length+w.kerf) - w.kerf
}

// builtSticks lists the woods of equal sticks.
func (w *work) builtSticks(name string, group []int, length float64, count int) {
	s := &w.b.Build.Sticks[group[0]]
	wide, high := s.Width, s.Height
	if s.Turn == "quarter" || s.Turn == "three-quarters" {
		wide, high = high, wide
	}
	var ids, stocks []string
	more := 0.0
	for _, i := range group {
		o := &w.b.Build.Sticks[i]
		id := o.ID
		switch o.Turn {
		case "none":
		case "three-quarters":
			id += " (three quarter turns)"
		default:
			id += " (a " + o.Turn + " turn)"
		}
		if o.EndForEnd {
			id += " (ends changed)"
		}
		ids = append(ids, id)
		if o.Height <= w.b.Build.Panels[o.Panel].Thickness+snap {
			more = w.l.use("panel-face") // what planing the panel takes is not in the stick yet
		}
	}
	for _, part := range s.Parts {
		stocks = append(stocks, part.Stock)
	}
	n := count * len(group)
	long, gives, each := n, 1, length
	if s.Kind != "" {
		long, gives, each = w.joined(n, length, stocks)
	}
	use := strings.Join(ids, ", ")
	if gives > 1 {
		use = fmt.Sprintf("%d of %s each: %s", gives, w.size(length), use)
	}
	edge := !slices.ContainsFunc(w.b.Build.Slices, func(sl layout.Slice) bool {
		return sl.Border < 0 && slices.ContainsFunc(group, func(i int) bool { return w.b.Build.Sticks[i].Panel == sl.Panel })
	})
	for k, part := range s.Parts {
		row := Stick{ID: name, edge: edge, For: use, Stock: part.Stock, Count: long, Shape: "rectangle", Width: wide, Thickness: high, Length: each, Rings: "not looked at", net: w.netOf(group, k)}
		if angle, known := madeRing(s, k); known {
			row.Rings = ringText([]float64{angle}, true)
		}
		if len(s.Parts) > 1 {
			row.ID += " " + string(rune('a'+k))
		}
		take := more
		switch s.Cut {
		case "layers":
			if take = more / 2; k > 0 && k < len(s.Parts)-1 {
				take = 0 // the plane takes the outer layers alone, from one face each
			}
			row.Width, row.Thickness = extentOf(part.Outline)
			if s.Turn == "quarter" || s.Turn == "three-quarters" {
				row.Width, row.Thickness = row.Thickness, row.Width
			}
		case "":
		default:
			row.Shape, row.Count = "triangle", (long+len(s.Parts)-1)/len(s.Parts)
			row.For = fmt.Sprintf("%d of a blank sawn along %s; %s", len(s.Parts), map[int]string{2: "one diagonal", 4: "both diagonals"}[len(s.Parts)], row.For)
			row.RoughWidth, row.RoughThickness = w.blank(wide, high, len(s.Parts), more)
		}
		w.cut(row, take)
	}
	if len(s.Parts) > 1 {
		w.glueSticks(name, s, wide, high, long, each)
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
		row := Stick{ID: s.ID, For: "laid in: " + s.ID, Stock: s.Parts[0].Stock, Count: 1, Shape: "rectangle", Width: s.Width, Thickness: w.slice, Length: s.Length + 2*w.l.use("overhang"), least: s.Length, Rings: "not looked at", net: net}
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

// glueSticks is the glue-up of sticks of several woods [mm, as they are made].
func (w *work) glueSticks(name string, s *layout.Stick, wide, high float64, times int, length float64) {
	thin := math.Min(wide, high)
	g := joinery{name: "stick " + name, kind: "stick", times: times, run: length, stack: thin, outer: thin / 2, thick: thin, border: -1}
	stock := func(i int) string { return s.Parts[i].Stock }
	if s.Cut != "layers" {
		w.diagonals(g, math.Hypot(wide, high), length, len(s.Parts), stock)
		return
	}
	g.stack, g.thick, g.outer, g.along = high, wide, wide/2, true // a caul spreads the pressure over thin layers
	for k := 1; k < len(s.Parts); k++ {
		g.joints = append(g.joints, seam{wide * length, [2]string{stock(k - 1), stock(k)}})
	}
	w.gluings = append(w.gluings, g)
}

// gluePanel is the glue-up of a panel.
func (w *work) gluePanel(index int) {
	p := &w.b.Build.Panels[index]
	if len(p.Sticks) < 2 {
		return
	}
	count, length := w.length(p)
	g := joinery{name: "panel " + p.Key, kind: "panel", times: count, run: length, stack: p.Width, outer: math.Inf(1), along: true, border: -1}
	g.stocks = w.builtFrom(p)
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
		w.overhang(border, side, float64(n)*wide)
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

// overhang lists what is sawn off the ends of a strip that is so long [mm] when its slices
// are glued end to end.
func (w *work) overhang(border int, side string, long float64) {
	lo, hi := w.extent(func(k int) bool { return w.b.Pieces[k].Border == border && w.side(k) == side })
	need := hi[0] - lo[0]
	if upright(side) {
		need = hi[1] - lo[1]
	}
	if over := (long - need) / 2; over > snap {
		w.rests = append(w.rests, Offcut{fmt.Sprintf("border %d, %s", border+1, side), 2, over,
			fmt.Sprintf("sawn off the ends of its strip, %s × %s", w.size(w.b.Borders[border].Width), w.size(w.slice))})
	}
}
