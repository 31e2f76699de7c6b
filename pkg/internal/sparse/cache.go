package sparse

import (
	"container/list"
	"context"
	"encoding/binary"
	"math"
	"math/bits"
	"slices"
	"sync"
)

// Cache keeps eliminated clusters between factorisations, under a name made
// from their content: index work, element matrices and nothing else. A board
// of which one piece changed then costs little more than the clusters around
// that piece. The last few plans of elimination are kept as well. It may be shared by goroutines. The zero value is ready and
// keeps 128 MB; what was used longest ago is dropped first.
type Cache struct {
	MaxBytes int64 // bound of the memory kept; 0 means 128 MB

	mu    sync.Mutex
	bytes int64
	items map[content]*list.Element
	order list.List    // most recently used first
	plans []*namedPlan // likewise
}

// namedPlan is a plan under the content of what it was made from: where the
// elements lie, how they hang together, and which of them are alike.
type namedPlan struct {
	key  content
	plan *plan
}

// plansKept is small: a plan has about a hundred bytes for each element.
const plansKept = 4

// planFor returns the plan of a problem, made anew unless one of the last few
// fits. One that is borrowed for is not kept. The error is that of the context.
func (c *Cache) planFor(ctx context.Context, p *Problem, kinds []int32, borrow bool) (*plan, error) {
	key := contentOfProblem(p, kinds)
	c.mu.Lock()
	at := slices.IndexFunc(c.plans, func(n *namedPlan) bool { return n.key == key })
	if at >= 0 {
		found := c.plans[at]
		copy(c.plans[1:at+1], c.plans[:at])
		c.plans[0] = found
		c.mu.Unlock()
		return found.plan, nil
	}
	c.mu.Unlock()
	made, err := newPlanner(ctx, p, kinds).run()
	if err != nil || borrow {
		return made, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.plans = slices.Insert(c.plans, 0, &namedPlan{key, made})
	c.plans = c.plans[:min(len(c.plans), plansKept)]
	return made, nil
}

func contentOfProblem(p *Problem, kinds []int32) content {
	c := content{uint64(p.NodeDof), 4}.word(uint64(len(p.Coord))).word(uint64(len(p.Elements)))
	for _, x := range p.Coord {
		c = c.word(math.Float64bits(x[0])).word(math.Float64bits(x[1]))
	}
	for e := range p.Elements {
		el := &p.Elements[e]
		c = c.word(uint64(uint32(el.Group)) | uint64(uint32(kinds[e]))<<32).word(uint64(len(el.Nodes)))
		for _, n := range el.Nodes {
			c = c.word(uint64(n))
		}
	}
	for u, held := range p.fixedMask() {
		if held {
			c = c.word(uint64(u))
		}
	}
	return c
}

// kept is one cluster in the cache.
type kept struct {
	key   content
	l     []float64
	s     []float64 // lower triangle column by column, then the diagonal sums; nil if not kept
	bytes int64

	low, high float64
}

// Bytes tells how much the cache holds now.
func (c *Cache) Bytes() int64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.bytes
}

// limit is the bound of the memory kept, bytes.
func (c *Cache) limit() int64 {
	if c.MaxBytes == 0 {
		return 128 << 20
	}
	return c.MaxBytes
}

// find looks up all keys at once and marks those found as used.
func (c *Cache) find(keys []content) []*kept {
	c.mu.Lock()
	defer c.mu.Unlock()
	found := make([]*kept, len(keys))
	for i, k := range keys {
		if e, ok := c.items[k]; ok {
			found[i] = e.Value.(*kept)
			c.order.MoveToFront(e)
		}
	}
	return found
}

// keep stores a finished cluster. The Schur complement is kept for whole groups
// only: inside a group that changes, nothing stays the same.
func (c *Cache) keep(key content, cl *class, b *block) {
	k := &kept{key: key, l: b.l, low: b.low, high: b.high}
	if cl.unit {
		k.s = pack(cl.pat, b)
	}
	k.bytes = 8*int64(len(k.l)+len(k.s)) + 128
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.items == nil {
		c.items = map[content]*list.Element{}
	}
	if e, ok := c.items[key]; ok {
		old := e.Value.(*kept)
		if old.s != nil || k.s == nil {
			return
		}
		c.bytes -= old.bytes
		c.order.Remove(e)
	}
	c.items[key] = c.order.PushFront(k)
	c.bytes += k.bytes
	limit := c.limit()
	for c.bytes > limit && c.order.Len() > 0 {
		e := c.order.Back()
		old := e.Value.(*kept)
		c.bytes -= old.bytes
		delete(c.items, old.key)
		c.order.Remove(e)
	}
}

func pack(p *pattern, b *block) []float64 {
	out := make([]float64, 0, p.nr*(p.nr+1)/2+p.nr)
	for j := range p.nr {
		out = append(out, b.s[j*p.ld+j:j*p.ld+p.nr]...)
	}
	return append(out, b.diagonal...)
}

// open unpacks the Schur complement into room.
func (k *kept) open(p *pattern, room []float64) (s, diagonal []float64) {
	s, from := room[:p.schurLen()], k.s
	for j := range p.nr {
		from = from[copy(s[j*p.ld+j:j*p.ld+p.nr], from):]
	}
	diagonal = room[p.schurLen() : p.schurLen()+p.nr]
	copy(diagonal, from)
	return s, diagonal
}

// content is a 128-bit name made from content by two independent chains of
// multiplications. It is no guard against malice, only against chance.
type content [2]uint64

func (c content) word(v uint64) content {
	return content{mix(c[0]^v, 0x9e3779b97f4a7c15), mix(c[1]+v, 0xd6e8feb86659fd93)}
}

func (c content) with(o content) content { return c.word(o[0]).word(o[1]) }

func mix(v, m uint64) uint64 {
	hi, lo := bits.Mul64(v^0xa0761d6478bd642f, m)
	return hi ^ lo ^ bits.RotateLeft64(v, 29)
}

func contentOfBytes(b []byte) content {
	c := content{uint64(len(b)), 1}
	for len(b) >= 8 {
		c = c.word(binary.LittleEndian.Uint64(b))
		b = b[8:]
	}
	var rest [8]byte
	copy(rest[:], b)
	return c.word(binary.LittleEndian.Uint64(rest[:]))
}

// contentOfMatrix names an n×n element matrix by its lower triangle: no more of
// it is ever read.
func contentOfMatrix(m []float64, n int) content {
	c := content{uint64(n), 2}
	for i := range n {
		for _, v := range m[i*n : i*n+i+1] {
			c = c.word(math.Float64bits(v))
		}
	}
	return c
}

func contentOfKey(key uint64, nodes, dof int) content {
	return content{3, 3}.word(key).word(uint64(nodes)).word(uint64(dof))
}
