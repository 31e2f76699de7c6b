package oracle

import "fmt"

// The patch of the decks that are wetted in part: 60 × 60 mm round 60, 50, which reaches
// from within blocks to their edges.
const (
	patchDry = 12.0 // % MC
	patchWet = 15.0
)

var patchFrom, patchTo = Vec2{30, 20}, Vec2{90, 80}

// patched is a field of 3 × 2 blocks with rings at random, cut at the edges of the patch
// as well: what lies under it is wetter.
func patched() []Piece {
	turn := randomRings(5)
	var out []Piece
	for r := range 2 {
		for c := range 3 {
			name, ring := turn(c, r)
			xs := cuts(40*float64(c), 40*float64(c+1), patchFrom[0], patchTo[0])
			ys := cuts(40*float64(r), 40*float64(r+1), patchFrom[1], patchTo[1])
			for i := range len(xs) - 1 {
				for j := range len(ys) - 1 {
					to := patchDry
					if xs[i] >= patchFrom[0] && xs[i+1] <= patchTo[0] && ys[j] >= patchFrom[1] && ys[j+1] <= patchTo[1] {
						to = patchWet
					}
					out = append(out, endGrain(fmt.Sprintf("c%dr%d-%d%d", c, r, i, j), name, ring, patchDry, to, rect(xs[i], ys[j], xs[i+1], ys[j+1])...))
				}
			}
		}
	}
	return out
}

// cuts divides a stretch at those places that lie within it.
func cuts(from, to float64, at ...float64) []float64 {
	out := []float64{from}
	for _, x := range at {
		if x > from && x < to {
			out = append(out, x)
		}
	}
	return append(out, to)
}
