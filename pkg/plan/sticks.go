package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Stick is a row of the cut list: sticks of one wood and one size. Lengths are mm,
// along the fibres; the section is across them.
type Stick struct {
	ID             string  `json:"id"`
	For            string  `json:"for"`
	Stock          string  `json:"stock"`
	Species        string  `json:"species"`
	Count          int     `json:"count"`
	Shape          string  `json:"shape"` // of the finished section: "rectangle", "triangle", "polygon"
	Width          float64 `json:"width"` // finished
	Thickness      float64 `json:"thickness"`
	Length         float64 `json:"length"` // with kerfs and trim
	RoughWidth     float64 `json:"rough_width"`
	RoughThickness float64 `json:"rough_thickness"`
	RoughLength    float64 `json:"rough_length"`
	Rings          string  `json:"rings"`
	net            float64 // mm³ in the finished board, all together
	edge           bool    // of borders alone
	least          float64 // mm, its length without what is left to trim; 0 where nothing is
}

// rough is the volume of all of a row as it is ripped, mm³.
func (s *Stick) rough() float64 {
	return float64(s.Count) * s.RoughWidth * s.RoughThickness * s.RoughLength
}

// cut adds a row with what milling takes away from its section; faceOn is planed with
// the panel.
func (w *work) cut(s Stick, panel float64) {
	s.Species = w.b.Stock[s.Stock].Species
	if s.RoughWidth == 0 {
		s.RoughWidth = s.Width + 2*w.l.use("edge")
	}
	if s.RoughThickness == 0 {
		s.RoughThickness = s.Thickness + 2*w.l.use("face") + 2*panel
	}
	if has := w.reach[s.Stock]; has > 0 && s.Length > has && s.least > 0 && s.least <= has+snap {
		s.Length = has // with less to trim
		w.note("Stick %s is as long as stock %s: %s are left to trim off it, %s of them from each end.", s.ID, s.Stock, w.size(has-s.least), w.size((has-s.least)/2))
	}
	s.RoughLength = math.Max(s.Length, math.Min(w.l.use("shortest"), w.most(s.Stock)))
	w.fits(&s)
	w.sticks = append(w.sticks, s)
}

// fits notes a stick that is longer than the stock has, and one that is too short for
// the machines where no longer one is to be had.
func (w *work) fits(s *Stick) {
	if has := w.reach[s.Stock]; has > 0 && s.Length > has+snap {
		w.note("Stick %s is %s long, and the longest of stock %s is %s: buy longer stock, or make shorter panels.", s.ID, w.size(s.Length), s.Stock, w.size(has))
	}
	if shortest := w.l.use("shortest"); s.RoughLength < shortest-snap {
		w.note("Sticks of stock %s are at most %s long, and %s is the shortest that goes over a jointer or through a planer safely: work them by hand, or on a carrier board made for it.", s.Stock, w.size(w.most(s.Stock)), w.size(shortest))
	}
}

// note adds a note once.
func (w *work) note(format string, args ...any) {
	if n := fmt.Sprintf(format, args...); !slices.Contains(w.notes, n) {
		w.notes = append(w.notes, n)
	}
}

// cellStick lists what one stick of a panel is made of: a plain stick, or a stick
// sawn along one diagonal or both and glued again from several woods.
func (w *work) cellStick(id, use string, kind like, rows [][]cell, c int, length float64, count int) {
	panel := 0.0
	if !w.loose {
		panel = w.l.use("panel-face")
	}
	at := rows[kind.rows[0]][c]
	if len(at.pieces) == 1 {
		p := &w.b.Pieces[at.pieces[0]]
		w.cut(Stick{ID: id, For: use, Stock: p.Stock, Count: count, Shape: "rectangle", Width: at.width, Thickness: at.height, Length: length,
			Rings: w.stickRings(kind, rows, c, part(p)), net: float64(len(kind.rows)) * p.Area * w.b.Thickness}, panel)
		return
	}
	blankW, blankT := w.blank(at.width, at.height, len(at.pieces), panel)
	for i, k := range at.pieces {
		p := &w.b.Pieces[k]
		w.cut(Stick{ID: fmt.Sprintf("%s%c", id, 'a'+i), For: fmt.Sprintf("%s, its part %s: %d of a blank sawn along %s", use, part(p), len(at.pieces), map[int]string{2: "one diagonal", 4: "both diagonals"}[len(at.pieces)]),
			Stock: p.Stock, Count: (count + len(at.pieces) - 1) / len(at.pieces), Shape: "triangle", Width: at.width, Thickness: at.height, Length: length,
			RoughWidth: blankW, RoughThickness: blankT, Rings: w.stickRings(kind, rows, c, part(p)), net: float64(len(kind.rows)) * p.Area * w.b.Thickness}, panel)
	}
	g := joinery{name: "stick " + id, kind: "stick", times: count, run: length, stack: math.Min(at.width, at.height), outer: math.Min(at.width, at.height) / 2, thick: math.Min(at.width, at.height), border: -1}
	w.diagonals(g, math.Hypot(at.width, at.height), length, len(at.pieces), func(i int) string { return w.b.Pieces[at.pieces[i]].Stock })
}

