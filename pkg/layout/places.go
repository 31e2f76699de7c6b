package layout

import (
	"fmt"
	"strings"
)

// WherePiece names a piece by what can be counted on the board, rows from the top
// and blocks from the left, as pictures number them: "block 4 of row 3", "the left
// border", "piece p7".
func (b *Board) WherePiece(i int) string {
	p := &b.Pieces[i]
	switch {
	case p.Border >= 0:
		return b.borderWords(p)
	case p.Row < 0:
		return "piece " + p.ID
	}
	return blockWords(p) + fmt.Sprintf(" of row %d", p.Row+1)
}

// WhereJoint names a glue line by what it lies between: "row 4, between block 4 and
// block 5"; where columns run through, "column 3, between row 4 and row 5".
func (b *Board) WhereJoint(j int) string {
	jt := &b.Joints[j]
	p, q := &b.Pieces[jt.A], &b.Pieces[jt.B]
	text := fmt.Sprintf("between %s and %s", b.WherePiece(jt.A), b.WherePiece(jt.B))
	whole := !strings.Contains(p.ID+q.ID, ".")
	switch {
	case p.Row < 0 || q.Row < 0:
	case p.Row == q.Row:
		if p.Col > q.Col {
			p, q = q, p
		}
		text = fmt.Sprintf("row %d, between %s and %s", p.Row+1, blockWords(p), blockWords(q))
	case p.Col == q.Col && whole && b.Rows > 0:
		text = fmt.Sprintf("column %d, between row %d and row %d", p.Col+1, min(p.Row, q.Row)+1, max(p.Row, q.Row)+1)
	}
	if _, number, several := strings.Cut(jt.ID, "#"); several {
		text += ", their seam " + number
	}
	return text
}

// tileWords tell the parts of a block that is cut, see block.parts.
var tileWords = map[string]string{"n": "upper", "e": "right", "s": "lower", "w": "left",
	"nw": "upper left", "se": "lower right", "ne": "upper right", "sw": "lower left"}

// blockWords is a block of the field within its row.
func blockWords(p *Piece) string {
	text := fmt.Sprintf("block %d", p.Col+1)
	if _, part, cut := strings.Cut(p.ID, "."); cut {
		text = partWords(part) + text
	}
	return text
}

// partWords name a part of a block that is cut: a triangle by its side, a layer by
// its number from the left or the top.
func partWords(part string) string {
	if side, ok := tileWords[part]; ok {
		return "the " + side + " part of "
	}
	return "layer " + part + " of "
}

func (b *Board) borderWords(p *Piece) string {
	parts := strings.Split(p.ID, ".") // "b1.left.2"
	text := "the " + parts[1] + " border"
	if len(b.Borders) > 1 {
		text = fmt.Sprintf("the %s of border %d", parts[1], p.Border+1)
	}
	if len(parts) > 2 {
		text = "block " + parts[2] + " of " + text
	}
	if len(parts) > 3 {
		text = partWords(parts[3]) + text
	}
	return text
}
