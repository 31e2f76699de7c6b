package arrange

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// option is one piece of the board that may lie in a place, in one position.
type option struct {
	item int
	pos  position
}

// group says what a piece is turned with, under a key of its own: nothing for a
// block.
type group struct{ unit, key, name string }

// options lists what may lie in every place, the present first, and what each
// place is turned with. Within a group the nth options go together.
func options(f *layout.File, b *layout.Board, glued []string) ([][]option, []group) {
	out, in := make([][]option, len(b.Pieces)), make([]group, len(b.Pieces))
	if f.Field.Build != nil {
		built(b, glued, out, in)
	}
	for i := range b.Pieces {
		if out[i] != nil {
			continue
		}
		p := &b.Pieces[i]
		in[i].unit, in[i].name = Block, p.ID
		ways := inStrip(p, positionsOf(p))
		if isGlued(b, glued, i) {
			ways = ways[:1]
		}
		for _, pos := range ways {
			out[i] = append(out[i], option{i, pos})
		}
		if n, ok := stripNumber(p.Pointer); ok {
			in[i] = group{Strip, p.Pointer, fmt.Sprintf("strip %d", n+1)}
		}
	}
	if f.Field.Build != nil {
		return out, in
	}
	for _, cell := range tiles(b) {
		if slices.ContainsFunc(cell, func(i int) bool { return isGlued(b, glued, i) }) {
			continue
		}
		turned := cellOptions(b, cell)
		for k, i := range cell {
			id, corner, _ := strings.Cut(b.Pieces[i].ID, ".")
			if len(turned[k]) > 1 {
				out[i], in[i] = turned[k], group{Stick, id, id}
				continue
			}
			// The stick as a whole has no other way to lie without changing the picture; its
			// parts can be turned before it is glued, in all that is cut from it.
			key := tileKey(f, &b.Pieces[i]) + "." + corner
			in[i] = group{Part, key, "part " + key}
		}
	}
	return out, in
}

// tileKey is the key of the tile a piece of a cell belongs to.
func tileKey(f *layout.File, p *layout.Piece) string {
	if g := f.Field.Grid; g != nil && p.Row < len(g.Rows) {
		if keys := g.Rows[p.Row].Blocks(); p.Col < len(keys) {
			return keys[p.Col]
		}
	}
	return p.ID
}

// tiles lists the cells that are cut into triangles, each by its pieces.
func tiles(b *layout.Board) [][]int {
	var out [][]int
	at := map[[2]int]int{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		if p.Border >= 0 || p.Row < 0 || !strings.Contains(p.ID, ".") {
			continue
		}
		key := [2]int{p.Row, p.Col}
		k, ok := at[key]
		if !ok {
			k = len(out)
			at[key] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// cellOptions lists what may lie in the places of a cell when the stick it is cut
// from is turned whole: the symmetries of the cell that take every triangle to
// one of the same stock, so that the picture stays. Only the present way when a
// piece may not be turned.
func cellOptions(b *layout.Board, cell []int) [][]option {
	out := make([][]option, len(cell))
	lo, hi := layout.XY{math.Inf(1), math.Inf(1)}, layout.XY{math.Inf(-1), math.Inf(-1)}
	free := true
	for k, i := range cell {
		p := &b.Pieces[i]
		out[k] = []option{{i, position{}}}
		free = free && p.Grain.Up && !p.RingUnknown
		for _, q := range p.Outline {
			for a := range q {
				lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
			}
		}
	}
	if !free {
		return out
	}
	centre := layout.XY{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
	turns := []float64{0, 180}
	if math.Abs(hi[0]-lo[0]-hi[1]+lo[1]) < fits {
		turns = []float64{0, 90, 180, -90}
	}
	for _, over := range []bool{false, true} {
		for _, t := range turns {
			g := position{over, t}
			to, ok := cellMap(b, cell, centre, g)
			if ok && cellDiffers(b, out, to, g) {
				for k, item := range to {
					out[k] = append(out[k], option{item, g})
				}
			}
		}
	}
	return out
}

// cellMap tells which piece of a cell comes to lie in each of its places when the
// cell is turned about its centre.
func cellMap(b *layout.Board, cell []int, centre layout.XY, g position) ([]int, bool) {
	to := make([]int, len(cell))
	for k, place := range cell {
		to[k] = -1
		want := b.Pieces[place].Centre
		for _, i := range cell {
			c := b.Pieces[i].Centre
			q := g.of(layout.XY{c[0] - centre[0], c[1] - centre[1]})
			if math.Hypot(q[0]+centre[0]-want[0], q[1]+centre[1]-want[1]) < fits && b.Pieces[i].Stock == b.Pieces[place].Stock {
				to[k] = i
			}
		}
		if to[k] < 0 {
			return nil, false
		}
	}
	return to, true
}

// cellDiffers reports whether a way puts the rings of any piece of a cell anywhere
// new.
func cellDiffers(b *layout.Board, known [][]option, to []int, g position) bool {
	for w := range known[0] {
		same := true
		for k, item := range to {
			p, was := &b.Pieces[item], known[k][w]
			q := &b.Pieces[was.item]
			if (p.Pith == nil) != (q.Pith == nil) {
				same = false
				continue
			}
			if p.Pith == nil {
				same = same && axisApart(g.ring(p.RingAngle), was.pos.ring(q.RingAngle)) < 1e-6
				continue
			}
			x, y := g.of(pithFrom(p)), was.pos.of(pithFrom(q))
			same = same && math.Hypot(x[0]-y[0], x[1]-y[1]) < fits
		}
		if same {
			return false
		}
	}
	return true
}

// pithFrom is the pith of a piece told from its centre.
func pithFrom(p *layout.Piece) layout.XY {
	return layout.XY{p.Pith[0] - p.Centre[0], p.Pith[1] - p.Centre[1]}
}
