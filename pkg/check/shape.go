package check

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// flat is the deflection, mm, below which a board is flat: round-off of the
// solution, far below any plane a maker can sand.
const flat = 1e-6

// shape is how a board is bent and sized.
type shape struct{ cup, bow, twist, width, height float64 }

// prepareShapes fits a surface of second order to the deflection of every kind.
func (m *Model) prepareShapes() {
	m.moves = make([]plate.Move, len(m.kinds))
	for k := range m.kinds {
		m.moves[k] = m.Plate.Moves(m.shift[k])
	}
	if m.bend == nil {
		return
	}
	m.curves = make([]plate.Curve, len(m.kinds))
	for k := range m.kinds {
		m.curves[k] = m.Plate.Curves(m.bend[k])
	}
	if m.warp == nil {
		return
	}
	m.warps = make([]plate.Curve, len(m.kinds))
	for k := range m.kinds {
		m.warps[k] = m.Plate.Curves(m.warp[k])
	}
}

// shapeAt sums the shapes of all kinds. Cup and bow are the rise of the edges
// over the middle, mm (positive: edges up); twist is how far one corner stands
// off the plane of the others.
func (m *Model) shapeAt(l *load) shape {
	var s shape
	b := m.board
	for k := range m.kinds {
		s.width += l.mean[k] * m.moves[k].Exx * b.Width
		s.height += l.mean[k] * m.moves[k].Eyy * b.Height
		bend := func(f float64, c *plate.Curve) {
			s.bow += f * c.XX * b.Width * b.Width / 8
			s.cup += f * c.YY * b.Height * b.Height / 8
			s.twist += f * c.XY * b.Width * b.Height
		}
		if m.curves != nil && l.slope != nil {
			bend(l.slope[k], &m.curves[k])
		}
		if m.warps != nil {
			bend(l.mean[k], &m.warps[k])
		}
	}
	for _, v := range [3]*float64{&s.cup, &s.bow, &s.twist} {
		if math.Abs(*v) < flat {
			*v = 0
		}
	}
	if b.Width < b.Height { // cup is told across the narrow way
		s.cup, s.bow = s.bow, s.cup
	}
	return s
}
