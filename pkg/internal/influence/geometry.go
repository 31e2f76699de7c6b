package influence

import (
	"context"
	"reflect"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// geometries are the meshes of boards that were solved lately, and what else depends on the
// outlines of their pieces alone: a drawing changes woods and turns pieces far more often
// than it moves a glue line. It may be shared; nil keeps nothing.
type geometries struct {
	most int64 // bytes

	mu   sync.Mutex
	list []geometry // the one asked for last first
}

// geometry is what one board left.
type geometry struct {
	b *layout.Board
	o mesh.Options
	g *plate.Geometry
	// Squares to judge the wood by, per piece; nil where the wood is not judged.
	patches [][]patch
}

// meshed gives the mesh of a board, and what else is known of its outlines; nil where
// nothing is. Errors: those of mesh.Build.
func (c *geometries) meshed(ctx context.Context, b *layout.Board, o mesh.Options) (*mesh.Mesh, geometry, error) {
	bound := o.Bound
	if c == nil {
		m, err := mesh.Build(ctx, b, o)
		return m, geometry{}, err
	}
	o.Bound = 0
	c.mu.Lock()
	i := slices.IndexFunc(c.list, func(k geometry) bool { return k.o == o && sameOutlines(k.b, b) })
	if i >= 0 {
		k := c.list[i]
		copy(c.list[1:i+1], c.list[:i])
		c.list[0] = k
		c.mu.Unlock()
		if m := k.g.Mesh; bound == 0 || len(m.Elements) <= bound {
			return m, k, nil
		}
	} else {
		c.mu.Unlock()
	}
	o.Bound = bound
	m, err := mesh.Build(ctx, b, o)
	o.Bound = 0
	return m, geometry{b: b, o: o}, err
}

// put keeps what is known of a board where there is room for it and for so many as large
// beside it, and lets go of those asked for longest ago while there are too many bytes.
func (c *geometries) put(k geometry, beside int64) {
	if c == nil || (1+beside)*geometryBytes(k.g) > c.most {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.list = slices.DeleteFunc(c.list, func(o geometry) bool { return o.g == k.g })
	c.list = slices.Insert(c.list, 0, k)
	sum := int64(0)
	for i := range c.list {
		if sum += geometryBytes(c.list[i].g); sum > c.most {
			c.list = slices.Delete(c.list, i, len(c.list))
			return
		}
	}
}

// geometryBytes are the bytes of what is known of the outlines of a board, about.
func geometryBytes(g *plate.Geometry) int64 {
	return int64(len(g.Mesh.Elements))*elementBytes + g.ShapeBytes()
}

// sameOutlines compares all of two boards that a mesh, and what follows from it, depends on.
func sameOutlines(a, b *layout.Board) bool {
	if a.Width != b.Width || a.Height != b.Height || len(a.Pieces) != len(b.Pieces) || len(a.Joints) != len(b.Joints) {
		return false
	}
	for i := range a.Pieces {
		x, y := &a.Pieces[i], &b.Pieces[i]
		if !slices.Equal(x.Outline, y.Outline) || (x.Pith == nil) != (y.Pith == nil) || x.Pith != nil && *x.Pith != *y.Pith {
			return false
		}
	}
	return reflect.DeepEqual(a.Joints, b.Joints) && reflect.DeepEqual(&a.Partition, &b.Partition)
}
