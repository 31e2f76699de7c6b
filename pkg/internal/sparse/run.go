package sparse

import (
	"context"
	"errors"
	"sync"
)

// runner carries out a plan.
type runner struct {
	p       *Problem
	k       Stiffness
	table   *elementTable
	plan    *plan
	cache   *Cache
	borrow  bool // nothing goes to the cache
	beside  int  // systems for which there must be room beside this one
	keeps   bool // what is eliminated goes to the cache
	late    bool // element matrices are fetched when they are needed, and let go of
	workers int

	keys  []content // of the classes, when there is a cache
	todo  []bool    // classes to eliminate; nil means all
	done  []bool
	block []block
	stats Stats

	temporary slicePool
	columns   *slicePool // of L, where they are dropped one by one; nil where they live as long as the factor
	benches   []*workbench

	fetching sync.Mutex // guards the element matrices

	mu    sync.Mutex
	wake  sync.Cond
	wait  []int32 // children not finished, of each class
	uses  []int32 // classes that still need the Schur complement of each class
	joins []int32 // and each element matrix
	ready []int32
	left  int
	err   error
}

// gather fetches the element matrices, unless that is left until each is needed, and
// with a cache finds out which classes it holds already.
func (r *runner) gather(ctx context.Context, trust bool) error {
	r.block = make([]block, len(r.plan.classes))
	r.late = r.cache == nil || trust
	if r.cache == nil {
		return nil
	}
	elements := make([]content, len(r.table.first))
	for kind := range elements {
		if !trust {
			if err := r.fetch(ctx, int32(kind)); err != nil {
				return err
			}
			elements[kind] = contentOfMatrix(r.table.matrix[kind], len(r.p.Elements[r.table.first[kind]].Nodes)*r.p.NodeDof)
			continue
		}
		el := &r.p.Elements[r.table.first[kind]]
		elements[kind] = contentOfKey(el.Key, len(el.Nodes), r.p.NodeDof)
	}
	r.look(elements)
	return nil
}

// fetchFor fetches the element matrices that a class needs and nobody has fetched yet.
func (r *runner) fetchFor(ctx context.Context, id int32) error {
	r.fetching.Lock()
	defer r.fetching.Unlock()
	for _, k := range r.plan.classes[id].children {
		if k < 0 && r.table.matrix[-1-k] == nil {
			if err := r.fetch(ctx, -1-k); err != nil {
				return err
			}
		}
	}
	return nil
}

func (r *runner) fetch(ctx context.Context, kind int32) error {
	if r.stats.Elements++; r.stats.Elements%64 == 0 && ctx.Err() != nil {
		return ctx.Err()
	}
	return r.table.fetch(r.p, r.k, kind)
}

// look finds the classes in the cache and decides which must be eliminated:
// those it does not hold, and those held without the Schur complement that
// such a one needs.
func (r *runner) look(elements []content) {
	classes := r.plan.classes
	r.keys = make([]content, len(classes))
	for id := range classes {
		h := classes[id].pat.name
		for _, k := range classes[id].children {
			if k < 0 {
				h = h.with(elements[-1-k])
			} else {
				h = h.with(r.keys[k])
			}
		}
		r.keys[id] = h
	}
	found := r.cache.find(r.keys)
	defer r.fits()
	r.todo = make([]bool, len(classes))
	needed := make([]bool, len(classes)) // its Schur complement is
	for id := len(classes) - 1; id >= 0; id-- {
		kept := found[id]
		if kept != nil && (!needed[id] || kept.s != nil) {
			r.stats.Reused++
			r.block[id] = block{l: kept.l, low: kept.low, high: kept.high}
			if needed[id] {
				pat := classes[id].pat
				r.block[id].s, r.block[id].diagonal = kept.open(pat, r.temporary.take(pat.schurLen()+pat.nr8))
			}
			continue
		}
		r.todo[id] = true
		for _, k := range classes[id].children {
			if k >= 0 {
				needed[k] = true
			}
		}
	}
}

// fits decides whether what is to do goes to the cache: not where it would not fit, for
// then it would push out everything there is, itself first.
func (r *runner) fits() {
	sum, all := 0, 0
	for id := range r.plan.classes {
		c := &r.plan.classes[id]
		size := c.pat.panelLen()
		if c.unit {
			size += c.pat.schurLen() / 2
		}
		if all += size; r.todo[id] {
			sum += size
		}
	}
	r.keeps = !r.borrow && 8*int64(sum) <= r.cache.limit() && 8*int64(all)*int64(r.beside) <= r.cache.limit()-8*int64(all)
}

// run eliminates all classes that are to do, children before parents.
func (r *runner) run(ctx context.Context) error {
	defer func() {
		r.temporary.giveBack()
		r.table.pool.giveBack()
	}()
	classes := r.plan.classes
	r.uses = make([]int32, len(classes))
	r.joins = make([]int32, len(r.table.first))
	r.wait = make([]int32, len(classes))
	r.done = make([]bool, len(classes))
	for id := range classes {
		if r.todo != nil && !r.todo[id] {
			continue
		}
		r.left++
		for _, k := range classes[id].children {
			if k < 0 {
				r.joins[-1-k]++
			} else {
				r.uses[k]++
				if r.todo == nil || r.todo[k] {
					r.wait[id]++
				}
			}
		}
	}
	if r.workers == 1 {
		return r.runSerial(ctx)
	}
	return r.runParallel(ctx)
}

