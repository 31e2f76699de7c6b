package window

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/edit"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// Bounds of the sizes tried.
const (
	leastBorder  = 3.0   // mm
	mostBorder   = 100.0 // mm
	borderGrowth = 1.6   // from one width to the next, until one is not safe
	borderStep   = 0.5   // mm; 1/64 in on a board in inches
	mostBlocks   = 400   // of a field
	mostDoubling = 6
)

// borderWindow looks for the widest border up to which all are safe; all borders
// of the board get the same width. nil without a border.
func borderWindow(ctx context.Context, b *layout.Board, c check.Conditions) (*SizeWindow, error) {
	if len(b.Borders) == 0 {
		return nil, nil
	}
	w := &SizeWindow{}
	unit, step := 1.0, borderStep
	if b.Units == "in" {
		unit, step = quantity.MillimetresPerInch, quantity.MillimetresPerInch/64
	}
	try := func(width float64) (bool, error) {
		v, _, err := edit.Board(b, func(t edit.Tree) {
			for _, br := range edit.List(t, "borders") {
				br["width"] = width / unit
			}
		})
		if err != nil {
			return false, nil // too narrow or too wide to build: no answer from here
		}
		u, ok, err := judge(ctx, v, c)
		if err == nil && ok && width > w.Largest {
			w.Largest, w.Utilisation = width, u
		}
		if err == nil && !ok && (w.Next == 0 || width < w.Next) {
			w.Next = width
		}
		return ok, err
	}
	// Stress does not always grow with the width, so the first unsafe one is looked
	// for from below, the present widths among those tried.
	lo, hi := 0, 0 // steps
	for _, n := range ladder(b, step) {
		ok, err := try(float64(n) * step)
		if err != nil {
			return nil, err
		}
		if !ok {
			hi = n
			break
		}
		lo = n
	}
	for lo > 0 && hi-lo > 1 {
		mid := (lo + hi) / 2
		ok, err := try(float64(mid) * step)
		if err != nil {
			return nil, err
		}
		if ok {
			lo = mid
		} else {
			hi = mid
		}
	}
	return w, nil
}

// ladder lists the widths of a border to try from below, in steps [mm]: growing by
// borderGrowth, with the widths the borders have.
func ladder(b *layout.Board, step float64) []int {
	var out []int
	for at := leastBorder; ; at = math.Min(mostBorder, at*borderGrowth) {
		out = append(out, int(math.Round(at/step)))
		if at == mostBorder {
			break
		}
	}
	for i := range b.Borders {
		if n := int(math.Round(b.Borders[i].Width / step)); n > out[0] && n < out[len(out)-1] {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// fieldWindow makes the field of a grid larger and smaller by repeating its
// pattern or cutting it off, the proportions kept. nil for other fields.
func fieldWindow(ctx context.Context, b *layout.Board, c check.Conditions) (*SizeWindow, error) {
	if b.Rows == 0 || b.Cols == 0 {
		return nil, nil
	}
	w := &SizeWindow{}
	try := func(rows int) (bool, error) {
		cols := max(1, int(math.Round(float64(rows)*float64(b.Cols)/float64(b.Rows))))
		v, _, err := edit.Board(b, func(t edit.Tree) { repeat(t, rows, cols) })
		if err != nil {
			return false, nil
		}
		u, ok, err := judge(ctx, v, c)
		if err != nil {
			return false, err
		}
		size := fieldSize(v)
		if ok && size > w.Largest {
			w.Largest, w.Utilisation, w.Rows, w.Columns = size, u, rows, cols
		}
		if !ok && (w.Next == 0 || size < w.Next) {
			w.Next = size
		}
		return ok, nil
	}
	most := b.Rows
	for r := b.Rows; r*int(math.Round(float64(r)*float64(b.Cols)/float64(b.Rows))) <= mostBlocks; r++ {
		most = r
	}
	// Upwards by doubling while it is safe, downwards by halving while it is not.
	lo, hi := 0, 0
	rows := b.Rows
	for range mostDoubling {
		ok, err := try(rows)
		if err != nil {
			return nil, err
		}
		if ok {
			if lo = rows; hi > 0 || lo == most {
				break
			}
			rows = min(most, 2*rows)
		} else {
			if hi = rows; lo > 0 || hi == 1 {
				break
			}
			rows = max(1, rows/2)
		}
	}
	for lo > 0 && hi-lo > 1 {
		mid := (lo + hi) / 2
		ok, err := try(mid)
		if err != nil {
			return nil, err
		}
		if ok {
			lo = mid
		} else {
			hi = mid
		}
	}
	return w, nil
}

// fieldSize is the longer side of the field, mm.
func fieldSize(b *layout.Board) float64 {
	lo, hi := layout.XY{math.Inf(1), math.Inf(1)}, layout.XY{math.Inf(-1), math.Inf(-1)}
	for i := range b.Pieces {
		if b.Pieces[i].Border >= 0 {
			continue
		}
		for _, q := range b.Pieces[i].Outline {
			for a := range q {
				lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
			}
		}
	}
	return math.Round(math.Max(hi[0]-lo[0], hi[1]-lo[1])*100) / 100
}

// repeat gives the grid of a file so many rows and columns of its own pattern.
func repeat(t edit.Tree, rows, cols int) {
	field, _ := t["field"].(edit.Tree)
	grid, _ := field["grid"].(edit.Tree)
	if grid == nil {
		return
	}
	var pattern [][]any
	if list, ok := grid["rows"].([]any); ok {
		for _, r := range list {
			pattern = append(pattern, keysOf(r))
		}
	}
	out := make([][]any, rows)
	for r := range out {
		from := pattern[r%len(pattern)]
		for k := 0; k < cols; k++ {
			out[r] = append(out[r], from[k%len(from)])
		}
	}
	grid["rows"] = out
	lengths(grid, "columns", cols)
	lengths(grid, "row_heights", rows)
}

// keysOf reads a row of a grid: letters, or keys.
func keysOf(row any) []any {
	if s, ok := row.(string); ok {
		var out []any
		for _, r := range s {
			out = append(out, string(r))
		}
		return out
	}
	list, _ := row.([]any)
	return list
}

// lengths repeats a list of lengths.
func lengths(grid edit.Tree, key string, n int) {
	list, ok := grid[key].([]any)
	if !ok || len(list) == 0 {
		return
	}
	out := make([]any, n)
	for i := range out {
		out[i] = list[i%len(list)]
	}
	grid[key] = out
}
