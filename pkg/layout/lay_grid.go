package layout

import (
	"fmt"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// cells is a grid as it is to be laid: one key a cell, from the top left.
type cells struct {
	keys    [][]string
	rings   [][]*Ring // nil, or one a cell
	widths  []float64 // mm, left to right
	heights []float64 // mm, top to bottom
	shifts  []float64 // mm to the right, one a row
	trimmed bool      // the ends of shifted rows are sawn flush
}

func (c *cells) shifted() bool {
	for _, s := range c.shifts {
		if s > 0 {
			return true
		}
	}
	return false
}

func (r *layer) grid() {
	g := r.file.Field.Grid
	const pointer = "/field/grid"
	c, ok := r.rows(pointer+"/rows", g.Rows)
	sized := false
	switch {
	case g.Block != nil:
		block, good := r.lengths(pointer+"/block", g.Block[:], size)
		for key, l := range map[string][]Length{"columns": g.Columns, "row_heights": g.RowHeights} {
			if l != nil {
				r.fault(fault.NotAllowed, pointer+"/"+key, key+" cannot stand beside block", "block, or columns and row_heights")
				good = false
			}
		}
		if sized = good; sized && ok {
			c.widths, c.heights = repeated(block[0], len(c.keys[0])), repeated(block[1], len(c.keys))
		}
	case g.Columns != nil:
		nc, nr := -1, -1
		if ok {
			nc, nr = len(c.keys[0]), len(c.keys)
		}
		var one, two bool
		c.widths, one = r.sizes(pointer+"/columns", g.Columns, nc, "one width for each column")
		c.heights, two = r.sizes(pointer+"/row_heights", g.RowHeights, nr, "one height for each row")
		sized = one && two
	default:
		r.fault(fault.MissingKey, pointer, "one of the keys block, columns is missing", "one of block, columns")
	}
	if ok {
		ok = r.rings(pointer+"/rings", g.Rings, &c)
	}
	staggered := r.stagger(pointer, g, &c, ok && sized)
	if !ok || !sized || !staggered {
		return
	}
	if !r.extent(pointer, sum(c.widths), sum(c.heights)) {
		return
	}
	shifted := c.shifted()
	if g.Block != nil && !shifted {
		r.board.Rows, r.board.Cols = len(c.keys), len(c.keys[0])
	}
	r.rectangular = !shifted || c.trimmed
	r.staggered = !r.rectangular
	r.layCells(c)
}

// sizes takes a list of n lengths; any number of them when n < 0.
func (r *layer) sizes(pointer string, ls []Length, n int, what string) ([]float64, bool) {
	if len(ls) == 0 {
		r.fault(fault.MissingKey, pointer, what+" is needed", "a list of lengths")
		return nil, false
	}
	fs, ok := r.lengths(pointer, ls, size)
	if n >= 0 && len(fs) != n {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: what + " is needed", Found: fmt.Sprintf("a list of %d", len(fs)), Allowed: fmt.Sprintf("exactly %d elements", n)})
		return nil, false
	}
	return fs, ok
}

