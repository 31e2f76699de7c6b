package plan

import (
	"fmt"
	"slices"
)

// upright tells whether a side of a board runs up and down.
func upright(side string) bool { return side == "left" || side == "right" }

// borders lays out the border stages in the order of the file: sides that face each
// other are clamped together, a mitred ring all at once.
func (w *work) borders() {
	for i, b := range w.b.Borders {
		of := map[string][]int{}
		for _, k := range b.Pieces {
			side := w.side(k)
			of[side] = append(of[side], k)
		}
		if b.Panel == "" {
			w.edging(i, b.Along, of)
		} else {
			w.strips(i)
		}
		name := fmt.Sprintf("border %d", i+1)
		if b.Mitre {
			w.glueBorder(i, name+", all sides at once", b.Sides, of)
			continue
		}
		for from := 0; from < len(b.Sides); {
			to := from + 1
			if to < len(b.Sides) && upright(b.Sides[to]) == upright(b.Sides[from]) {
				to++
			}
			sides := b.Sides[from:to]
			label := sides[0]
			if len(sides) > 1 {
				label += " and " + sides[1]
			}
			w.glueBorder(i, name+", "+label, sides, of)
			from = to
		}
	}
}

// side is the side of the board that a border piece lies on: the last word of its part.
func (w *work) side(piece int) string {
	p := w.b.Pieces[piece].Part
	for _, side := range []string{"left", "right", "top", "bottom"} {
		if len(p) > len(side) && p[len(p)-len(side):] == side {
			return side
		}
	}
	return ""
}

// edging lists the sticks of a border.
func (w *work) edging(i int, along bool, of map[string][]int) {
	var all []int
	for _, side := range []string{"left", "right", "top", "bottom"} {
		all = append(all, of[side]...)
	}
	if !along {
		before := len(w.sticks)
		w.pieceSticks(all)
		for k := before; k < len(w.sticks); k++ {
			w.sticks[k].ID = fmt.Sprintf("b%d.%d", i+1, k-before+1)
		}
		for _, side := range []string{"left", "right", "top", "bottom"} {
			if n := len(of[side]); n > 1 { // blocks are glued into a strip first
				p := &w.b.Pieces[of[side][0]]
				_, long, short := rectangle(p.Outline, nil)
				g := joinery{name: fmt.Sprintf("strip of border %d, %s", i+1, side), kind: "row", times: 1, run: short, outer: long, stack: long * float64(n), thick: w.slice, ends: true, along: true, border: i}
				for range n - 1 {
					g.joints = append(g.joints, seam{w.b.Borders[i].Width * w.slice, [2]string{p.Stock, p.Stock}})
				}
				w.gluings = append(w.gluings, g)
			}
		}
		return
	}
	type strip struct{ long, short float64 }
	var seen []strip
	for _, k := range all {
		p := &w.b.Pieces[k]
		_, long, short := rectangle(p.Outline, &p.Grain.Angle)
		s := strip{long, short}
		n := slices.IndexFunc(seen, func(o strip) bool { return near(o.long, s.long) && near(o.short, s.short) })
		if n >= 0 {
			at := len(w.sticks) - len(seen) + n
			w.sticks[at].Count++
			w.sticks[at].For += ", " + p.ID
			w.sticks[at].net += p.Area * w.b.Thickness
			continue
		}
		seen = append(seen, s)
		rings := "not looked at"
		if !p.RingUnknown {
			rings = ringText([]float64{p.RingAngle}, false)
		}
		w.cut(Stick{ID: fmt.Sprintf("b%d.%d", i+1, len(seen)), For: p.ID, Stock: p.Stock, Count: 1, Shape: "rectangle", Width: short, Thickness: w.slice, Length: long + 2*w.l.use("overhang"), least: long,
			Rings: rings, net: p.Area * w.b.Thickness}, 0)
	}
}

// glueBorder is the glue-up of some sides of a border.
func (w *work) glueBorder(i int, name string, sides []string, of map[string][]int) {
	b := &w.b.Borders[i]
	g := joinery{name: name, kind: "border", times: 1, outer: b.Width, thick: w.slice, ends: !b.Along, border: i}
	in := map[int]bool{}
	for _, side := range sides {
		for _, k := range of[side] {
			in[k] = true
		}
	}
	lo, hi := w.extent(func(k int) bool { return w.b.Pieces[k].Border <= i })
	g.run, g.stack = hi[0]-lo[0], hi[1]-lo[1]
	if upright(sides[0]) {
		g.run, g.stack = g.stack, g.run
	}
	// each side is one joint, however many pieces it meets
	sum := map[string]*seam{}
	for j := range w.b.Joints {
		jt := &w.b.Joints[j]
		for _, ends := range [2][2]int{{jt.A, jt.B}, {jt.B, jt.A}} {
			mine, other := ends[0], ends[1]
			if !in[mine] || in[other] && (!b.Mitre || mine > other) || w.b.Pieces[other].Border > i || !in[other] && w.later(other, i, sides, of) {
				continue
			}
			if in[other] { // a mitre
				g.joints = append(g.joints, seam{jt.Length * w.slice, [2]string{w.b.Pieces[mine].Stock, w.b.Pieces[other].Stock}})
				continue
			}
			s := sum[w.side(mine)]
			if s == nil {
				s = &seam{stocks: [2]string{w.b.Pieces[mine].Stock, w.b.Pieces[other].Stock}}
				sum[w.side(mine)] = s
			}
			s.area += jt.Length * w.slice
			for k, i := range [2]int{mine, other} {
				if stock := w.b.Pieces[i].Stock; w.gravity(stock) < w.gravity(s.stocks[k]) {
					s.stocks[k] = stock
				}
			}
		}
	}
	for _, side := range sides {
		if s := sum[side]; s != nil {
			g.joints = append(g.joints, *s)
		}
	}
	if len(g.joints) > 0 {
		w.gluings = append(w.gluings, g)
	}
}

// later tells whether a piece of the same border is glued after the sides given.
func (w *work) later(piece, i int, sides []string, of map[string][]int) bool {
	if w.b.Pieces[piece].Border != i {
		return false
	}
	order := w.b.Borders[i].Sides
	return slices.Index(order, w.side(piece)) > slices.Index(order, sides[len(sides)-1])
}

// extent is the extent of some pieces, mm.
func (w *work) extent(of func(int) bool) (lo, hi [2]float64) {
	first := true
	for k := range w.b.Pieces {
		if !of(k) {
			continue
		}
		a, z := box(&w.b.Pieces[k])
		for j := range a {
			if first || a[j] < lo[j] {
				lo[j] = a[j]
			}
			if first || z[j] > hi[j] {
				hi[j] = z[j]
			}
		}
		first = false
	}
	return lo, hi
}
