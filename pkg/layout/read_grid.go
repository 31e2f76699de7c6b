package layout

import (
	"fmt"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

// cells is a grid as written: one key a cell, from the top left.
type cells struct {
	keys    [][]string
	at      []strict.Value // per row
	widths  []float64      // mm, left to right
	heights []float64      // mm, top to bottom
}

func (r *reader) grid(v strict.Value) {
	m := v.Object("block", "columns", "row_heights", "rows", "stagger", "ends")
	if m == nil {
		return
	}
	c, ok := r.rows(m.Need("rows"))
	shape, _ := m.OneOf("block", "columns")
	var block []float64
	sized := false
	switch shape {
	case "block":
		block, sized = r.lengths(m.Get("block"), 2, 2, size)
		if h := m.Get("row_heights"); h.Here() {
			h.Fault(fault.NotAllowed, "row_heights cannot stand beside block", "block, or columns and row_heights")
		}
	case "columns":
		nc, nr := -1, -1
		if ok {
			nc, nr = len(c.keys[0]), len(c.keys)
		}
		var one, two bool
		c.widths, one = r.sizes(m.Get("columns"), nc, "one width for each column")
		c.heights, two = r.sizes(m.Need("row_heights"), nr, "one height for each row")
		sized = one && two
	}
	stagger, trimmed := r.stagger(m, shape)
	if !ok || !sized {
		return
	}
	if shape == "block" {
		c.widths, c.heights = repeated(block[0], len(c.keys[0])), repeated(block[1], len(c.keys))
	}
	if !r.extent(v, sum(c.widths), sum(c.heights)) {
		return
	}
	step := 0.0
	if stagger > 0 {
		step = stagger * block[0]
	}
	if shape == "block" && step == 0 {
		r.board.Rows, r.board.Cols = len(c.keys), len(c.keys[0])
	}
	r.rectangular = step == 0 || trimmed
	r.staggered = !r.rectangular
	r.layCells(c, step, trimmed)
}

// sizes takes a list of n lengths; any number of them when n < 0.
func (r *reader) sizes(v strict.Value, n int, what string) ([]float64, bool) {
	fs, ok := r.lengths(v, 1, r.limits.Pieces, size)
	if ok && n >= 0 && len(fs) != n {
		v.Fault(fault.WrongLength, what+" is needed", fmt.Sprintf("exactly %d elements", n))
		return nil, false
	}
	return fs, ok
}

// stagger takes the shift of every second row, in blocks, and what becomes of the ends.
func (r *reader) stagger(m *strict.Members, shape string) (shift float64, trimmed bool) {
	if s := m.Get("stagger"); s.Here() {
		shift, _ = s.Number(strict.Between(0, 0.99, "of a block's width"))
		if shape == "columns" && shift > 0 {
			s.Fault(fault.NotAllowed, "rows of unequal columns cannot be staggered", "stagger beside block only")
			shift = 0
		}
	}
	if e := m.Get("ends"); e.Here() {
		word, _ := e.Word("open", "trimmed")
		trimmed = word == "trimmed"
		if !m.Has("stagger") {
			e.Fault(fault.NotAllowed, "ends says what becomes of staggered rows; these are not", "ends beside stagger only")
		}
	}
	return shift, trimmed
}

// rows takes the picture of the grid: each row a text of one letter a block, or
// a list of keys.
func (r *reader) rows(v strict.Value) (c cells, ok bool) {
	rows, ok := v.List(1, -1)
	if !ok {
		return c, false
	}
	total := 0
	for _, row := range rows {
		total += max(row.Letters(), row.Len())
	}
	if !r.room(v, max(total, len(rows))) {
		return c, false
	}
	unknown := map[string]bool{}
	for _, row := range rows {
		keys, good := r.row(row, unknown)
		ok = ok && good
		if good && len(c.keys) > 0 && len(keys) != len(c.keys[0]) {
			row.Fault(fault.Ragged, fmt.Sprintf("the row has %d blocks, the first has %d", len(keys), len(c.keys[0])),
				fmt.Sprintf("%d blocks", len(c.keys[0])))
			ok = false
		}
		if good {
			c.keys, c.at = append(c.keys, keys), append(c.at, row)
		}
	}
	return c, ok && len(c.keys) > 0
}

// row takes one row. Each unknown key is one fault, at its first place.
func (r *reader) row(v strict.Value, unknown map[string]bool) ([]string, bool) {
	var keys []string
	places := make([]strict.Value, 0)
	if v.Kind() == strict.List {
		items, ok := v.List(1, r.limits.Pieces)
		if !ok {
			return nil, false
		}
		for _, item := range items {
			key, good := item.Text(maxKeyRunes)
			ok = ok && good
			keys, places = append(keys, key), append(places, item)
		}
		if !ok {
			return nil, false
		}
	} else {
		text, ok := v.Text(r.limits.Pieces)
		if !ok {
			return nil, false
		}
		for _, letter := range text {
			keys = append(keys, string(letter))
		}
	}
	good := true
	for i, key := range keys {
		if r.knows(key) {
			continue
		}
		good = false
		if unknown[key] {
			continue
		}
		unknown[key] = true
		at := v
		if len(places) > 0 {
			at = places[i]
		}
		r.noStock(at, key, true)
	}
	return keys, good
}

func (r *reader) knows(key string) bool {
	if _, ok := r.board.Stock[key]; ok {
		return true
	}
	_, ok := r.tiles[key]
	return ok
}

// noStock tells that a key is neither a stock nor, where tiles may stand, a tile.
func (r *reader) noStock(v strict.Value, key string, tiles bool) {
	if len(r.board.Stock) == 0 {
		return // one fault is enough for a file without stock
	}
	var names []string
	for k := range r.board.Stock {
		names = append(names, k)
	}
	what := "no stock"
	if tiles {
		for k := range r.tiles {
			names = append(names, k)
		}
		what = "no stock and no tile"
	}
	f := fault.Fault{
		Rule: fault.UnknownName, Pointer: v.Pointer(), Detail: fmt.Sprintf("%s has the key %q", what, key),
		Found: key, Nearest: fault.Nearest(key, names, 1), Fix: "add it, or use a key there is",
	}
	if len(names) <= 20 {
		f.Allowed = joined(sorted(names))
	}
	r.doc.Add(f)
}

// layCells places the blocks. Rows 2, 4, … are shifted to the right by step.
func (r *reader) layCells(c cells, step float64, trimmed bool) {
	xs := edges(c.widths)
	ys := make([]float64, len(c.heights)+1) // top to bottom
	for i, up := range edges(reversed(c.heights)) {
		ys[len(ys)-1-i] = up
	}
	left, right := step, xs[len(xs)-1]
	for i, keys := range c.keys {
		shift := 0.0
		if i%2 == 1 {
			shift = step
		}
		pointer := c.at[i].Pointer()
		for k, key := range keys {
			box := block{x0: xs[k] + shift, x1: xs[k+1] + shift, y0: ys[i+1], y1: ys[i]}
			id := "r" + strconv.Itoa(i+1) + "c" + strconv.Itoa(k+1)
			for _, p := range r.cell(box, key, id) {
				p.Row, p.Col = i, k
				p.Pointer = pointer
				if c.at[i].Kind() == strict.List {
					p.Pointer += "/" + strconv.Itoa(k)
				}
				if trimmed && step > 0 && (box.x0 < left || box.x1 > right) {
					p.Outline = clip(clip(p.Outline, left, true), right, false)
					if p.Outline = canonical(p.Outline); len(p.Outline) < 3 {
						continue // a tile's corner that the saw took whole
					}
				}
				r.pieces = append(r.pieces, p)
			}
		}
	}
}
