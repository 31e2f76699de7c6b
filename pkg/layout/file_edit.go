package layout

import (
	"maps"
	"slices"
	"strconv"
	"strings"
)

// SetMoisture gives all wood of the file one moisture [% MC] at gluing.
func (f *File) SetMoisture(mc float64) {
	for k, m := range f.Stock {
		m.Moisture = copied(&mc)
		f.Stock[k] = m
	}
	for id, o := range f.Pieces {
		o.Moisture = nil
		f.keep(id, o)
	}
	b := f.Field.Build
	if b == nil {
		return
	}
	for k, s := range b.Sticks {
		s.Moisture = nil
		b.Sticks[k] = s
	}
	for _, p := range b.Panels {
		for i := range p.Sticks {
			p.Sticks[i].Moisture = nil
		}
	}
}

// SetBorderWidth makes border i so wide [mm]: one of slices by planing its panel,
// where no other border and no row is of that panel. It tells whether it did.
func (f *File) SetBorderWidth(i int, mm float64) bool {
	e := &f.Borders[i]
	if e.Panel == "" {
		e.Width = f.MM(mm)
		return true
	}
	for k := range f.Borders {
		if k != i && f.Borders[k].Panel == e.Panel {
			return false
		}
	}
	b := f.Field.Build
	if b == nil || slices.ContainsFunc(b.Slices, func(s SliceOf) bool { return s.Panel == e.Panel }) {
		return false
	}
	p, ok := b.Panels[e.Panel]
	if ok {
		p.Thickness = f.MM(mm)
		b.Panels[e.Panel] = p
	}
	return ok
}

// keep stores an override, or drops one that says nothing any more.
func (f *File) keep(id string, o Override) {
	if o == (Override{}) {
		delete(f.Pieces, id)
	} else {
		f.Pieces[id] = o
	}
}

// KeepBorders leaves the first n borders and takes the others off, with what was
// said of their pieces.
func (f *File) KeepBorders(n int) {
	for i := n; i < len(f.Borders); i++ {
		f.forget("b" + strconv.Itoa(i+1) + ".")
	}
	if f.Borders = f.Borders[:min(n, len(f.Borders))]; len(f.Borders) == 0 {
		f.Borders = nil
	}
}

// CutBorder turns border i into end grain, in so many blocks a side where it is
// butted; what was said of its pieces is gone with them.
func (f *File) CutBorder(i, blocks int) {
	if f.Borders[i].Panel != "" {
		return // it is end grain, in the blocks its panel makes
	}
	f.Borders[i].Grain = "up"
	if f.Borders[i].Corner != "mitre" {
		f.Borders[i].Blocks = blocks
	}
	f.forget("b" + strconv.Itoa(i+1) + ".")
}

// forget drops what was said of pieces whose ids begin so.
func (f *File) forget(prefix string) {
	maps.DeleteFunc(f.Pieces, func(id string, _ Override) bool { return strings.HasPrefix(id, prefix) })
}

// Repeat gives the grid so many rows and columns of its own pattern, with the
// rings and whatever was said of single blocks. Fields of another kind stay.
func (f *File) Repeat(rows, cols int) {
	g := f.Field.Grid
	if g == nil || len(g.Rows) == 0 || g.Rows[0].Len() == 0 {
		return
	}
	old := *g
	keys := make([][]string, len(old.Rows))
	for i, r := range old.Rows {
		keys[i] = r.Blocks()
	}
	g.Rows, g.Rings = make([]Row, rows), nil
	said := f.Pieces
	f.Pieces = maps.Clone(said)
	f.forget("r")
	parts := []string{"", ".nw", ".se", ".ne", ".sw", ".n", ".e", ".s", ".w"}
	for i := range g.Rows {
		from := keys[i%len(keys)]
		row := make([]string, cols)
		var rings []*Ring
		for k := range row {
			row[k] = from[k%len(from)]
			if old.Rings != nil {
				rings = append(rings, copied(old.Rings[i%len(keys)][k%len(from)]))
			}
			for _, part := range parts {
				if o, ok := said["r"+strconv.Itoa(i%len(keys)+1)+"c"+strconv.Itoa(k%len(from)+1)+part]; ok {
					f.Pieces["r"+strconv.Itoa(i+1)+"c"+strconv.Itoa(k+1)+part] = o
				}
			}
		}
		if g.Rows[i] = (Row{Keys: row}); old.Rows[i%len(keys)].Keys == nil {
			g.Rows[i] = Row{Text: strings.Join(row, "")}
		}
		if rings != nil {
			g.Rings = append(g.Rings, rings)
		}
	}
	g.Columns, g.RowHeights = again(old.Columns, cols), again(old.RowHeights, rows)
	if old.Stagger != nil && old.Stagger.Shift != nil {
		g.Stagger = &Stagger{Shift: again(old.Stagger.Shift, rows)}
	}
}

// again repeats a list until it is n long; none stays none.
func again(ls []Length, n int) []Length {
	if len(ls) == 0 {
		return ls
	}
	out := make([]Length, n)
	for i := range out {
		out[i] = ls[i%len(ls)]
	}
	return out
}

// QuarterTurned gives a stock whose rings lie a quarter turn round, under a key
// of its own, made of that of the stock: the same for equal calls. Not ok for
// rings that curve or are unknown, and where no key is free.
func (f *File) QuarterTurned(key string) (turned string, ok bool) {
	m := f.Stock[key]
	if m.Ring == nil || m.Ring.Unknown || m.Pith != nil {
		return "", false
	}
	m.Ring = RingAt(Axis(m.Ring.Angle + 90))
	return f.another(key+"-turned", m)
}