// depthFirst lists the classes that are to do, each right behind its children: so as few
// Schur complements as can be wait for the class that needs them.
func (r *runner) depthFirst() []int32 {
	out := make([]int32, 0, r.left)
	seen := make([]bool, len(r.plan.classes))
	var visit func(id int32)
	visit = func(id int32) {
		if seen[id] || r.todo != nil && !r.todo[id] {
			return
		}
		seen[id] = true
		for _, k := range r.plan.classes[id].children {
			if k >= 0 {
				visit(k)
			}
		}
		out = append(out, id)
	}
	for id := len(r.plan.classes) - 1; id >= 0; id-- {
		visit(int32(id))
	}
	return out
}

// runSerial eliminates depth first what is not finished yet.
func (r *runner) runSerial(ctx context.Context) error {
	bench := r.newBench(1)
	for _, id := range r.depthFirst() {
		if r.done[id] {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := r.fetchFor(ctx, id); err != nil {
			return err
		}
		if err := r.eliminate(id, bench); err != nil {
			return err
		}
	}
	return nil
}

// runParallel lets the workers take classes whose children are finished, the one
// finished last first: its parts are still in the processor's cache. The
// numbers of a class depend on its children only, so the order does not matter.
func (r *runner) runParallel(ctx context.Context) error {
	r.wake.L = &r.mu
	for id := len(r.plan.classes) - 1; id >= 0; id-- {
		if (r.todo == nil || r.todo[id]) && r.wait[id] == 0 {
			r.ready = append(r.ready, int32(id))
		}
	}
	parents := r.parents()
	var group sync.WaitGroup
	for range r.workers {
		bench := r.newBench(r.workers)
		group.Go(func() { r.work(ctx, bench, parents) })
	}
	group.Wait()
	var failed *NotPositiveDefinite
	if errors.As(r.err, &failed) {
		// Of several bad pivots the workers met any; name the one that is first
		// in order, so that the message does not depend on luck.
		return r.runSerial(ctx)
	}
	return r.err
}

func (r *runner) parents() [][]int32 {
	up := make([][]int32, len(r.plan.classes))
	for id := range r.plan.classes {
		if r.todo != nil && !r.todo[id] {
			continue
		}
		for _, k := range r.plan.classes[id].children {
			if k >= 0 {
				up[k] = append(up[k], int32(id))
			}
		}
	}
	return up
}

func (r *runner) work(ctx context.Context, bench *workbench, parents [][]int32) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for {
		for len(r.ready) == 0 && r.left > 0 && r.err == nil {
			r.wake.Wait()
		}
		if r.left == 0 || r.err != nil {
			return
		}
		id := r.ready[len(r.ready)-1]
		r.ready = r.ready[:len(r.ready)-1]
		r.mu.Unlock()
		err := ctx.Err()
		if err == nil {
			err = r.fetchFor(ctx, id)
		}
		if err == nil {
			err = r.eliminate(id, bench)
		}
		r.mu.Lock()
		if err != nil {
			if r.err == nil {
				r.err = err
			}
			r.wake.Broadcast()
			return
		}
		r.left--
		for _, up := range parents[id] {
			if r.wait[up]--; r.wait[up] == 0 {
				r.ready = append(r.ready, up)
			}
		}
		r.wake.Broadcast()
	}
}

func (r *runner) newBench(team int) *workbench {
	b := &workbench{team: team}
	r.benches = append(r.benches, b)
	return b
}

// eliminate finishes one class and lets go of what only it still needed.
func (r *runner) eliminate(id int32, bench *workbench) error {
	c := &r.plan.classes[id]
	n := c.pat.schurLen()
	room := r.temporary.take(n + c.pat.nr8)
	out := block{s: room[:n], diagonal: room[n : n+c.pat.nr]}
	switch {
	case r.columns != nil:
		out.l = r.columns.take(c.pat.panelLen())
	case !r.keeps:
		out.l = bench.arena.take(c.pat.panelLen())
	default:
		// the cache may keep this part longer than all others
		out.l = make([]float64, c.pat.panelLen())
	}
	at, pivot := bench.eliminate(c.pat, func(i int) ([]float64, []float64) {
		if k := c.children[i]; k >= 0 {
			return r.block[k].s, r.block[k].diagonal
		}
		return r.table.matrix[-1-c.children[i]], nil
	}, &out)
	if at >= 0 {
		return r.failed(id, at, pivot)
	}
	r.block[id], r.done[id] = out, true
	if r.keeps {
		r.cache.keep(r.keys[id], c, &out)
	}
	if r.workers > 1 {
		r.mu.Lock()
		defer r.mu.Unlock()
	}
	r.stats.Flops += c.pat.flops
	for _, k := range c.children {
		if k < 0 {
			if r.joins[-1-k]--; r.late && r.joins[-1-k] == 0 {
				r.table.pool.put(r.table.matrix[-1-k])
				r.table.matrix[-1-k] = nil
			}
			continue
		}
		if r.uses[k]--; r.uses[k] == 0 {
			r.putSchur(k)
		}
	}
	return nil
}

// putSchur lets the Schur complement of a class go.
func (r *runner) putSchur(id int32) {
	pat := r.plan.classes[id].pat
	r.temporary.put(r.block[id].s[:pat.schurLen()+pat.nr8])
	r.block[id].s, r.block[id].diagonal = nil, nil
}

// failed names the unknown of a failed pivot by the first place of its class.
func (r *runner) failed(id int32, at int, pivot float64) error {
	dof := r.p.NodeDof
	for _, in := range r.plan.places {
		if in.class == id {
			return r.p.notPositive(int(r.plan.nodes[in.first+at/dof])*dof+at%dof, pivot)
		}
	}
	panic("sparse: a class without a place")
}

// slabs lists the memory the kept columns live in.
func (r *runner) slabs() []*[]float64 {
	var used []*[]float64
	for _, b := range r.benches {
		used = append(used, b.arena.used...)
	}
	return used
}
