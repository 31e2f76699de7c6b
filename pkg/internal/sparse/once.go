package sparse

import (
	"context"
	"slices"
)

// SolveOnce factorises and solves, in place, for sides that are all there is to solve for:
// the answers are those of FactorTree and Solve to the last bit, in about half the memory.
// A cluster is passed on the way to the root as soon as it is eliminated, and its columns
// of L are dropped where nothing is asked below; those of small branches of the tree, which
// hold half of L and cost a sixth of the work, are eliminated again on the way back.
//
// wanted tells at which nodes answers are asked; what is written at the others means
// nothing. nil asks for all. Errors: those of FactorTree and of Solve.
func SolveOnce(ctx context.Context, p *Problem, k Stiffness, opt Options, sides [][]float64, wanted []bool) error {
	if err := p.check(); err != nil {
		return err
	}
	if err := checkSides(p.unknowns(), sides, sides); err != nil || len(sides) == 0 {
		return err
	}
	table := distinctElements(p)
	r := &runner{p: p, k: k, table: &table, workers: 1, columns: &slicePool{}}
	var err error
	if opt.Cache != nil {
		r.plan, err = opt.Cache.planFor(ctx, p, table.of, true)
	} else {
		r.plan, err = newPlanner(ctx, p, table.of).run()
	}
	if err != nil {
		return err
	}
	if err := r.gather(ctx, true); err != nil {
		return err
	}
	defer func() {
		r.temporary.giveBack()
		r.table.pool.giveBack()
		r.columns.giveBack()
	}()
	o := &once{r: r, bench: r.newBench(max(1, opt.Workers)),
		f: treeFactor{n: p.unknowns(), dof: p.NodeDof, plan: r.plan, l: make([][]float64, len(r.plan.classes))}}
	o.ask(wanted)
	o.branches()
	o.count()
	return o.solve(ctx, sides)
}

// branchShare is the part of L below which a branch is eliminated again: a board of 1,242
// pieces then holds half of L, and a larger part would save little.
const branchShare = 24

const (
	trunk  = -1 // of no branch
	shared = -2 // of several, or of a branch and the trunk
)

// once is one call of SolveOnce.
type once struct {
	r     *runner
	f     treeFactor
	bench *workbench
	front []float64
	xs    [][]float64

	asked  []bool  // by place: its answers are asked, or those of one below
	first  []int32 // by place: the first of those below it, which stand before it in a row
	branch []int32 // by place: number of its branch, or trunk
	owner  []int32 // by class: the branch of all its places, trunk or shared
	last   []int32 // by class: its last place
	keep   []bool  // by class: its columns are kept for the way back
}

// ask marks the places whose answers are needed.
func (o *once) ask(wanted []bool) {
	plan := o.r.plan
	o.asked = make([]bool, len(plan.places))
	if wanted == nil {
		for q := range o.asked {
			o.asked[q] = true
		}
		return
	}
	w := plan.upward(len(o.r.p.Coord))
	for node, home := range w.home {
		if wanted[node] {
			for q := home; q >= 0 && !o.asked[q]; q = w.parent[q] {
				o.asked[q] = true
			}
		}
	}
}

// branches finds the largest parts of the tree that hold less than their share of L.
func (o *once) branches() {
	plan := o.r.plan
	n := len(plan.places)
	o.first, o.branch = make([]int32, n), make([]int32, n)
	held := make([]int, n) // numbers of L in a place and below
	var open []int32       // places without a parent so far
	total := 0
	for q, in := range plan.places {
		c := &plan.classes[in.class]
		o.first[q], held[q] = int32(q), c.pat.panelLen()
		total += held[q]
		for _, k := range c.children {
			if k < 0 {
				continue
			}
			below := open[len(open)-1]
			open = open[:len(open)-1]
			o.first[q] = o.first[below]
			held[q] += held[below]
		}
		open = append(open, int32(q))
	}
	for q := n - 1; q >= 0; q-- {
		if held[q]*branchShare > total {
			o.branch[q] = trunk
			continue
		}
		for i := int(o.first[q]); i <= q; i++ {
			o.branch[i] = int32(q)
		}
		q = int(o.first[q])
	}
	o.owner, o.last = make([]int32, len(plan.classes)), make([]int32, len(plan.classes))
	o.keep = make([]bool, len(plan.classes))
	seen := make([]bool, len(plan.classes))
	for q, in := range plan.places {
		id := in.class
		if !seen[id] {
			seen[id], o.owner[id] = true, o.branch[q]
		} else if o.owner[id] != o.branch[q] {
			o.owner[id] = shared
		}
		o.last[id] = int32(q)
		o.keep[id] = o.keep[id] || o.asked[q]
	}
	for id := range o.keep {
		o.keep[id] = o.keep[id] && o.owner[id] < 0
	}
}

