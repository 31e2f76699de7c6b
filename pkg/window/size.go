package window

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
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
func borderWindow(ctx context.Context, f *layout.File, b *layout.Board, c check.Conditions) (*SizeWindow, error) {
	if len(f.Borders) == 0 {
		return nil, nil
	}
	w := &SizeWindow{}
	step := borderStep
	if f.Units == "in" {
		step = quantity.MillimetresPerInch / 64
	}
	try := func(width float64) (bool, error) {
		wide := f.Clone()
		for i := range wide.Borders {
			wide.SetBorderWidth(i, width)
		}
		v, faults := wide.Board()
		if len(faults) > 0 {
			return false, nil // too narrow or too wide to build: no answer from here
		}
		for i := range v.Borders {
			if math.Abs(v.Borders[i].Width-width) > layout.Snap {
				return false, nil // of slices of a panel that rows are made of too
			}
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
	if err := halve(lo, hi, func(n int) (bool, error) { return try(float64(n) * step) }); err != nil {
		return nil, err
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
func fieldWindow(ctx context.Context, f *layout.File, b *layout.Board, c check.Conditions) (*SizeWindow, error) {
	if b.Rows == 0 || b.Cols == 0 {
		return nil, nil
	}
	w := &SizeWindow{}
	try := func(rows int) (bool, error) {
		cols := max(1, int(math.Round(float64(rows)*float64(b.Cols)/float64(b.Rows))))
		other := f.Clone()
		other.Repeat(rows, cols)
		v, faults := other.Board()
		if len(faults) > 0 {
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
	if err := halve(lo, hi, try); err != nil {
		return nil, err
	}
	return w, nil
}

// halve tries sizes between one that is safe and one that is not until they are
// neighbours; nothing without a safe one.
func halve(safe, not int, try func(int) (bool, error)) error {
	for safe > 0 && not-safe > 1 {
		mid := (safe + not) / 2
		ok, err := try(mid)
		if err != nil {
			return err
		}
		if ok {
			safe = mid
		} else {
			not = mid
		}
	}
	return nil
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
