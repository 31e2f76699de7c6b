package layout

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// frame is a strip of the board that slices are laid on: its box, and the side of
// the board it is on. Along it runs u, counter-clockwise round the board as the
// fibres of a border do, so that v, 90° to the left, points to the field.
type frame struct {
	box  block
	side string
}

// turn is what carries a slice, made along x, onto the frame.
func (f frame) turn() motion {
	return map[string]motion{"right": {quarters: 1}, "top": {quarters: 2}, "left": {quarters: 3}}[f.side]
}

// long is the length [mm] along u.
func (f frame) long() float64 {
	if f.turn().swaps() {
		return f.box.y1 - f.box.y0
	}
	return f.box.x1 - f.box.x0
}

// cell is the part of the frame's box from u0 to u1.
func (f frame) cell(u0, u1 float64) block {
	b := f.box
	switch f.side {
	case "right":
		b.y0, b.y1 = f.box.y0+u0, f.box.y0+u1
	case "top":
		b.x0, b.x1 = f.box.x1-u1, f.box.x1-u0
	case "left":
		b.y0, b.y1 = f.box.y1-u1, f.box.y1-u0
	default:
		b.x0, b.x1 = f.box.x0+u0, f.box.x0+u1
	}
	b.x0, b.x1 = onto(onto(b.x0, f.box.x0), f.box.x1), onto(onto(b.x1, f.box.x0), f.box.x1)
	b.y0, b.y1 = onto(onto(b.y0, f.box.y0), f.box.y1), onto(onto(b.y1, f.box.y0), f.box.y1)
	return b
}

// slicesOn lays one slice of a panel, turned, on a frame that it fills. It gives
// the pieces of each stick, in order along u.
func (r *layer) slicesOn(l *laidPanel, turn motion, f frame) [][]Piece {
	cells := make([][]Piece, 0, len(l.sticks))
	u := 0.0
	reversed := turn.of(XY{1, 0})[0] < 0
	for k := range l.sticks {
		from := k
		if reversed {
			from = len(l.sticks) - 1 - k
		}
		w := l.edges[from+1] - l.edges[from]
		u0 := u
		if u += w; !reversed { // to the letter where the panel has its edges
			u0, u = l.edges[k], l.edges[k+1]
		}
		cells = append(cells, r.blocks(l, from, turn, f, u0, u))
	}
	return cells
}

// blocks makes the pieces that one stick gives in one slice; their ids are the
// suffixes of its parts.
func (r *layer) blocks(l *laidPanel, stick int, turn motion, f frame, u0, u1 float64) []Piece {
	s, thick := &l.sticks[stick], r.board.Build.Panels[l.index].Thickness
	box, all := f.cell(u0, u1), turn.then(f.turn())
	middle := box.centre()
	var pieces []Piece
	var centres []XY
	for i, p := range s.parts {
		stock := p.stock
		outline, centre := box.outline(), middle
		if len(s.parts) > 1 {
			of := planed(p.outline, thick)
			if len(of) < 3 {
				continue // the plane took it
			}
			outline = all.outline(of)
			for k, q := range outline {
				x, y := onto(onto(q[0]+middle[0], box.x0), box.x1), onto(onto(q[1]+middle[1], box.y0), box.y1)
				outline[k] = XY{x, y}
			}
			outline = fromLowest(outline)
			c := all.of(p.centre)
			centre = XY{c[0] + middle[0], c[1] + middle[1]}
		}
		var pith *XY
		stock.RingAngle, pith = all.rings(stock.RingAngle, stock.Pith)
		piece := fieldPiece("", stock, outline)
		piece.Pith = absolute(pith, piece.Grain, centre)
		piece.Stick, piece.StickPart, piece.Pointer = s.index, i, r.board.Build.Sticks[s.index].Pointer
		pieces, centres = append(pieces, piece), append(centres, XY{centre[0] - middle[0], centre[1] - middle[1]})
	}
	if len(s.parts) > 1 {
		for i, name := range suffixes(r.board.Build.Sticks[s.index].Cut, centres) {
			pieces[i].ID = name
		}
		// By name, so that a place of the board keeps its number whichever way a stick is turned.
		slices.SortStableFunc(pieces, func(a, b Piece) int { return cmp.Compare(a.ID, b.ID) })
	}
	return pieces
}

// fromLowest lets an outline begin at its lowest corner, the left one of two, as a box
// does: so it begins at the same place whichever way the stick was turned.
func fromLowest(of []XY) []XY {
	first := 0
	for i, p := range of {
		if dy := p[1] - of[first][1]; dy < -straight || dy < straight && p[0] < of[first][0]-straight {
			first = i
		}
	}
	return append(slices.Clone(of[first:]), of[:first]...)
}

// planed cuts away what lies more than half the thickness from the middle.
func planed(of []XY, thick float64) []XY {
	level := make([]XY, len(of))
	inside := true
	for i, p := range of {
		level[i] = XY{p[1], p[0]}
		inside = inside && math.Abs(p[1]) <= thick/2+Snap
	}
	if inside {
		return of
	}
	level = canonical(clip(clip(level, -thick/2, true), thick/2, false))
	out := make([]XY, len(level))
	for i, p := range level {
		out[len(level)-1-i] = XY{p[1], p[0]}
	}
	return out
}

// suffixes names the parts of a stick by where they come to lie: as the triangles
// of a tile, or layers by number from the left or the top.
func suffixes(cut string, centres []XY) []string {
	names := make([]string, len(centres))
	if cut == "layers" {
		order := make([]int, len(centres))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			if d := centres[a][0] - centres[b][0]; math.Abs(d) > Snap {
				return int(math.Copysign(1, d))
			}
			return int(math.Copysign(1, centres[b][1]-centres[a][1]))
		})
		for n, i := range order {
			names[i] = "." + strconv.Itoa(n+1)
		}
		return names
	}
	for i, c := range centres {
		ns, ew := "s", "w"
		if c[1] > 0 {
			ns = "n"
		}
		if c[0] > 0 {
			ew = "e"
		}
		switch {
		case cut != "both":
			names[i] = "." + ns + ew
		case math.Abs(c[0]) > Snap:
			names[i] = "." + ew
		default:
			names[i] = "." + ns
		}
	}
	return names
}
