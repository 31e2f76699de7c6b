package raster

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/srwiley/rasterx"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// scanner fills paths, each within its own bounds only: the scanner that comes with
// rasterx goes over the whole picture for every path, of which a board has thousands.
type scanner struct {
	into   *image.RGBA
	paths  [][]fixed.Point26_6
	extent fixed.Rectangle26_6
	source *image.Uniform
	fill   vector.Rasterizer
}

func newScanner(into *image.RGBA) *scanner {
	s := &scanner{into: into, source: image.NewUniform(color.Black)}
	s.Clear()
	return s
}

// Start begins a part of a path.
func (s *scanner) Start(a fixed.Point26_6) {
	s.paths = append(s.paths, []fixed.Point26_6{a})
	s.reach(a)
}

// Line goes on with it.
func (s *scanner) Line(b fixed.Point26_6) {
	last := len(s.paths) - 1
	s.paths[last] = append(s.paths[last], b)
	s.reach(b)
}

func (s *scanner) reach(p fixed.Point26_6) {
	s.extent.Min.X, s.extent.Min.Y = min(s.extent.Min.X, p.X), min(s.extent.Min.Y, p.Y)
	s.extent.Max.X, s.extent.Max.Y = max(s.extent.Max.X, p.X), max(s.extent.Max.Y, p.Y)
}

// Draw fills what was begun. The parts are not closed one by one: the two edges of a
// stroke are parts of their own and bound an area only together.
func (s *scanner) Draw() {
	at := image.Rect(s.extent.Min.X.Floor(), s.extent.Min.Y.Floor(), s.extent.Max.X.Ceil(), s.extent.Max.Y.Ceil()).Intersect(s.into.Bounds())
	if at.Empty() {
		return
	}
	s.fill.Reset(at.Dx(), at.Dy())
	x := func(v fixed.Int26_6) float32 { return float32(v)/64 - float32(at.Min.X) }
	y := func(v fixed.Int26_6) float32 { return float32(v)/64 - float32(at.Min.Y) }
	for _, p := range s.paths {
		s.fill.MoveTo(x(p[0].X), y(p[0].Y))
		for _, q := range p[1:] {
			s.fill.LineTo(x(q.X), y(q.Y))
		}
	}
	s.fill.DrawOp = draw.Over
	s.fill.Draw(s.into, at, s.source, image.Point{})
}

// Clear forgets the path.
func (s *scanner) Clear() {
	s.paths = s.paths[:0]
	s.extent = fixed.Rectangle26_6{Min: fixed.Point26_6{X: math.MaxInt32, Y: math.MaxInt32}, Max: fixed.Point26_6{X: math.MinInt32, Y: math.MinInt32}}
}

// SetColor takes one colour; pictures of boards have no others.
func (s *scanner) SetColor(c any) {
	if c, ok := c.(color.Color); ok {
		s.source.C = c
	}
}

// GetPathExtent is how far the path reaches.
func (s *scanner) GetPathExtent() fixed.Rectangle26_6 { return s.extent }

// SetBounds, SetWinding and SetClip change nothing: the picture's size is known, and
// nothing in it is clipped or has holes.
func (s *scanner) SetBounds(int, int)      {}
func (s *scanner) SetWinding(bool)         {}
func (s *scanner) SetClip(image.Rectangle) {}

var _ rasterx.Scanner = (*scanner)(nil)
