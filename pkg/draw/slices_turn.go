package draw

// turnWords say what a turn does, to the hand and to the wood.
var turnWords = map[string][2]string{
	"none":        {"No slice is turned.", "Every row is alike."},
	"end-for-end": {"Turn slices 2, 4, 6 … half round on the bench.", "Strips in reverse order; rings keep their angle; a pith goes to the opposite side."},
	"over":        {"Roll slices 2, 4, 6 … over their long edge, the lower sawn face up.", "Strips keep their order; the ring angle changes its sign; a pith goes from top to bottom."},
	"both":        {"Roll slices 2, 4, 6 … over and turn them half round.", "Strips in reverse order; the ring angle changes its sign; a pith goes from left to right."},
}

// laid is a strip as it lies in a slice.
type laid struct {
	Strip
	index int // from 0, in the order of the panel
}

// turnedStrips gives the strips of a slice after its turn, left to right. A
// half turn about z takes (x, y) to (−x, −y); rolling over x to (x, −y); both
// to (−x, y). The axis of the rings keeps its angle under the first and changes
// sign under the other two.
func turnedStrips(strips []Strip, turn string) []laid {
	sx, sy := 1.0, 1.0
	switch turn {
	case "end-for-end":
		sx, sy = -1, -1
	case "over":
		sy = -1
	case "both":
		sx = -1
	}
	out := make([]laid, len(strips))
	for i, p := range strips {
		p.Ring *= sx * sy
		if p.Pith != nil {
			p.Pith = &xy{sx * p.Pith[0], sy * p.Pith[1]}
		}
		k := i
		if sx < 0 {
			k = len(strips) - 1 - i
		}
		out[k] = laid{p, i}
	}
	return out
}
