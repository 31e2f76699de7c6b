package fracture

import (
	"context"
	"fmt"
	"math"
)

// Release is the energy set free per area by opening a stretch of the line, N/mm
// (kJ/m²), and the share of it that sliding sets free. from and to [mm] are taken
// to the nearest ends of sides. Errors: those of Judge, and of a stretch without sides.
func (l *Line) Release(ctx context.Context, st *State, from, to float64) (g, sliding float64, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	m := l.at(st)
	if l.s == nil {
		if l.s, err = l.Stiffness(ctx); err != nil {
			return 0, 0, err
		}
	}
	m.load()
	i, j := l.nearest(from), l.nearest(to)
	if i >= j {
		return 0, 0, fmt.Errorf("fracture: no side lies between %g and %g mm", from, to)
	}
	s := start{at: i, step: 1}
	l.open(&s)
	n, err := l.factor(ctx, &s, s.count[j-i])
	if err != nil {
		return 0, 0, err
	}
	n &^= 1 // a place has two unknowns
	t := tip{}
	ys := make([][]float64, len(m.layers))
	for k := range ys {
		ys[k] = s.forward(m.layers[k].f, n)
	}
	m.settle(&s, &t, j-i, n, ys, nil)
	if !t.known {
		return 0, 0, fmt.Errorf("fracture: contact from %g to %g mm was not found", from, to)
	}
	return t.g, t.s, nil
}

// nearest is the side end nearest to a place, mm.
func (l *Line) nearest(at float64) int {
	best := 0
	for i := range len(l.Joint) + 1 {
		if math.Abs(l.Place[2*i]-at) < math.Abs(l.Place[2*best]-at) {
			best = i
		}
	}
	return best
}
