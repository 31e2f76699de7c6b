package sparse

import (
	"context"
	"errors"
	"runtime"
	"sync"
)

// abreast is how many eights of sides go through the clusters together: L is
// fetched from memory once for all of them.
const abreast = 4

// Solve treats the sides eight at a time, several eights abreast; workers share
// out the eights. The bits of an answer depend neither on the workers nor on the
// other sides.
func (f *treeFactor) Solve(ctx context.Context, dst, rhs [][]float64) error {
	if err := checkSides(f.N(), dst, rhs); err != nil {
		return err
	}
	return f.shared(dst, rhs, func(dst, rhs [][]float64) error { return f.solveSome(ctx, dst, rhs) })
}

// shared lets the workers share out the sides in eights.
func (f *treeFactor) shared(dst, rhs [][]float64, solve func(dst, rhs [][]float64) error) error {
	eights := (len(rhs) + 7) / 8
	teams := max(1, min(f.workers, eights))
	share := (eights + teams - 1) / teams * 8
	var group sync.WaitGroup
	errs := make([]error, teams)
	for from := share; from < len(rhs); from += share {
		to := min(from+share, len(rhs))
		group.Go(func() { errs[from/share] = solve(dst[from:to], rhs[from:to]) })
	}
	errs[0] = solve(dst[:min(share, len(rhs))], rhs[:min(share, len(rhs))])
	group.Wait()
	// The columns of L go back to the slabs once nobody holds the factor.
	runtime.KeepAlive(f)
	return errors.Join(errs...)
}

func (f *treeFactor) solveSome(ctx context.Context, dst, rhs [][]float64) error {
	if len(rhs) == 0 {
		return nil
	}
	var a arena
	defer func() { giveBack(a.used) }()
	most := 0
	for _, p := range f.plan.patterns {
		most = max(most, p.panels*64)
	}
	front := a.take(most)
	xs := make([][]float64, min(abreast, (len(rhs)+7)/8))
	for i := range xs {
		xs[i] = a.take(8 * f.N())
	}
	for len(rhs) > 0 {
		n := min(8*len(xs), len(rhs))
		xs = xs[:(n+7)/8]
		for i, x := range xs {
			load(x, rhs[8*i:min(8*i+8, n)])
		}
		if err := f.through(ctx, xs, front, f.plan.places); err != nil {
			return err
		}
		for i, x := range xs {
			store(dst[8*i:min(8*i+8, n)], x)
		}
		dst, rhs = dst[n:], rhs[n:]
	}
	return nil
}

// clustersAtOnce is how many clusters are passed between two looks at the context.
const clustersAtOnce = 512

// through goes to the root and back. The error is that of the context.
func (f *treeFactor) through(ctx context.Context, xs [][]float64, front []float64, places []instance) error {
	for from := 0; from < len(places); from += clustersAtOnce {
		if err := ctx.Err(); err != nil {
			return err
		}
		f.forward(xs, front, places[from:min(from+clustersAtOnce, len(places))])
	}
	for to := len(places); to > 0; to -= clustersAtOnce {
		if err := ctx.Err(); err != nil {
			return err
		}
		f.backward(xs, front, places[max(0, to-clustersAtOnce):to])
	}
	return nil
}

// load puts up to eight sides next to each other: side r of unknown i goes to 8i+r.
func load(x []float64, rhs [][]float64) {
	if len(rhs) < 8 {
		clear(x)
		for r := range rhs {
			for i, v := range rhs[r] {
				x[8*i+r] = v
			}
		}
		return
	}
	n := len(rhs[0])
	r0, r1, r2, r3 := rhs[0][:n], rhs[1][:n], rhs[2][:n], rhs[3][:n]
	r4, r5, r6, r7 := rhs[4][:n], rhs[5][:n], rhs[6][:n], rhs[7][:n]
	for i := range n {
		to := x[8*i : 8*i+8 : 8*i+8]
		to[0], to[1], to[2], to[3] = r0[i], r1[i], r2[i], r3[i]
		to[4], to[5], to[6], to[7] = r4[i], r5[i], r6[i], r7[i]
	}
}

func store(dst [][]float64, x []float64) {
	if len(dst) < 8 {
		for r := range dst {
			for i := range dst[r] {
				dst[r][i] = x[8*i+r]
			}
		}
		return
	}
	n := len(dst[0])
	r0, r1, r2, r3 := dst[0][:n], dst[1][:n], dst[2][:n], dst[3][:n]
	r4, r5, r6, r7 := dst[4][:n], dst[5][:n], dst[6][:n], dst[7][:n]
	for i := range n {
		from := x[8*i : 8*i+8 : 8*i+8]
		r0[i], r1[i], r2[i], r3[i] = from[0], from[1], from[2], from[3]
		r4[i], r5[i], r6[i], r7[i] = from[4], from[5], from[6], from[7]
	}
}

// forward goes from the leaves to the root: interior unknowns are solved for
// in terms of those of the boundary, whose loads change.
func (f *treeFactor) forward(xs [][]float64, front []float64, places []instance) {
	dof := f.dof
	for _, in := range places {
		p := f.plan.classes[in.class].pat
		interior := f.plan.nodes[in.first : in.first+p.interior]
		boundary := f.plan.nodes[in.first+p.interior : in.first+p.interior+p.boundary]
		front := front[:p.panels*64]
		for _, x := range xs {
			gatherRows(front, x, interior, dof)
			for _, t := range p.fixed {
				clear(front[8*t : 8*t+8])
			}
			clear(front[p.ne*8:])
			forward(p, f.l[in.class], front)
			scatterRows(x, front, interior, dof)
			scatterAddRows(x, front[p.ne8*8:], boundary, dof)
		}
	}
}

// backward goes from the root to the leaves: the boundary is known by now.
func (f *treeFactor) backward(xs [][]float64, front []float64, places []instance) {
	dof := f.dof
	for q := len(places) - 1; q >= 0; q-- {
		in := places[q]
		p := f.plan.classes[in.class].pat
		interior := f.plan.nodes[in.first : in.first+p.interior]
		boundary := f.plan.nodes[in.first+p.interior : in.first+p.interior+p.boundary]
		front := front[:p.panels*64]
		for _, x := range xs {
			gatherRows(front, x, interior, dof)
			clear(front[p.ne*8 : p.ne8*8])
			gatherRows(front[p.ne8*8:], x, boundary, dof)
			clear(front[(p.ne8+p.nr)*8:])
			backward(p, f.l[in.class], front)
			scatterRows(x, front, interior, dof)
		}
	}
}
