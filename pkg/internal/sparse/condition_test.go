package sparse

import (
	"context"
	"math"
)

// estimateCondition estimates the condition number in the 1-norm of the free
// part of the matrix: Hager's lower bound of the norm of the inverse (W. W.
// Hager, Condition estimates, 1984; at most five pairs of solves) times the sum
// over the elements of the norm of their columns, which is never below the norm
// of the matrix. One over it times 1e-16 is the share of an answer that
// round-off leaves in doubt.
func estimateCondition(p *Problem, k Stiffness, f Factor) (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	norm, err := columnNorm(p, k)
	if err != nil {
		return 0, err
	}
	n, free := f.N(), 0
	fixed := p.fixedMask()
	for _, held := range fixed {
		if !held {
			free++
		}
	}
	if free == 0 {
		return 1, nil
	}
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		if !fixed[i] {
			x[i] = 1 / float64(free)
		}
	}
	estimate := 0.0
	for range 5 {
		if err := f.Solve(context.Background(), [][]float64{y}, [][]float64{x}); err != nil {
			return 0, err
		}
		sum := 0.0
		for i, v := range y {
			sum += math.Abs(v)
			y[i] = math.Copysign(1, v)
		}
		if sum <= estimate {
			break
		}
		estimate = sum
		if err := f.Solve(context.Background(), [][]float64{y}, [][]float64{y}); err != nil {
			return 0, err
		}
		best := 0
		for i := range y {
			if math.Abs(y[i]) > math.Abs(y[best]) {
				best = i
			}
		}
		clear(x)
		x[best] = 1
	}
	return norm * estimate, nil
}

// columnNorm is the largest sum over a column of the absolute element entries.
func columnNorm(p *Problem, k Stiffness) (float64, error) {
	table := distinctElements(p)
	for kind := range table.first {
		if err := table.fetch(p, k, int32(kind)); err != nil {
			return 0, err
		}
	}
	sums := make([]float64, p.unknowns())
	fixed := p.fixedMask()
	for e := range p.Elements {
		nodes, m := p.Elements[e].Nodes, table.matrix[table.of[e]]
		n := len(nodes) * p.NodeDof
		for i := range n {
			if fixed[int(nodes[i/p.NodeDof])*p.NodeDof+i%p.NodeDof] {
				continue
			}
			for j := range n {
				sums[int(nodes[j/p.NodeDof])*p.NodeDof+j%p.NodeDof] += math.Abs(m[i*n+j])
			}
		}
	}
	norm := 0.0
	for u, s := range sums {
		if !fixed[u] {
			norm = max(norm, s)
		}
	}
	return norm, nil
}
