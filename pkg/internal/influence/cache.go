package influence

import "github.com/tanrad/tanrad/pkg/internal/sparse"

// Cache keeps parts of factorised boards, and what depends on outlines alone, between
// checks of boards that differ little. It may be shared by several goroutines. No word
// depends on it, and figures by round-off, 1e-12: elements count as alike whose corners lie
// within a millionth of a mm.
type Cache struct {
	membrane, bending sparse.Cache
	outlines          geometries
}

// NewCache makes a cache of at most so many bytes; 0 is without bounds.
func NewCache(bytes int64) *Cache {
	c := &Cache{}
	if bytes == 0 {
		c.outlines.most = outlineBytes
		return c
	}
	c.outlines.most = bytes / 8
	c.membrane.MaxBytes, c.bending.MaxBytes = bytes/16*7, bytes/16*7
	return c
}

// outlineBytes bounds the meshes that are kept where no other bound is told.
const outlineBytes = 64 << 20

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
