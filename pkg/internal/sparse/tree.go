package sparse

import (
	"context"
	"math"
	"runtime"
	"time"
)

// Options steers FactorTree. The zero value is the documented default.
type Options struct {
	Workers int    // goroutines that factorise and solve; 0 means 1. The answer does not depend on it.
	Cache   *Cache // parts kept between factorisations; nil keeps none
	Borrow  bool   // parts are taken from the Cache, and none are left in it: what is solved once only
	Beside  int    // parts are left in the Cache only if it has room for so many systems as large beside this one

	// TrustKeys promises that an element key stands for the same matrix in
	// every problem that uses the Cache. Elements all of whose clusters are
	// kept are then not asked for their stiffness. Otherwise every distinct
	// matrix is asked for, and the cache goes by its content.
	TrustKeys bool
}

type treeFactor struct {
	n, dof  int
	plan    *plan
	l       [][]float64 // kept columns of each class
	workers int
	stats   Stats
	slabs   []*[]float64
	cleanup runtime.Cleanup
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
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	table := distinctElements(p)
	r := &runner{p: p, k: k, table: &table, cache: opt.Cache, borrow: opt.Borrow, beside: opt.Beside, workers: max(1, opt.Workers)}
	var err error
	if opt.Cache != nil {
		r.plan, err = opt.Cache.planFor(ctx, p, table.of, opt.Borrow)
	} else {
		r.plan, err = newPlanner(ctx, p, table.of).run()
	}
	if err != nil {
		return nil, err
	}
	f := &treeFactor{n: p.unknowns(), dof: p.NodeDof, plan: r.plan, workers: r.workers}
	ordered := time.Now()
	if err := r.gather(ctx, opt.TrustKeys); err != nil {
		return nil, err
	}
	gathered := time.Now()
	if err := r.run(ctx); err != nil {
		return nil, err
	}
	f.l = make([][]float64, len(r.block))
	for i := range r.block {
		f.l[i] = r.block[i].l
	}
	f.stats = r.stats
	f.count(p, r.block)
	f.slabs = r.slabs()
	for _, s := range f.slabs {
		f.stats.Bytes += 8 * int64(len(*s))
	}
	if r.keeps { // then L lies in slices of its own
		for _, l := range f.l {
			f.stats.Bytes += 8 * int64(len(l))
		}
	}
	f.cleanup = runtime.AddCleanup(f, giveBack, f.slabs)
	f.stats.Order = ordered.Sub(begin)
	f.stats.Gather = gathered.Sub(ordered)
	f.stats.Numeric = time.Since(gathered)
	return f, nil
}

// count fills in the statistics that need the finished blocks.
func (f *treeFactor) count(p *Problem, blocks []block) {
	s := &f.stats
	s.Unknowns = f.N()
	for _, held := range p.fixedMask() {
		if held {
			s.Unknowns--
		}
	}
	s.Clusters, s.Distinct = len(f.plan.places), len(f.plan.classes)
	for _, in := range f.plan.places {
		s.NonZeros += f.plan.classes[in.class].pat.nonZeros
	}
	low, high := math.Inf(1), 0.0
	for id := range f.plan.classes {
		s.Stored += f.plan.classes[id].pat.nonZeros
		low, high = min(low, blocks[id].low), max(high, blocks[id].high)
	}
	s.Bytes += f.plan.bytes()
	if high > 0 {
		s.Condition = (high / low) * (high / low)
	}
}

// Release implements Factor.
func (f *treeFactor) Release() {
	f.cleanup.Stop()
	giveBack(f.slabs)
	f.slabs, f.l, f.stats.Bytes = nil, nil, 0
}

func (f *treeFactor) N() int       { return f.n }
func (f *treeFactor) Stats() Stats { return f.stats }
