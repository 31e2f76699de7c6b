package sparse

import (
	"runtime"
	"sync"
)

// Solve treats the sides eight at a time; workers share out the eights, so the
// answer does not depend on their number.
func (f *treeFactor) Solve(dst, rhs [][]float64) error {
	if err := checkSides(f.N(), dst, rhs); err != nil {
		return err
	}
	eights := (len(rhs) + 7) / 8
	teams := min(f.workers, eights)
	if teams <= 1 {
		f.solveEights(dst, rhs, 0, 1)
	} else {
		var group sync.WaitGroup
		for w := range teams {
			group.Go(func() { f.solveEights(dst, rhs, w, teams) })
		}
		group.Wait()
	}
	// The columns of L go back to the slabs once nobody holds the factor.
	runtime.KeepAlive(f)
	return nil
}

// solveEights solves every step-th eight of the sides, from the first given.
func (f *treeFactor) solveEights(dst, rhs [][]float64, first, step int) {
	var a arena
	defer func() { giveBack(a.used) }()
	most := 0
	for _, p := range f.plan.patterns {
		most = max(most, p.panels*64)
	}
	x, front := a.take(8*f.N()), a.take(most)
	for r := 8 * first; r < len(rhs); r += 8 * step {
		end := min(r+8, len(rhs))
		load(x, rhs[r:end])
		f.forward(x, front)
		f.backward(x, front)
		store(dst[r:end], x)
	}
}

// load puts up to eight sides next to each other: side r of unknown i goes to 8i+r.
func load(x []float64, rhs [][]float64) {
	for r := range 8 {
		if r < len(rhs) {
			for i, v := range rhs[r] {
				x[8*i+r] = v
			}
			continue
		}
		for i := r; i < len(x); i += 8 {
			x[i] = 0
		}
	}
}

func store(dst [][]float64, x []float64) {
	for r := range dst {
		for i := range dst[r] {
			dst[r][i] = x[8*i+r]
		}
	}
}

// forward goes from the leaves to the root: unknowns that leave are solved for
// in terms of those that stay, whose loads change.
func (f *treeFactor) forward(x, front []float64) {
	dof := f.p.NodeDof
	for _, in := range f.plan.places {
		p := f.plan.classes[in.class].pat
		leave := f.plan.nodes[in.first : in.first+p.leave]
		stay := f.plan.nodes[in.first+p.leave : in.first+p.leave+p.stay]
		front := front[:p.panels*64]
		gatherRows(front, x, leave, dof)
		for _, t := range p.fixed {
			clear(front[8*t : 8*t+8])
		}
		clear(front[p.ne*8:])
		forward(f.l[in.class], 8*p.ne8, p.ne8/8, p.panels, p.ne, front)
		scatterRows(x, front, leave, dof)
		scatterAddRows(x, front[p.ne8*8:], stay, dof)
	}
}

// backward goes from the root to the leaves: what stayed is known by now.
func (f *treeFactor) backward(x, front []float64) {
	dof := f.p.NodeDof
	for q := len(f.plan.places) - 1; q >= 0; q-- {
		in := f.plan.places[q]
		p := f.plan.classes[in.class].pat
		leave := f.plan.nodes[in.first : in.first+p.leave]
		stay := f.plan.nodes[in.first+p.leave : in.first+p.leave+p.stay]
		front := front[:p.panels*64]
		gatherRows(front, x, leave, dof)
		clear(front[p.ne*8 : p.ne8*8])
		gatherRows(front[p.ne8*8:], x, stay, dof)
		clear(front[(p.ne8+p.nr)*8:])
		backward(f.l[in.class], 8*p.ne8, p.ne8/8, p.panels, front)
		scatterRows(x, front, leave, dof)
	}
}