// blank is the rough section [mm] that the triangles of a stick are sawn from. A saw of
// kerf k along a diagonal d takes k·d/h off the width w, and along the other one k·d/w
// off the height h; panel is what planing the panel takes of each face.
func (w *work) blank(width, height float64, parts int, panel float64) (wide, thick float64) {
	d := math.Hypot(width, height)
	wide, thick = width+w.kerf*d/height+2*w.l.use("edge"), height+2*panel+2*w.l.use("face")
	if parts == 4 {
		thick += w.kerf * d / width
	}
	return wide, thick
}

// diagonals adds the glue-ups of a stick from its triangles: one joint along a diagonal
// d [mm], or two halves first and then the joint between them.
func (w *work) diagonals(g joinery, d, length float64, parts int, stock func(int) string) {
	whole := seam{d * length, [2]string{stock(0), stock(1)}}
	if parts == 4 {
		halves := g
		halves.name, halves.times = "halves of "+g.name, 2*g.times
		halves.joints = []seam{{d / 2 * length, [2]string{stock(0), stock(1)}}}
		w.gluings = append(w.gluings, halves)
		whole.stocks = [2]string{stock(0), stock(2)}
	}
	g.joints = []seam{whole}
	w.gluings = append(w.gluings, g)
}

// stickRings tells how the rings lie in a stick, looking at the end that becomes the
// top of the board, in the slice that lies as the first does.
func (w *work) stickRings(kind like, rows [][]cell, c int, of string) string {
	var angles []float64
	for i, r := range kind.rows {
		turn, row := kind.turns[i], rows[r]
		k := c
		if turn == 1 || turn == 3 {
			k = len(row) - 1 - c
		}
		for _, j := range row[k].pieces {
			p := &w.b.Pieces[j]
			if turnedPart[part(p)][turn] != of {
				continue
			}
			if p.RingUnknown {
				return "not looked at"
			}
			angle := p.RingAngle
			if turn >= 2 {
				angle = -angle
			}
			angles = append(angles, layout.Axis(angle))
		}
	}
	if w.loose {
		return ringsOf(angles, true)
	}
	return ringText(angles, true)
}

// alike is how far rings of one stick may differ and still be one stick's, degrees:
// a maker reads them no better.
const alike = 10

// ringText tells ring angles [degrees] of pieces of one stick.
func ringText(angles []float64, up bool) string {
	if len(angles) == 0 {
		return "not looked at"
	}
	low, high := slices.Min(angles), slices.Max(angles)
	if high-low > alike {
		return fmt.Sprintf("%.0f° to %.0f°: the file gives slices of one stick different rings", low, high)
	}
	a := angles[0]
	off := math.Abs(a) // of the radial axis from the width (end grain) or from the face normal (along)
	switch {
	case up && off <= alike, !up && off >= 90-alike:
		return fmt.Sprintf("%.0f°: upright, quarter-sawn on the wide face", a)
	case up && off >= 90-alike, !up && off <= alike:
		return fmt.Sprintf("%.0f°: level, flat-sawn on the wide face", a)
	}
	return fmt.Sprintf("%.0f°: between, rift-sawn", a)
}

// pieces builds a field of pieces that are no rows of end grain: each kind is cut
// from sticks of its own section, or, lying down, to its length.
func (w *work) pieces(of []int) {
	w.pieced = true
	w.pieceSticks(of)
	g := joinery{name: "field", kind: "field", times: 1, thick: w.slice, border: -1, run: w.b.Width, stack: w.b.Height, along: true}
	in := map[int]bool{}
	narrow := math.Inf(1)
	for _, i := range of {
		in[i] = true
		g.ends = g.ends || w.b.Pieces[i].Grain.Up
		_, _, side := rectangle(w.b.Pieces[i].Outline, nil)
		narrow = math.Min(narrow, side)
	}
	g.outer = narrow
	for i := range w.b.Joints {
		j := &w.b.Joints[i]
		if in[j.A] && in[j.B] {
			g.joints = append(g.joints, seam{j.Length * w.slice, [2]string{w.b.Pieces[j.A].Stock, w.b.Pieces[j.B].Stock}})
		}
	}
	if len(g.joints) > 0 {
		w.gluings = append(w.gluings, g)
	}
}

