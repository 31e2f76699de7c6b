package influence

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// Flat is the deflection, mm, below which a board is flat: round-off of the
// solution, far below any plane a maker can sand.
const Flat = 1e-6

// shape is how a board is bent and sized.
type shape struct{ cup, bow, twist, width, height float64 }

// squareness is the difference of width and height, over the larger, below which
// a board is square: round-off of inches and of sums of blocks.
const squareness = 1e-6

// cupsAlongX says whether the cup is told along x: the narrow way of the board.
// A square board has none; there it is the way that curves more when all its
// wood is wetter on one face, or, where that is a draw, when all of it swells
// evenly. Turning a board by a right angle so keeps its cup and bow.
func (m *Model) cupsAlongX() bool {
	b := m.Board
	if d := b.Width - b.Height; math.Abs(d) > squareness*max(b.Width, b.Height) {
		return d < 0
	}
	for _, of := range [2][]plate.Curve{m.curves, m.warps} {
		var xx, yy float64
		for k := range of {
			xx, yy = xx+of[k].XX, yy+of[k].YY
		}
		if d := math.Abs(xx) - math.Abs(yy); math.Abs(d) > squareness*max(math.Abs(xx), math.Abs(yy)) {
			return d > 0
		}
	}
	return false
}

// sizeAt gives the change of the board's extent [mm].
func (m *Model) sizeAt(l *Load) (width, height float64) {
	return m.Plate.Extent(combine(m.rims, l.Mean))
}

// shapeAt sums the shapes of all kinds. Cup and bow are the rise of the edges
// over the middle, mm (positive: edges up); twist is how far one corner stands
// off the plane of the others.
func (m *Model) shapeAt(l *Load) shape {
	var s shape
	b := m.Board
	s.width, s.height = m.sizeAt(l)
	bend := func(f []float64, of []plate.Curve) {
		if of == nil || f == nil {
			return
		}
		for k, c := range of {
			s.bow += f[k] * c.XX * b.Width * b.Width / 8
			s.cup += f[k] * c.YY * b.Height * b.Height / 8
			s.twist += f[k] * c.XY * b.Width * b.Height
		}
	}
	bend(l.Slope, m.curves)
	bend(l.Mean, m.warps)
	for _, v := range [3]*float64{&s.cup, &s.bow, &s.twist} {
		if math.Abs(*v) < Flat {
			*v = 0
		}
	}
	if m.acrossX {
		s.cup, s.bow = s.bow, s.cup
	}
	return s
}

// combine sums per-kind displacements, mm per % MC times % MC.
func combine(x [][]float64, f []float64) []float64 {
	out := make([]float64, len(x[0]))
	for k := range x {
		if f[k] == 0 {
			continue
		}
		for i, v := range x[k] {
			out[i] += f[k] * v
		}
	}
	return out
}
