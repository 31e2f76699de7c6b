package check

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/field"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Instant finds a moment by the name of an end state or of an exposure of the
// conditions; of an exposure, the kept time nearest to hour [h]. Errors: a
// fault of rule unknown-name at "/state", and those of Report.
func (p *Prepared) Instant(ctx context.Context, c Conditions, name string, hour float64) (*field.Instant, error) {
	return field.Board{Model: p.m.Model}.Instant(ctx, c.Demand(), name, hour)
}

// Outlines gives the outline of every piece [mm], closed rows of points, as
// glued and as it lies at an instant, point for point. The points are the nodes
// of the mesh along the outline.
func (p *Prepared) Outlines(i *field.Instant) (from, to [][]layout.XY) {
	return field.Board{Model: p.m.Model}.Outlines(i)
}

// Deflection gives the bent board at an instant on a grid of at most n places
// a side (at least 2), heights in mm. It is flat without bending.
func (p *Prepared) Deflection(i *field.Instant, n int) field.Heights {
	return field.Board{Model: p.m.Model}.Deflection(i, n)
}

// Profiles gives the moisture through the thickness of every kind of piece in an
// exposure of the conditions, at the kept times nearest to hours [h]; nil hours
// takes the start, the ends of its phases, and some between, at most six in all.
// Errors: a fault of rule unknown-name at "/exposure", and those of Report.
func (p *Prepared) Profiles(ctx context.Context, c Conditions, exposure string, hours []float64) ([]field.Profile, error) {
	return field.Board{Model: p.m.Model}.Profiles(ctx, c.Demand(), exposure, hours)
}

// Shape is a board as it lies at one moment, beside its pieces as they would be
// if no glue held them.
type Shape = field.Shape

// Shape gives the board in an end state or in an exposure of the conditions, of
// an exposure at the kept time nearest to hour [h]. Lengths are mm, strains
// dimensionless. Errors: those of Instant.
func (p *Prepared) Shape(ctx context.Context, c Conditions, name string, hour float64) (*Shape, error) {
	s, err := field.Board{Model: p.m.Model}.Shape(ctx, c.Demand(), name, hour)
	if err != nil {
		return nil, err
	}
	for i := range s.Joints { // the words of a report, which know how the figures of this board scatter
		s.Joints[i].Verdict = p.m.word(s.Joints[i].Utilisation)
	}
	return s, nil
}