// stagger works out how far each row is shifted. cells tells that the sizes are known.
func (r *layer) stagger(pointer string, g *Grid, c *cells, cells bool) bool {
	if g.Ends != "" {
		c.trimmed = g.Ends == "trimmed"
		r.word(pointer+"/ends", g.Ends, ends...)
		if g.Stagger == nil {
			r.fault(fault.NotAllowed, pointer+"/ends", "ends says what becomes of staggered rows; these are not", "ends beside stagger only")
			return false
		}
	}
	if g.Stagger == nil {
		return true
	}
	pointer += "/stagger"
	if g.Stagger.Shift != nil {
		shifts, ok := r.lengths(pointer, g.Stagger.Shift, strictjson.Between(0, MaxLength, "mm"))
		if cells && len(shifts) != len(c.keys) {
			r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: "one shift for each row is needed", Found: fmt.Sprintf("a list of %d", len(shifts)),
				Allowed: fmt.Sprintf("exactly %d elements", len(c.keys)), Fix: "give each row's shift to the right, 0 for rows that stay; or one number"})
			ok = false
		}
		c.shifts = shifts
		return ok
	}
	part := g.Stagger.Part
	if !r.number(pointer, "", part, strictjson.Between(0, 0.99, "of a block's width")) {
		return false
	}
	if part == 0 || !cells {
		return true
	}
	wide, high := repeats(c.widths), repeats(c.heights)
	if wide == len(c.widths) && wide > 1 {
		r.add(fault.Fault{Rule: fault.NotAllowed, Pointer: pointer, Detail: "one number shifts by a part of the block, or of the columns that repeat; these columns do not repeat",
			Found: strictjson.Decimal(part), Allowed: "columns that repeat, or a list", Fix: "give a list with each row's shift to the right, 0 for rows that stay"})
		return false
	}
	if high == len(c.heights) {
		high = 1 // every row is a course of its own
	}
	step := part * sum(c.widths[:wide])
	c.shifts = make([]float64, len(c.keys))
	for i := range c.shifts {
		if i/high%2 == 1 {
			c.shifts[i] = step
		}
	}
	return true
}

// repeats is the number of lengths after which a list repeats, its own length
// when it does not: [60 3 60 3 60] repeats after 2.
func repeats(fs []float64) int {
	for n := 1; n < len(fs); n++ {
		same := true
		for i := n; i < len(fs) && same; i++ {
			same = fs[i] == fs[i-n]
		}
		if same {
			return n
		}
	}
	return len(fs)
}

// rows checks the picture of the grid. Every fault of every row is told: its
// length, and each unknown key once, at its first place.
func (r *layer) rows(pointer string, rows []Row) (c cells, ok bool) {
	total := 0
	for _, row := range rows {
		total += row.Len()
	}
	if len(rows) == 0 {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: "a grid needs rows", Found: "a list of 0", Allowed: "at least 1"})
		return c, false
	}
	if !r.room(pointer, max(total, len(rows))) {
		return c, false
	}
	unknown := map[string]bool{}
	first := -1 // blocks in the first row
	ok = true
	for i, row := range rows {
		if r.full() {
			return c, false
		}
		keys := row.Blocks()
		n, known := r.row(pointer, i, row.Keys != nil, keys, unknown)
		ok = ok && known
		switch {
		case len(keys) == 0:
			r.add(fault.Fault{Rule: fault.WrongLength, Pointer: at(pointer, i), Detail: fmt.Sprintf("row %d has no blocks", i+1), Found: "nothing", Allowed: "at least one block"})
			ok = false
		case first < 0:
			first = n
		case n != first:
			r.add(fault.Fault{Rule: fault.Ragged, Pointer: at(pointer, i), Detail: fmt.Sprintf("row %d has %d blocks, the first has %d", i+1, n, first),
				Found: fmt.Sprintf("%d blocks", n), Allowed: fmt.Sprintf("%d blocks", first)})
			ok = false
		}
		c.keys = append(c.keys, keys)
	}
	return c, ok
}

// row looks up the keys of a row and counts its blocks; blanks that are no key
// are not counted.
func (r *layer) row(pointer string, i int, list bool, keys []string, unknown map[string]bool) (n int, ok bool) {
	ok = true
	for k, key := range keys {
		if r.knows(key) {
			n++
			continue
		}
		ok = false
		blank := key == " " || key == "\t"
		if !blank {
			n++
		}
		if unknown[key] || r.full() {
			continue
		}
		unknown[key] = true
		place := at(pointer, i)
		if list {
			place = at(place, k)
		}
		where := fmt.Sprintf("row %d, block %d: ", i+1, k+1)
		if blank {
			r.add(fault.Fault{Rule: fault.UnknownName, Pointer: place, Detail: where + "a blank is no block", Found: strconv.Quote(key), Allowed: "one letter a block", Fix: "leave the spaces out"})
			continue
		}
		r.noStock(place, key, where, true)
	}
	return n, ok
}

