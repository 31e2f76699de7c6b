package layout

import "strings"

// Joint finds a joint by its id, told from either side: "r3c4|r3c5" and
// "r3c5|r3c4" are the same joint. It walks the joints once.
func (b *Board) Joint(id string) (Joint, bool) {
	other := id
	if left, right, ok := strings.Cut(id, "|"); ok {
		number := ""
		if k := strings.IndexByte(right, '#'); k >= 0 {
			right, number = right[:k], right[k:]
		}
		other = right + "|" + left + number
	}
	for _, j := range b.Joints {
		if j.ID == id || j.ID == other {
			return j, true
		}
	}
	return Joint{}, false
}

// PieceByID finds a piece by its id.
func (b *Board) PieceByID(id string) (int, bool) {
	for i := range b.Pieces {
		if b.Pieces[i].ID == id {
			return i, true
		}
	}
	return -1, false
}

// Distinct lists what pieces have, each once, in the order of the pieces.
func (b *Board) Distinct(of func(*Piece) string) []string {
	var out []string
	seen := map[string]bool{}
	for i := range b.Pieces {
		if s := of(&b.Pieces[i]); !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}
