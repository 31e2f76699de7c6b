package influence

import "github.com/tanrad/tanrad/pkg/internal/sparse"

// Cache keeps parts of factorised boards between checks of boards that differ
// little. It may be shared by several goroutines; no answer depends on it.
type Cache struct {
	membrane, bending sparse.Cache
	outlines          geometries
}

// NewCache makes a cache of at most so many bytes; 0 is without bounds.
func NewCache(bytes int64) *Cache {
	c := &Cache{}
	c.membrane.MaxBytes, c.bending.MaxBytes = bytes/2, bytes/2
	c.outlines.most = mostElements
	return c
}

// mostElements bounds the meshes that are kept: each takes about a kilobyte.
const mostElements = 48 << 10

// known is the part for outlines, nil of no cache.
func (c *Cache) known() *geometries {
	if c == nil {
		return nil
	}
	return &c.outlines
}

// Membrane is the part for the membrane, nil of no cache.
func (c *Cache) Membrane() *sparse.Cache {
	if c == nil {
		return nil
	}
	return &c.membrane
}

// Bending is the part for bending, nil of no cache.
func (c *Cache) Bending() *sparse.Cache {
	if c == nil {
		return nil
	}
	return &c.bending
}
