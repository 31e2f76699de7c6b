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