// lot is pieces of one stock, section and grain.
type lot struct {
	stock         string
	up            bool
	width, length float64 // mm: across the fibres of a lying piece, along them; of an upright one the sides of its smallest rectangle
	area          float64 // mm², outline
	corners       int
	pieces        []int
}

// pieceSticks lists the sticks that loose pieces are cut from.
func (w *work) pieceSticks(of []int) {
	var lots []lot
	for _, i := range of {
		p := &w.b.Pieces[i]
		var dir *float64
		if !p.Grain.Up {
			dir = &p.Grain.Angle
		}
		_, long, short := rectangle(p.Outline, dir)
		k := slices.IndexFunc(lots, func(l lot) bool {
			return l.stock == p.Stock && l.up == p.Grain.Up && l.corners == len(p.Outline) && near(l.width, short) && near(l.length, long) && math.Abs(l.area-p.Area) < 0.01*p.Area
		})
		if k < 0 {
			k = len(lots)
			lots = append(lots, lot{stock: p.Stock, up: p.Grain.Up, width: short, length: long, area: p.Area, corners: len(p.Outline)})
		}
		lots[k].pieces = append(lots[k].pieces, i)
	}
	for n, l := range lots {
		w.lotSticks(fmt.Sprintf("S%d", n+1), l)
	}
}

func near(a, b float64) bool { return math.Abs(a-b) < 0.05 }

// lotSticks divides a lot into sticks that are easy to handle.
func (w *work) lotSticks(id string, l lot) {
	n := len(l.pieces)
	shape := map[int]string{3: "triangle", 4: "rectangle"}[l.corners]
	if shape == "" || l.corners == 4 && l.area < 0.99*l.width*l.length {
		shape = "polygon"
	}
	var angles []float64
	use := ""
	net := 0.0
	for i, k := range l.pieces {
		net += w.b.Pieces[k].Area * w.b.Thickness
		if p := &w.b.Pieces[k]; !p.RingUnknown {
			angles = append(angles, layout.Axis(p.RingAngle))
		}
		switch {
		case i < 3:
			use += ", " + w.b.Pieces[k].ID
		case i == 3:
			use += fmt.Sprintf(" and %d more", n-3)
		}
	}
	s := Stick{ID: id, For: use[2:], Stock: l.stock, Shape: shape, Rings: ringsOf(angles, l.up), net: net}
	trim := 2 * w.l.use("trim-end")
	if !l.up { // a plank: its length is the piece's
		s.Count, s.Width, s.Thickness, s.Length, s.least = n, l.width, w.slice, l.length+trim, l.length
		s.RoughThickness = w.slice + 2*w.l.use("face")
		w.cut(s, 0)
		return
	}
	s.Count, s.Length = w.lengths(n, l.stock)
	s.Width, s.Thickness = l.length, l.width
	w.cut(s, 0)
}

// ringsOf is ringText for pieces that may be taken from several sticks.
func ringsOf(angles []float64, up bool) string {
	if len(angles) > 0 && slices.Max(angles)-slices.Min(angles) > alike {
		return fmt.Sprintf("%.0f° to %.0f°: pick a stick for each, as the file tells", slices.Min(angles), slices.Max(angles))
	}
	return ringText(angles, up)
}

// rectangle is the smallest rectangle round an outline, one of whose sides lies along
// an edge (rotating calipers), or along the direction given [degrees]; its angle and
// its sides, mm: with a direction the side along it first, else the longer.
func rectangle(outline []layout.XY, direction *float64) (angle, along, across float64) {
	extent := func(a float64) (u, v float64) {
		s, c := math.Sincos(a)
		lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
		for _, p := range outline {
			for k, x := range [2]float64{p[0]*c + p[1]*s, p[1]*c - p[0]*s} {
				lo[k], hi[k] = math.Min(lo[k], x), math.Max(hi[k], x)
			}
		}
		return hi[0] - lo[0], hi[1] - lo[1]
	}
	if direction != nil {
		a := *direction * math.Pi / 180
		u, v := extent(a)
		return a, u, v
	}
	type found struct{ a, u, v float64 }
	var all []found
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		a := math.Atan2(q[1]-p[1], q[0]-p[0])
		u, v := extent(a)
		all = append(all, found{a, math.Max(u, v), math.Min(u, v)})
	}
	best := slices.MinFunc(all, func(a, b found) int {
		if d := a.u*a.v - b.u*b.v; math.Abs(d) > 1e-6*a.u*a.v {
			return cmp.Compare(d, 0)
		}
		return 0
	})
	return best.a, best.u, best.v
}
