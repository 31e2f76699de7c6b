package influence

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/flatness"
	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// Standing is how a board lies on a flat top during a history, bottom face down.
type Standing struct {
	flatness.Stand         // when it lies worst
	Index          float64 // rise over its limit at worst, 1 at the limit: what lasts as long as counts
	Peak           float64 // the same, however short
	Hour           float64 // h
	Time           int     // its index in the history
	End            float64 // the index when the history ends, of the moisture alone: boards were measured to come back, so crushed wood keeps no set here
	Elastic        float64 // the index at worst if no wood gave way
}

// lies tells how the board lies at one time of a history.
func (m *Model) lies(s *Standing, c *LoadHistory, i int) {
	s.Stand = m.StandsAt(m.At(c, c.Shape, i, nil))
	elastic := m.shapeAt(m.At(c, c.Elastic, i, nil))
	s.Elastic = m.index(&elastic)
	end := m.shapeAt(m.At(c, c.Elastic, len(c.Times)-1, nil))
	s.End = min(s.Index, m.index(&end))
}

// Twists says that twist puts a board further out of flat under a load than cup and bow.
func (m *Model) Twists(l *Load) bool {
	s := m.shapeAt(l)
	level := s
	level.twist = 0
	return m.index(&s) > m.index(&level)
}

// ByFaces is the share (0 to 1) of a load's bending that comes from faces unlike in
// moisture; the rest comes from even changes, by rings and fibres. Each is taken alone, as
// far as it would bend the board.
func (m *Model) ByFaces(l *Load) float64 {
	of := func(mean, slope []float64) float64 {
		s := m.shapeAt(&Load{Mean: mean, Slope: slope})
		return m.index(&s)
	}
	even := of(l.Mean, nil)
	faces := of(make([]float64, len(l.Mean)), l.Slope)
	if faces == 0 {
		return 0
	}
	return faces / (faces + even)
}

// index is how far out of flat a shape is, over the limit.
func (m *Model) index(s *shape) float64 {
	narrow, long := m.Board.Height, m.Board.Width
	if m.acrossX {
		narrow, long = long, narrow
	}
	return flatness.Default().Index(s.cup, s.bow, s.twist, narrow, long)
}

// StandsAt sets the board as a load bends it on a flat top [mm]. It is flat without
// bending, and where it is too narrow to stand.
func (m *Model) StandsAt(l *Load) flatness.Stand {
	if !m.Bends {
		return flatness.Stand{}
	}
	x := m.Deflected(l)
	points := make([]flatness.Point, len(m.Mesh.Nodes))
	for n, q := range m.Mesh.Nodes {
		points[n] = flatness.Point{q[0], q[1], x[plate.Deflection(n)]}
	}
	cx, cy := m.centre()
	s, _ := flatness.On(points, cx, cy, m.rimCorners())
	if s.Gap < Flat {
		return flatness.Stand{}
	}
	if s.Rocks < Flat {
		s.Rocks, s.Press = 0, [2]float64{}
	}
	return s
}

// centre is the centre of the board's area [mm]: of its weight, near enough.
func (m *Model) centre() (x, y float64) {
	area := 0.0
	for i := range m.Board.Pieces {
		p := &m.Board.Pieces[i]
		x, y, area = x+p.Area*p.Centre[0], y+p.Area*p.Centre[1], area+p.Area
	}
	return x / area, y / area
}

// rimCorners are the nodes furthest towards each corner of the board's rectangle.
func (m *Model) rimCorners() []int {
	var out []int
	for _, d := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		best, far := 0, math.Inf(-1)
		for n, q := range m.Mesh.Nodes {
			if v := d[0]*q[0] + d[1]*q[1]; v > far {
				best, far = n, v
			}
		}
		out = append(out, best)
	}
	return out
}

// FlatHeld is how long [h] a board lies out of flat before it counts.
func FlatHeld() float64 { return flatness.Default().Held }
