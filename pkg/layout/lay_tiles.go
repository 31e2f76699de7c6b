package layout

import (
	"fmt"
	"maps"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
)

// block is the rectangle of a grid cell.
type block struct{ x0, x1, y0, y1 float64 }

func (b block) centre() XY { return XY{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2} }

func (b block) outline() []XY {
	return []XY{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}
}

// parts gives the triangles of a cut and their suffixes, in the order in which
// a tile names its stock: rising upper left, lower right; falling upper right,
// lower left; both top, right, bottom, left.
func (b block) parts(cut string) (names []string, outlines [][]XY) {
	sw, se, ne, nw, mid := XY{b.x0, b.y0}, XY{b.x1, b.y0}, XY{b.x1, b.y1}, XY{b.x0, b.y1}, b.centre()
	switch cut {
	case "rising":
		return []string{"nw", "se"}, [][]XY{{sw, ne, nw}, {sw, se, ne}}
	case "falling":
		return []string{"ne", "sw"}, [][]XY{{nw, se, ne}, {nw, sw, se}}
	default:
		return []string{"n", "e", "s", "w"}, [][]XY{{nw, mid, ne}, {ne, mid, se}, {sw, se, mid}, {nw, sw, mid}}
	}
}

// tiles checks the cells that are cut.
func (r *layer) tiles() {
	for _, key := range slices.Sorted(maps.Keys(r.file.Tiles)) {
		if r.full() {
			return
		}
		t, pointer := r.file.Tiles[key], under("/tiles", key)
		if _, twice := r.board.Stock[key]; twice {
			r.fault(fault.NotAllowed, pointer, "a tile has the key of a stock", "a key no stock has")
		}
		if n := len([]rune(key)); n < 1 || n > maxKeyRunes {
			r.fault(fault.WrongLength, pointer, "a tile needs a key of 1 to 32 letters", "1 to 32 letters")
		}
		n := 2
		if r.word(pointer+"/cut", t.Cut, cuts...) && t.Cut == "both" {
			n = 4
		}
		if len(t.Stock) != n {
			r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer + "/stock", Detail: fmt.Sprintf("the list has %d elements", len(t.Stock)), Allowed: fmt.Sprintf("exactly %d elements", n)})
		}
		for i, s := range t.Stock {
			if r.stockKey(at(pointer+"/stock", i), s) {
				r.needRing(s)
			}
		}
	}
}

// cell makes the piece or pieces of one grid cell. The pith of a whole block is
// told from the block's centre, even when its end is trimmed later.
func (r *layer) cell(box block, key, id string, ring *Ring) []Piece {
	t, isTile := r.file.Tiles[key]
	if !isTile {
		s := r.board.Stock[key]
		if ring == nil {
			r.needRing(key)
		} else {
			s.RingAngle, s.RingUnknown, s.Pith = within180(ring.Angle), ring.Unknown, nil
		}
		p := fieldPiece(id, s, box.outline())
		p.Pith = absolute(s.Pith, s.Grain, box.centre())
		return []Piece{p}
	}
	names, outlines := box.parts(t.Cut)
	pieces := make([]Piece, min(len(names), len(t.Stock)))
	for i := range pieces {
		s := r.board.Stock[t.Stock[i]]
		pieces[i] = fieldPiece(id+"."+names[i], s, outlines[i])
		_, centre := areaAndCentre(outlines[i])
		pieces[i].Pith = absolute(s.Pith, s.Grain, centre)
	}
	return pieces
}

// fieldPiece is a piece cut from a stock as the stock lies.
func fieldPiece(id string, s Stock, outline []XY) Piece {
	return Piece{
		ID: id, Part: "field", Stock: s.Key, Species: s.Species, Grain: s.Grain, RingAngle: s.RingAngle, RingUnknown: s.RingUnknown,
		Moisture: s.Moisture, Outline: outline, Row: -1, Col: -1, Border: -1, Stick: -1, Slice: -1,
	}
}

// absolute turns a pith told from a piece's centre into board coordinates, see
// Piece.Pith.
func absolute(p *XY, g Grain, centre XY) *XY {
	if p == nil {
		return nil
	}
	if g.Up {
		return &XY{p[0] + centre[0], p[1] + centre[1]}
	}
	return &XY{dot(centre, acrossFibres(g.Angle)) + p[0], p[1]}
}
