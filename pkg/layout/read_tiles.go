package layout

import (
	"sort"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

// tile is a grid cell cut on one diagonal or both.
type tile struct {
	cut   string
	stock []string
}

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

func (r *reader) readTiles(v strict.Value) {
	r.tiles = map[string]tile{}
	if !v.Here() {
		return
	}
	members, _ := v.AnyObject(0, r.limits.Pieces)
	for _, m := range members {
		if _, twice := r.board.Stock[m.Key()]; twice {
			m.Fault(fault.NotAllowed, "a tile has the key of a stock", "a key no stock has")
		}
		if n := len([]rune(m.Key())); n < 1 || n > maxKeyRunes {
			m.Fault(fault.WrongLength, "a tile needs a key of 1 to 32 letters", "1 to 32 letters")
		}
		r.tiles[m.Key()] = r.oneTile(m)
	}
}

func (r *reader) oneTile(v strict.Value) tile {
	m := v.Object("cut", "stock")
	if m == nil {
		return tile{}
	}
	var t tile
	t.cut, _ = m.Need("cut").Word("rising", "falling", "both")
	n := 2
	if t.cut == "both" {
		n = 4
	}
	items, ok := m.Need("stock").List(n, n)
	for _, item := range items {
		key, good := r.stockKey(item)
		ok = ok && good
		t.stock = append(t.stock, key)
	}
	if !ok || t.cut == "" {
		return tile{} // the file is refused; the key stays known
	}
	return t
}

// stockKey takes the key of a stock.
func (r *reader) stockKey(v strict.Value) (string, bool) {
	key, ok := v.Text(maxKeyRunes)
	if !ok {
		return "", false
	}
	if _, ok = r.board.Stock[key]; !ok {
		r.noStock(v, key, false)
	}
	return key, ok
}

// cell makes the piece or pieces of one grid cell. The pith of a whole block is
// told from the block's centre, even when its end is trimmed later.
func (r *reader) cell(box block, key, id string) []Piece {
	t, isTile := r.tiles[key]
	if !isTile {
		s := r.board.Stock[key]
		p := fieldPiece(id, s, box.outline())
		p.Pith = absolute(s.Pith, s.Grain, box.centre())
		return []Piece{p}
	}
	if t.cut == "" {
		return nil
	}
	names, outlines := box.parts(t.cut)
	pieces := make([]Piece, len(names))
	for i, name := range names {
		s := r.board.Stock[t.stock[i]]
		pieces[i] = fieldPiece(id+"."+name, s, outlines[i])
		_, centre := areaAndCentre(outlines[i])
		pieces[i].Pith = absolute(s.Pith, s.Grain, centre)
	}
	return pieces
}

// fieldPiece is a piece cut from a stock as the stock lies.
func fieldPiece(id string, s Stock, outline []XY) Piece {
	return Piece{
		ID: id, Part: "field", Stock: s.Key, Species: s.Species, Grain: s.Grain, RingAngle: s.RingAngle,
		Moisture: s.Moisture, Outline: outline, Row: -1, Col: -1, Border: -1,
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

func sorted(words []string) []string {
	sort.Strings(words)
	return words
}
