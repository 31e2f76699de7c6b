package fracture

import (
	"context"
	"math"
)

// choice is the best stretch so far.
type choice struct {
	v      float64
	s      *start
	tip    int     // number of sides opened
	beyond float64 // share of the way to the next tip
	at     float64 // mm along the line
	tips   []tip
	place  int // of the tips in the scratch
}

// from tries all lengths from one start. The error is that of the context.
func (m *moment) from(ctx context.Context, s *start, best *choice) (err error) {
	l := m.l
	l.open(s)
	place := 1 - best.place
	tips := l.room.tipsFor(place, len(s.count))
	last := 0
	for k := 1; k < len(tips); k++ {
		tips[k].at = l.tipAt(s, k)
		tips[k].stress = m.stressTo(s, k, tips[k].at)
		if tips[k].stress > best.v && l.counts(s, tips[k].at) {
			last = k
		}
	}
	if last == 0 {
		return nil
	}
	if l.s == nil {
		if l.s, err = l.Stiffness(ctx); err != nil {
			return err
		}
	}
	m.load()
	last = min(last+1, len(tips)-1)
	held, err := l.factor(ctx, s, s.count[last])
	if err != nil {
		return err
	}
	ys := make([][]float64, len(m.layers))
	for i := range m.layers {
		ys[i] = s.forward(m.layers[i].f, held)
	}
	open := func(k int) int { return min(s.count[k], held&^1) }
	if !m.bounded(s, tips[:last+1], open, ys, best.v) {
		return nil
	}
	exact := func(k int) bool {
		t := &tips[k]
		if !t.known {
			var shorter *tip
			for q := k - 1; q > 0 && shorter == nil; q-- {
				if tips[q].known {
					shorter = &tips[q]
				}
			}
			m.settle(s, t, k, open(k), ys, shorter)
		}
		return t.known
	}
	try := func(k int) {
		t := &tips[k]
		if l.counts(s, t.at) && min(t.stress, math.Sqrt(t.most)) > best.v && exact(k) {
			if v := min(t.stress, math.Sqrt(t.ratio)); v > best.v*(1+alike) {
				*best = choice{v, s, k, 0, t.at, tips, place}
			}
		}
	}
	// between looks where, from one length to the next, stress comes to lie below energy.
	between := func(k int) {
		t, u := &tips[k], &tips[k+1]
		if !l.counts(s, t.at) || min(max(t.stress, u.stress), math.Sqrt(max(t.most, u.most))) <= best.v || !exact(k) || !exact(k+1) {
			return
		}
		if t.stress*t.stress > t.ratio && u.stress*u.stress < u.ratio {
			x := m.cross(s, t, u)
			if v := math.Sqrt(t.ratio + x*(u.ratio-t.ratio)); v > best.v*(1+alike) {
				*best = choice{v, s, k, x, t.at + x*(u.at-t.at), tips, place}
			}
		}
	}
	return m.narrow(ctx, s, tips, last, best, try, between)
}

// narrow tries the lengths of a crack without working out each. A longer crack
// frees no less energy than a shorter one within it, contact or not: a length that is
// known bounds all below it, and an interval in which nothing can pass the best so far
// is left alone, any other is halved. Errors: the context's.
func (m *moment) narrow(ctx context.Context, s *start, tips []tip, last int, best *choice, try, between func(k int)) error {
	l := m.l
	bounded := func(k int) { // a length worked out bounds the shorter ones
		if !tips[k].known {
			return
		}
		for q := 1; q < k; q++ {
			tips[q].most = min(tips[q].most, tips[k].total/l.area(s, q)/l.toughness(s.at, s.at+q*s.step).Open)
		}
	}
	// bound is what the lengths from lo to hi can reach, and those between neighbours.
	bound := func(lo, hi int) (most float64) {
		for q := max(lo, 1); q < hi; q++ {
			t, u := &tips[q], &tips[q+1]
			if b := min(max(t.stress, u.stress), math.Sqrt(max(t.most, u.most))); b > most {
				most = b
			}
		}
		return most
	}
	var halve func(lo, hi int) error
	halve = func(lo, hi int) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		switch {
		case hi-lo == 1 && lo > 0:
			between(lo)
			return nil
		case hi-lo == 1 || bound(lo, hi) <= best.v:
			return nil
		}
		mid := (lo + hi) / 2
		try(mid)
		bounded(mid)
		if bound(lo, mid) > bound(mid, hi) {
			if err := halve(lo, mid); err != nil {
				return err
			}
			return halve(mid, hi)
		}
		if err := halve(mid, hi); err != nil {
			return err
		}
		return halve(lo, mid)
	}
	first, most := 1, 0.0 // the most promising length, which may rule out the longest
	for q := 1; q <= last; q++ {
		if b := min(tips[q].stress, math.Sqrt(tips[q].most)); b > most*(1+alike) && l.counts(s, tips[q].at) {
			first, most = q, b
		}
	}
	try(first)
	bounded(first)
	for last > 1 && bound(last-1, last) <= best.v {
		last--
	}
	try(last)
	bounded(last)
	return halve(0, last)
}

// bounded gives every tip what its energy (3) is never above, and tells whether stress and
// energy leave any of them above a bound. Without contact the energy is ½yᵀy, y = L⁻¹f.
// With δ_N ≥ 0 what presses takes energy away, so that neither is the energy of the force
// without its pressing parts below it.
func (m *moment) bounded(s *start, tips []tip, open func(k int) int, ys [][]float64, above float64) bool {
	l := m.l
	add := func(ys [][]float64) (some bool) {
		done := make([]int, len(ys))
		sums := make([]float64, len(ys))
		for k := 1; k < len(tips); k++ {
			t, total := &tips[k], 0.0
			for i, y := range ys {
				for _, v := range y[done[i]:open(k)] {
					sums[i] += v * v / 2
				}
				done[i] = open(k)
				total += m.layers[i].weight * sums[i]
			}
			if t.total == 0 || total < t.total {
				t.total = total
				t.most = total / l.area(s, k) / l.toughness(s.at, s.at+k*s.step).Open
			}
			before := &tips[k-1]
			if min(max(t.stress, before.stress), math.Sqrt(max(t.most, before.most))) > above {
				some = true
			}
		}
		return some
	}
	if !add(ys) {
		return false
	}
	pulled := make([][]float64, len(ys))
	some := false
	for i, y := range ys {
		pulled[i] = y
		if pulls := l.pulls(s.unknowns[:len(y)], m.layers[i].f); pulls != nil {
			pulled[i], some = s.forward(pulls, len(y)), true
		}
	}
	return !some || add(pulled)
}

// pulls is a force without what presses the faces of a crack together; nil where nothing does.
func (l *Line) pulls(unknowns []int, f []float64) []float64 {
	var out []float64
	for _, u := range unknowns {
		if f[u] < 0 && l.normal(u) {
			if out == nil {
				out = append(out, f...)
			}
			out[u] = 0
		}
	}
	return out
}
