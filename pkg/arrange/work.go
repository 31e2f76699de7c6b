package arrange

import (
	"maps"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// work is what is done otherwise in the shop than the file of a build tells; how each
// stick is turned for itself stands in an arrangement. The zero value is as the file
// tells.
type work struct {
	sticks map[string][]int     // by panel: which of its sticks, counted as the file lists them, lies in each place
	rows   []int                // which row of the file lies in each row of the field; nil as told
	lies   []string             // how each row's slice is turned; nil as told
	second string               // of the short form: how every second slice is turned; "" as told
	faces  map[int]string       // by border: the turn of its slices, or one of the words below
	sides  map[int]bool         // by border: the two sides that were glued second go first
	rests  map[int]*layout.Rest // by gap: the rest in it, nil for none
}

// What else a border strip can be turned by than its slices.
const (
	around  = "around"  // about its length: its other edge inwards
	quarter = "quarter" // its face inwards instead of its edge
)

func (w *work) clone() *work {
	c := &work{sticks: maps.Clone(w.sticks), second: w.second, rows: slices.Clone(w.rows), lies: slices.Clone(w.lies), faces: maps.Clone(w.faces), sides: maps.Clone(w.sides), rests: maps.Clone(w.rests)}
	for key, order := range c.sticks {
		c.sticks[key] = slices.Clone(order)
	}
	return c
}

// order is which stick lies in each place of a panel of n.
func (w *work) order(panel string, n int) []int {
	if o, ok := w.sticks[panel]; ok {
		return o
	}
	return counting(n)
}

func counting(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// swapSticks lets two places of a panel of n change their sticks.
func (w *work) swapSticks(panel string, n, a, b int) {
	if w.sticks == nil {
		w.sticks = map[string][]int{}
	}
	o := slices.Clone(w.order(panel, n))
	o[a], o[b] = o[b], o[a]
	w.sticks[panel] = o
}

// tellRows makes room for what is done to single rows.
func (w *work) tellRows(told []layout.SliceOf) {
	if w.rows != nil {
		return
	}
	w.rows = counting(len(told))
	for _, s := range told {
		w.lies = append(w.lies, turnOf(s.Turn))
	}
}

// turnOf is the turn of a slice as a word.
func turnOf(turn string) string {
	if turn == "" {
		return "none"
	}
	return turn
}

// file is the file of the work.
func (w *work) file(told *layout.File) *layout.File {
	f := told.Clone()
	b := f.Field.Build
	for key, order := range w.sticks {
		p := b.Panels[key]
		was := slices.Clone(p.Sticks)
		for i, from := range order {
			p.Sticks[i] = was[from]
		}
	}
	if w.rows != nil {
		was := b.Rows()
		rows := make([]layout.SliceOf, len(was))
		for i, from := range w.rows {
			rows[i] = was[from]
			if rows[i].Turn = w.lies[i]; rows[i].Turn == "none" {
				rows[i].Turn = ""
			}
		}
		b.SetRows(rows)
	}
	if w.second != "" {
		f.Field.Slices.Turn = w.second
	}
	for i, face := range w.faces {
		e := &f.Borders[i]
		switch face {
		case around:
			e.Stock, _ = f.Around(e.Stock)
		case quarter:
			e.Stock, _ = f.QuarterTurned(e.Stock)
		default:
			if e.Turn = face; face == "none" {
				e.Turn = ""
			}
		}
	}
	for i, other := range w.sides {
		if e := &f.Borders[i]; other {
			e.Sides = otherFirst(e.Sides)
		}
	}
	gaps := gapsOf(f)
	for i, rest := range w.rests {
		*gaps[i].at(f) = rest
	}
	return f
}

// otherFirst puts the sides in the order in which those across from the first come
// first.
func otherFirst(sides []string) []string {
	upright := func(s string) bool { return s == "left" || s == "right" }
	var out []string
	for _, first := range []bool{!upright(sides[0]), upright(sides[0])} {
		for _, s := range sides {
			if upright(s) == first {
				out = append(out, s)
			}
		}
	}
	return out
}

// actions counts what a maker does otherwise.
func (w *work) actions(told *layout.File) int { return len(w.steps(told)) }

// alike tells whether two boards look the same: the same woods in the same places.
func alike(a, b *layout.Board) bool {
	if len(a.Pieces) != len(b.Pieces) {
		return false
	}
	for i := range a.Pieces {
		p, q := &a.Pieces[i], &b.Pieces[i]
		if p.Species != q.Species || p.Grain != q.Grain || a.Stock[p.Stock].Colour != b.Stock[q.Stock].Colour || len(p.Outline) != len(q.Outline) {
			return false
		}
		for k := range p.Outline {
			if math.Hypot(p.Outline[k][0]-q.Outline[k][0], p.Outline[k][1]-q.Outline[k][1]) > fits {
				return false
			}
		}
	}
	return true
}

// lieAlike tells whether the wood of two boards that look the same also lies the same.
func lieAlike(a, b *layout.Board) bool {
	for i := range a.Pieces {
		if !lieSame(&a.Pieces[i], &b.Pieces[i]) {
			return false
		}
	}
	return true
}

// lieSame tells whether two pieces of one place have the same rings and moisture.
func lieSame(p, q *layout.Piece) bool {
	if p.Moisture != q.Moisture || p.RingUnknown != q.RingUnknown || (p.Pith == nil) != (q.Pith == nil) {
		return false
	}
	if p.Pith != nil {
		return math.Hypot(p.Pith[0]-q.Pith[0], p.Pith[1]-q.Pith[1]) < fits
	}
	return axisApart(p.RingAngle, q.RingAngle) < 1e-6
}