func (r *layer) knows(key string) bool {
	if _, ok := r.board.Stock[key]; ok {
		return true
	}
	_, ok := r.file.Tiles[key]
	return ok
}

// rings checks the table of ring angles beside the rows: one for each block.
func (r *layer) rings(pointer string, rings [][]*Ring, c *cells) bool {
	if rings == nil {
		return true
	}
	if len(rings) != len(c.keys) {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: "one row of ring angles for each row of blocks is needed",
			Found: fmt.Sprintf("a list of %d", len(rings)), Allowed: fmt.Sprintf("exactly %d elements", len(c.keys))})
		return false
	}
	ok := true
	for i, row := range rings {
		if len(row) != len(c.keys[i]) {
			r.add(fault.Fault{Rule: fault.WrongLength, Pointer: at(pointer, i), Detail: fmt.Sprintf("row %d: one ring angle for each block is needed", i+1),
				Found: fmt.Sprintf("a list of %d", len(row)), Allowed: fmt.Sprintf("exactly %d elements", len(c.keys[i])), Fix: "null for a block whose ring angle its stock tells"})
			ok = false
			continue
		}
		for k, ring := range row {
			_, tile := r.file.Tiles[c.keys[i][k]]
			switch {
			case ring == nil || r.full():
			case tile:
				r.fault(fault.NotAllowed, at(at(pointer, i), k), fmt.Sprintf("row %d, block %d is a tile of several pieces", i+1, k+1), "null, and the rings under pieces")
				ok = false
			case !ring.Unknown:
				ok = r.number(at(pointer, i), "/"+strconv.Itoa(k), ring.Angle, anyAngle) && ok
			}
		}
	}
	c.rings = rings
	return ok
}

// layCells places the blocks, row by row from the top.
func (r *layer) layCells(c cells) {
	xs := edges(c.widths)
	ys := make([]float64, len(c.heights)+1) // top to bottom
	for i, up := range edges(reversed(c.heights)) {
		ys[len(ys)-1-i] = up
	}
	left, right := 0.0, xs[len(xs)-1] // of the part that every row covers
	least := left
	if c.shifts != nil {
		least = c.shifts[0]
		for _, s := range c.shifts {
			left, least = max(left, s), min(least, s)
		}
		right += least
	}
	for i, keys := range c.keys {
		shift := 0.0
		if c.shifts != nil {
			shift = c.shifts[i]
		}
		pointer := at("/field/grid/rows", i)
		list := r.file.Field.Grid.Rows[i].Keys != nil
		for k, key := range keys {
			box := block{x0: xs[k] + shift, x1: xs[k+1] + shift, y0: ys[i+1], y1: ys[i]}
			var ring *Ring
			if c.rings != nil {
				ring = c.rings[i][k]
			}
			for _, p := range r.cell(box, key, "r"+strconv.Itoa(i+1)+"c"+strconv.Itoa(k+1), ring) {
				p.Row, p.Col = i, k
				p.Pointer = pointer
				if list {
					p.Pointer = at(pointer, k)
				}
				if c.trimmed && left > least && (box.x0 < left || box.x1 > right) {
					p.Outline = clip(clip(p.Outline, left, true), right, false)
					if p.Outline = canonical(p.Outline); len(p.Outline) < 3 {
						if r.gone == nil {
							r.gone = map[string]bool{}
						}
						r.gone[p.ID] = true
						continue // a block, or a tile's corner, that the saw took whole
					}
				}
				r.pieces = append(r.pieces, p)
			}
		}
	}
	if len(r.pieces) == 0 {
		r.fault(fault.Construction, "/field/grid/stagger", "the rows are shifted so far that trimming leaves nothing", "shifts smaller than the field is wide")
	}
}
