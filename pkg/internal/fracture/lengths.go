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
	m.stressTo(s, tips)
	for k := 1; k < len(tips); k++ {
		if tips[k].stress > best.v && s.ends[k].counts {
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
		if s.ends[k].counts && min(t.stress, math.Sqrt(t.most)) > best.v && exact(k) {
			if v := min(t.stress, math.Sqrt(t.ratio)); v > best.v*(1+alike) {
				*best = choice{v, s, k, 0, s.ends[k].at, tips, place}
			}
		}
	}
	// between looks where, from one length to the next, stress comes to lie below energy.
	between := func(k int) {
		t, u := &tips[k], &tips[k+1]
		if !s.ends[k].counts || min(max(t.stress, u.stress), math.Sqrt(max(t.most, u.most))) <= best.v || !exact(k) || !exact(k+1) {
			return
		}
		if t.stress*t.stress > t.ratio && u.stress*u.stress < u.ratio {
			x := m.cross(s, k, t, u)
			if v := math.Sqrt(t.ratio + x*(u.ratio-t.ratio)); v > best.v*(1+alike) {
				*best = choice{v, s, k, x, s.ends[k].at + x*(s.ends[k+1].at-s.ends[k].at), tips, place}
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
	bounded := func(k int) { // a length worked out bounds the shorter ones
		if !tips[k].known {
			return
		}
		for q := 1; q < k; q++ {
			tips[q].most = min(tips[q].most, s.most(q, tips[k].total, tips[q].pull))
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
		if b := min(tips[q].stress, math.Sqrt(tips[q].most)); b > most*(1+alike) && s.ends[q].counts {
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

// bounded gives every tip what its energy (3) over what it needs is never above, and tells
// whether stress and energy leave any of them above a bound.
//
// Without contact the energy is ½yᵀy, y = L⁻¹f. With δ_N ≥ 0 what presses takes energy
// away, so that neither is the energy of the force without its pressing parts below it.
// Of that, opening has at most √(U·U_N), U_N the energy of what pulls the faces apart alone
// (Cauchy and Schwarz in the metric of S), which bounds the mode mix; see Toughness.most.
func (m *moment) bounded(s *start, tips []tip, open func(k int) int, ys [][]float64, above float64) bool {
	sum := func(ys [][]float64, to func(t *tip, total float64)) {
		done, sums := make([]int, len(ys)), make([]float64, len(ys))
		for k := 1; k < len(tips); k++ {
			total := 0.0
			for i, y := range ys {
				for _, v := range y[done[i]:open(k)] {
					sums[i] += v * v / 2
				}
				done[i] = open(k)
				total += m.layers[i].weight * sums[i]
			}
			to(&tips[k], total)
		}
	}
	some := func() (some bool) {
		for k := 1; k < len(tips); k++ {
			t, before := &tips[k], &tips[k-1]
			t.most = s.most(k, t.total, t.pull)
			some = some || min(max(t.stress, before.stress), math.Sqrt(max(t.most, before.most))) > above
		}
		return some
	}
	sum(ys, func(t *tip, total float64) { t.total, t.pull = total, math.Inf(1) })
	if !some() {
		return false
	}
	forward := func(of func(unknowns []int, f []float64) []float64) (out [][]float64) {
		for i, y := range ys {
			out = append(out, s.forward(of(s.unknowns[:len(y)], m.layers[i].f), len(y)))
		}
		return out
	}
	pressed := false
	for i, y := range ys {
		pressed = pressed || m.l.presses(s.unknowns[:len(y)], m.layers[i].f)
	}
	if pressed {
		sum(forward(m.l.pulls), func(t *tip, total float64) { t.total = min(t.total, total) })
		if !some() {
			return false
		}
	}
	sum(forward(m.l.parts), func(t *tip, total float64) { t.pull = total })
	return some()
}

// most is what G/G_c of a tip is never above when its energy is not above u, and that of
// what pulls the faces apart alone not above pull [N·mm].
func (s *start) most(k int, u, pull float64) float64 {
	if u <= 0 {
		return 0
	}
	return u / s.ends[k].area / s.ends[k].tough.most(math.Sqrt(pull/u))
}

// most is a toughness [N/mm] that G over it bounds G/G_c from above when opening has at
// most a share of a bound of G: as G falls below the bound that share grows with its root,
// and with G_II ≤ 3·G_I and a convex law (4) G/G_c(1 − share) falls with G all the same.
func (t Toughness) most(share float64) float64 {
	if share >= 1 || t.Slide > 3*t.Open*(1+1e-9) || t.Exponent < 1 {
		return t.Open
	}
	return t.Energy(1 - share)
}

// presses tells whether a force presses the faces of a crack together anywhere.
func (l *Line) presses(unknowns []int, f []float64) bool {
	for _, u := range unknowns {
		if f[u] < 0 && l.normal(u) {
			return true
		}
	}
	return false
}

// pulls is a force without what presses the faces of a crack together.
func (l *Line) pulls(unknowns []int, f []float64) []float64 {
	out := append([]float64(nil), f...)
	for _, u := range unknowns {
		if l.normal(u) {
			out[u] = max(0, out[u])
		}
	}
	return out
}

// parts is what of a force pulls the faces of a crack apart, without sliding.
func (l *Line) parts(unknowns []int, f []float64) []float64 {
	out := l.pulls(unknowns, f)
	for _, u := range unknowns {
		if !l.normal(u) {
			out[u] = 0
		}
	}
	return out
}
