package sparse

import (
	"context"
	"math"
	"time"
)

// Options steers FactorTree. The zero value is the documented default.
type Options struct {
	Workers int    // goroutines that factorise and solve; 0 means 1
	Cache   *Cache // parts kept between factorisations; nil keeps none
}

type treeFactor struct {
	p     *Problem
	plan  *plan
	block []block
	stats Stats
}

// FactorTree factorises by nested dissection of the board: pieces are cut into
// clusters of elements, clusters are joined two by two, and each join
// eliminates the unknowns that no element outside touches. Clusters that are
// congruent (same hanging together, equal element matrices) are eliminated
// once, wherever and however often they occur.
func FactorTree(ctx context.Context, p *Problem, k Stiffness, opt Options) (Factor, error) {
	begin := time.Now()
	if err := p.check(); err != nil {
		return nil, err
	}
	book := distinctElements(p)
	pl := newPlanner(p, book.of, true).run()
	f := &treeFactor{p: p, plan: pl}
	f.stats.Order = time.Since(begin)
	begin = time.Now()
	for kind := range book.first {
		if err := book.fetch(p, k, int32(kind)); err != nil {
			return nil, err
		}
	}
	f.stats.Gather = time.Since(begin)
	begin = time.Now()
	if err := f.eliminateAll(ctx, &book); err != nil {
		return nil, err
	}
	f.count()
	f.stats.Elements = len(book.first)
	f.stats.Numeric = time.Since(begin)
	return f, nil
}

func (f *treeFactor) eliminateAll(ctx context.Context, book *elementBook) error {
	f.block = make([]block, len(f.plan.classes))
	uses := make([]int32, len(f.plan.classes))
	for _, c := range f.plan.classes {
		for _, k := range c.kids {
			if k >= 0 {
				uses[k]++
			}
		}
	}
	var bench workbench
	for id := range f.plan.classes {
		if err := ctx.Err(); err != nil {
			return err
		}
		c := &f.plan.classes[id]
		out := block{
			l:     make([]float64, c.pat.panelLen()),
			s:     make([]float64, c.pat.schurLen()),
			whole: make([]float64, c.pat.nr),
		}
		at, pivot := bench.eliminate(c.pat, f.p.NodeDof, func(i int) ([]float64, []float64) {
			if k := c.kids[i]; k >= 0 {
				return f.block[k].s, f.block[k].whole
			}
			return book.matrix[-1-c.kids[i]], nil
		}, out.l, out.s, out.whole)
		if at >= 0 {
			return f.failed(int32(id), at, pivot)
		}
		f.block[id] = out
		for _, k := range c.kids {
			if k < 0 {
				continue
			}
			if uses[k]--; uses[k] == 0 {
				f.block[k].s, f.block[k].whole = nil, nil
			}
		}
	}
	return nil
}

// failed names the unknown of a failed pivot by the first place of its class.
func (f *treeFactor) failed(id int32, at int, pivot float64) error {
	dof := f.p.NodeDof
	for _, in := range f.plan.places {
		if in.class == id {
			return f.p.notPositive(int(f.plan.nodes[in.first+at/dof])*dof+at%dof, pivot)
		}
	}
	panic("sparse: a class without a place")
}

// count fills in the statistics that need the finished blocks.
func (f *treeFactor) count() {
	s := &f.stats
	fixed := 0
	for _, held := range f.p.fixedMask() {
		if held {
			fixed++
		}
	}
	s.Unknowns = f.N() - fixed
	s.Clusters, s.Distinct = len(f.plan.places), len(f.plan.classes)
	for _, in := range f.plan.places {
		s.NonZeros += f.plan.classes[in.class].pat.nonZeros
	}
	low, high := math.Inf(1), 0.0
	for id := range f.plan.classes {
		p := f.plan.classes[id].pat
		s.Stored += p.nonZeros
		s.Flops += p.flops
		s.Bytes += int64(len(f.block[id].l)+len(f.block[id].s)) * 8
		held := p.fixed
		for t := range p.ne {
			if len(held) > 0 && int(held[0]) == t {
				held = held[1:]
				continue
			}
			inv := f.block[id].l[t/8*8*p.ne8+8*t+t%8]
			low, high = min(low, inv), max(high, inv)
		}
	}
	s.Bytes += int64(len(f.plan.nodes))*4 + int64(len(f.plan.places))*16
	if high > 0 {
		s.Condition = (high / low) * (high / low)
	}
}

func (f *treeFactor) N() int       { return f.p.unknowns() }
func (f *treeFactor) Stats() Stats { return f.stats }

// Solve treats the sides eight at a time.
func (f *treeFactor) Solve(dst, rhs [][]float64) error {
	if err := checkSides(f.N(), dst, rhs); err != nil {
		return err
	}
	var room sideRoom
	for r := 0; r < len(rhs); r += 8 {
		f.solveEight(dst[r:min(r+8, len(rhs))], rhs[r:min(r+8, len(rhs))], &room)
	}
	return nil
}

// sideRoom is the memory of a solve: all unknowns and one front, 8 sides in a row.
type sideRoom struct{ x, front []float64 }

func (f *treeFactor) solveEight(dst, rhs [][]float64, room *sideRoom) {
	n, dof := f.N(), f.p.NodeDof
	if room.x == nil {
		room.x = make([]float64, 8*n)
		most := 0
		for _, p := range f.plan.patterns {
			most = max(most, p.panels*64)
		}
		room.front = make([]float64, most)
	}
	x := room.x
	for r := range 8 {
		if r < len(rhs) {
			for i, v := range rhs[r] {
				x[8*i+r] = v
			}
		} else {
			for i := range n {
				x[8*i+r] = 0
			}
		}
	}
	width := 8 * dof
	for _, in := range f.plan.places {
		p := f.plan.classes[in.class].pat
		nodes := f.plan.nodes[in.first:]
		front := room.front[:p.panels*64]
		for i, nd := range nodes[:p.leave] {
			copy(front[i*width:i*width+width], x[int(nd)*width:])
		}
		for _, t := range p.fixed {
			clear(front[8*t : 8*t+8])
		}
		clear(front[p.ne*8:])
		forward(f.block[in.class].l, 8*p.ne8, p.ne8/8, p.panels, p.ne, front)
		for i, nd := range nodes[:p.leave] {
			copy(x[int(nd)*width:int(nd)*width+width], front[i*width:])
		}
		for i, nd := range nodes[p.leave : p.leave+p.stay] {
			addTo(x[int(nd)*width:int(nd)*width+width], front[p.ne8*8+i*width:p.ne8*8+i*width+width])
		}
	}
	for q := len(f.plan.places) - 1; q >= 0; q-- {
		in := f.plan.places[q]
		p := f.plan.classes[in.class].pat
		nodes := f.plan.nodes[in.first:]
		front := room.front[:p.panels*64]
		for i, nd := range nodes[:p.leave] {
			copy(front[i*width:i*width+width], x[int(nd)*width:])
		}
		clear(front[p.ne*8 : p.ne8*8])
		for i, nd := range nodes[p.leave : p.leave+p.stay] {
			copy(front[p.ne8*8+i*width:p.ne8*8+i*width+width], x[int(nd)*width:])
		}
		clear(front[(p.ne8+p.nr)*8:])
		backward(f.block[in.class].l, 8*p.ne8, p.ne8/8, p.panels, front)
		for i, nd := range nodes[:p.leave] {
			copy(x[int(nd)*width:int(nd)*width+width], front[i*width:])
		}
	}
	for r := range rhs {
		for i := range dst[r] {
			dst[r][i] = x[8*i+r]
		}
	}
}