// count counts what each class and each element is needed for. The Schur complement of
// what several branches share is held, for it would be eliminated again for each.
func (o *once) count() {
	r := o.r
	r.done = make([]bool, len(r.plan.classes))
	r.uses = make([]int32, len(r.plan.classes))
	r.joins = make([]int32, len(r.table.first))
	held := make([]bool, len(r.plan.classes))
	for id := range r.plan.classes {
		o.need(int32(id))
		for _, k := range r.plan.classes[id].children {
			if k >= 0 && o.owner[id] >= 0 && o.owner[k] == shared && !held[k] {
				held[k] = true
				r.uses[k]++
			}
		}
	}
}

// need counts what the elimination of a class takes.
func (o *once) need(id int32) {
	for _, k := range o.r.plan.classes[id].children {
		if k < 0 {
			o.r.joins[-1-k]++
		} else {
			o.r.uses[k]++
		}
	}
}

func (o *once) solve(ctx context.Context, sides [][]float64) error {
	most := 0
	for _, p := range o.r.plan.patterns {
		most = max(most, p.panels*64)
	}
	var a arena
	defer func() { giveBack(a.used) }()
	o.front = a.take(most)
	for from := 0; from < len(sides); from += 8 {
		x := a.take(8 * o.f.n)
		load(x, sides[from:min(from+8, len(sides))])
		o.xs = append(o.xs, x)
	}
	if err := o.up(ctx); err != nil {
		return err
	}
	if err := o.down(ctx); err != nil {
		return err
	}
	for i, x := range o.xs {
		store(sides[8*i:min(8*i+8, len(sides))], x)
	}
	return nil
}

// up eliminates every class at its first place and goes from the leaves to the root.
func (o *once) up(ctx context.Context) error {
	places := o.r.plan.places
	for q := range places {
		id := places[q].class
		if !o.r.done[id] {
			if err := o.eliminate(ctx, id); err != nil {
				return err
			}
		}
		o.f.forward(o.xs, o.front, places[q:q+1])
		if o.last[id] == int32(q) && !o.keep[id] {
			o.drop(id)
		}
	}
	return nil
}

func (o *once) eliminate(ctx context.Context, id int32) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := o.r.fetchFor(ctx, id); err != nil {
		return err
	}
	if err := o.r.eliminate(id, o.bench); err != nil {
		return err
	}
	o.f.l[id] = o.r.block[id].l
	return nil
}

// drop lets the columns of a class go.
func (o *once) drop(id int32) {
	o.r.columns.put(o.f.l[id])
	o.f.l[id], o.r.block[id].l = nil, nil
}

// down goes from the root to the leaves, as far as answers are asked.
func (o *once) down(ctx context.Context) error {
	places := o.r.plan.places
	back := func(q int) {
		if o.asked[q] {
			o.f.backward(o.xs, o.front, places[q:q+1])
		}
	}
	for q := len(places) - 1; q >= 0; q-- {
		if err := ctx.Err(); err != nil {
			return err
		}
		if o.branch[q] == trunk {
			back(q)
			continue
		}
		first := int(o.first[q])
		if slices.Contains(o.asked[first:q+1], true) {
			own, err := o.regrow(ctx, first, q)
			if err != nil {
				return err
			}
			for i := q; i >= first; i-- {
				back(i)
			}
			for _, id := range own {
				o.drop(id)
			}
		}
		q = first
	}
	return nil
}

// regrow eliminates again what a branch has for itself, and lists it.
func (o *once) regrow(ctx context.Context, first, root int) ([]int32, error) {
	r := o.r
	var own []int32
	for _, in := range r.plan.places[first : root+1] {
		if id := in.class; o.owner[id] >= 0 && r.done[id] {
			r.done[id] = false
			own = append(own, id)
			o.need(id)
		}
	}
	for _, id := range own {
		if err := o.eliminate(ctx, id); err != nil {
			return nil, err
		}
	}
	if id := r.plan.places[root].class; o.owner[id] >= 0 {
		r.putSchur(id) // nobody takes it
	}
	return own, nil
}
