package sparse

import (
	"context"
	"fmt"
)

// SolveAt implements Factor. A cluster takes part when one of the nodes it
// eliminates carries a load or has been reached from a cluster below; the
// answers at those nodes need just the same clusters, so one list serves both
// ways.
func (f *treeFactor) SolveAt(ctx context.Context, nodes []int32, dst, rhs [][]float64) error {
	if err := checkNodes(f.n/f.dof, nodes); err != nil {
		return err
	}
	if err := checkSides(len(nodes)*f.dof, dst, rhs); err != nil {
		return err
	}
	if len(rhs) == 0 || len(nodes) == 0 {
		return nil
	}
	places, reached := f.reach(nodes)
	return f.shared(dst, rhs, func(dst, rhs [][]float64) error { return f.solveAt(ctx, nodes, places, reached, dst, rhs) })
}

// solveAt is SolveAt for some of the sides.
func (f *treeFactor) solveAt(ctx context.Context, nodes []int32, places []instance, reached []int32, dst, rhs [][]float64) error {
	var a arena
	defer func() { giveBack(a.used) }()
	most := 0
	for _, in := range places {
		most = max(most, f.plan.classes[in.class].pat.panels*64)
	}
	front := a.take(most)
	xs := make([][]float64, min(abreast, (len(rhs)+7)/8))
	for i := range xs {
		xs[i] = a.take(8 * f.N())
	}
	width := 8 * f.dof
	for len(rhs) > 0 {
		n := min(8*len(xs), len(rhs))
		xs = xs[:(n+7)/8]
		for i, x := range xs {
			for _, k := range reached {
				clear(x[int(k)*width : int(k)*width+width])
			}
			for r, side := range rhs[8*i : min(8*i+8, n)] {
				for k, node := range nodes {
					for d := range f.dof {
						x[int(node)*width+8*d+r] = side[k*f.dof+d]
					}
				}
			}
		}
		if err := f.through(ctx, xs, front, places); err != nil {
			return err
		}
		for i, x := range xs {
			for r, to := range dst[8*i : min(8*i+8, n)] {
				for k, node := range nodes {
					for d := range f.dof {
						to[k*f.dof+d] = x[int(node)*width+8*d+r]
					}
				}
			}
		}
		dst, rhs = dst[n:], rhs[n:]
	}
	return nil
}

// reach lists the clusters between some nodes and the root, in the plan's
// order, and all nodes that occur in them.
func (f *treeFactor) reach(nodes []int32) (places []instance, reached []int32) {
	mark := make([]bool, f.n/f.dof)
	for _, n := range nodes {
		mark[n] = true
	}
	reached = append(reached, nodes...)
	for _, in := range f.plan.places {
		p := f.plan.classes[in.class].pat
		interior := f.plan.nodes[in.first : in.first+p.interior]
		hit := false
		for _, n := range interior {
			if mark[n] {
				hit = true
				break
			}
		}
		if !hit {
			continue
		}
		places = append(places, in)
		for _, n := range f.plan.nodes[in.first : in.first+p.interior+p.boundary] {
			if !mark[n] {
				mark[n] = true
				reached = append(reached, n)
			}
		}
	}
	return places, reached
}

// SolveAt implements Factor.
func (f *directFactor) SolveAt(ctx context.Context, nodes []int32, dst, rhs [][]float64) error {
	if err := checkNodes(f.full/f.dof, nodes); err != nil {
		return err
	}
	if err := checkSides(len(nodes)*f.dof, dst, rhs); err != nil {
		return err
	}
	x := make([][]float64, 1)
	x[0] = make([]float64, f.full)
	for r := range rhs {
		clear(x[0])
		for k, n := range nodes {
			copy(x[0][int(n)*f.dof:], rhs[r][k*f.dof:(k+1)*f.dof])
		}
		if err := f.Solve(ctx, x, x); err != nil {
			return err
		}
		for k, n := range nodes {
			copy(dst[r][k*f.dof:(k+1)*f.dof], x[0][int(n)*f.dof:])
		}
	}
	return nil
}

// checkNodes refuses nodes out of range or named twice.
func checkNodes(n int, nodes []int32) error {
	seen := make(map[int32]bool, len(nodes))
	for _, k := range nodes {
		if k < 0 || int(k) >= n || seen[k] {
			return fmt.Errorf("sparse: node %d is named twice or is not one of 0 to %d", k, n-1)
		}
		seen[k] = true
	}
	return nil
}
