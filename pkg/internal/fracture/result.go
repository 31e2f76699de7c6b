package fracture

import (
	"math"

	"github.com/tanrad/tanrad/pkg/joint"
)

// result tells all about the best stretch.
func (m *moment) result(c *choice) Result {
	l, s := m.l, c.s
	t := &c.tips[c.tip]
	r := Result{V: c.v, Start: l.Place[2*s.at], Energy: math.Sqrt(t.ratio), Release: t.g, Needed: t.gc, Sliding: t.s}
	if c.beyond > 0 {
		u := &c.tips[c.tip+1]
		mix := func(a, b float64) float64 { return a + c.beyond*(b-a) }
		r.Energy = math.Sqrt(mix(t.ratio, u.ratio))
		r.Release, r.Needed, r.Sliding = mix(t.g, u.g), mix(t.gc, u.gc), mix(t.s, u.s)
	}
	r.From, r.To = min(r.Start, c.at), max(r.Start, c.at)
	r.Stress, r.Level, r.Part = m.stress(s.at, c.at)
	side, share := l.sideAt(c.at)
	opens, slides := 0.0, 0.0
	for _, a := range l.arms(&m.sums[r.Level][r.Part], s.at, side, share) {
		opens, slides = opens+max(0, a.open), slides+math.Abs(a.slide)
	}
	r.Opens = opens >= slides
	r.Joint = m.heaviest(&r)
	r.ByMembrane, r.ByBending = make([]float64, len(m.st.Membrane)), make([]float64, len(m.st.Bending))
	switch {
	case c.beyond > 0:
		r.Governs = Both
		// v = S(a) = E(a) at an a that moves with the load: with the slopes S_a and
		// E_a by a, dv = (E_a·dS − S_a·dE)/(E_a − S_a).
		u := &c.tips[c.tip+1]
		gap := s.ends[c.tip+1].at - s.ends[c.tip].at
		h := 1e-4 * gap
		ahead, _, _ := m.stress(s.at, c.at+h)
		back, _, _ := m.stress(s.at, c.at-h)
		sa := (ahead - back) / (2 * math.Abs(h))
		ea := (u.ratio - t.ratio) / (2 * r.Energy) / math.Abs(gap)
		w := 0.5
		if ea-sa > 0 {
			w = max(0, min(1, ea/(ea-sa)))
		}
		m.stressSlopes(s, c.at, w, &r)
		m.energySlopes(s, t, c.tip, (1-w)*(1-c.beyond)/(2*r.Energy), &r)
		m.energySlopes(s, u, c.tip+1, (1-w)*c.beyond/(2*r.Energy), &r)
	case r.Stress <= r.Energy:
		r.Governs = Strength
		m.stressSlopes(s, c.at, 1, &r)
	default:
		r.Governs = Energy
		m.energySlopes(s, t, c.tip, 1/(2*r.Energy), &r)
	}
	return r
}

// heaviest is the joint that asks most of the part that decides.
func (m *moment) heaviest(r *Result) int {
	l := m.l
	from, _ := l.sideAt(r.From)
	best, at := -1.0, l.Joint[from]
	d := &m.sums[r.Level][r.Part]
	for i := from; i < len(l.Joint) && l.Place[2*i] < r.To; i++ {
		u := joint.Together(d.open[i+1]-d.open[i], d.slide[i+1]-d.slide[i]) / l.length(i, i+1)
		if u > best*(1+alike) {
			best, at = u, l.Joint[i]
		}
	}
	return at
}

// stressSlopes adds w times the slopes of S of (1).
func (m *moment) stressSlopes(s *start, at, w float64, r *Result) {
	l := m.l
	last, share := l.sideAt(at)
	arms := l.arms(&m.sums[r.Level][r.Part], s.at, last, share)
	a := math.Abs(at - l.Place[2*s.at])
	turns := l.turnsBetween(s.at, last)
	add := func(i int, share float64) {
		on := &arms[0]
		if turns && (i < l.Corner) != (s.at < l.Corner) {
			on = &arms[1]
		}
		open, slide := max(0, on.open), on.slide
		h := joint.Together(open, slide)
		if h == 0 {
			return
		}
		law := &m.st.Criteria[r.Level][l.Joint[i]][r.Part]
		n := w * share * (open*law.Open[0] + slide*law.Slide[0]) / h / a
		t := w * share * (open*law.Open[1] + slide*law.Slide[1]) / h / a
		for c := range r.ByMembrane {
			r.ByMembrane[c] += n*l.Membrane[c].SideN[i] + t*l.Membrane[c].SideT[i]
		}
		z := m.st.Height[r.Level]
		for c := range r.ByBending {
			r.ByBending[c] += z * (n*l.Bending[c].SideN[i] + t*l.Bending[c].SideT[i])
		}
	}
	if s.step > 0 {
		for i := s.at; i < last; i++ {
			add(i, 1)
		}
		add(last, share)
		return
	}
	add(last, 1-share)
	for i := last + 1; i < s.at; i++ {
		add(i, 1)
	}
}

// energySlopes adds w times the slopes of G/G_c. With δ the jump, dU = δ·df; the
// share of sliding ½f_T·δ_T changes by ½(δ_T + η)·df with Sη = (0, f_T).
func (m *moment) energySlopes(s *start, t *tip, k int, w float64, r *Result) {
	l := m.l
	if t.total == 0 || w == 0 {
		return
	}
	tough := s.ends[k].tough
	bend := 0.0 // d(G/G_c)/ds
	if t.s > 0 && t.s < 1 {
		bend = -t.g * tough.slope(t.s) / (t.gc * t.gc)
	}
	whole := 1/(s.ends[k].area*t.gc) - bend*t.s/t.total
	for i := range m.layers {
		ly, o := &m.layers[i], &t.open[i]
		weight := make([]float64, len(o.jump))
		for q, d := range o.jump {
			weight[q] = w * ly.weight * whole * d
		}
		if bend != 0 {
			along := make([]float64, len(ly.f))
			for _, u := range o.unknowns {
				if !l.normal(u) {
					along[u] = ly.f[u]
				}
			}
			eta := opening{unknowns: o.unknowns, jump: make([]float64, len(o.jump)), free: o.free}
			if l.solve(&eta, along) {
				for q, d := range o.jump {
					if l.normal(o.unknowns[q]) {
						d = 0
					}
					weight[q] += w * ly.weight * bend / t.total * (d + eta.jump[q]) / 2
				}
			}
		}
		dot := func(c *Load) float64 {
			sum := 0.0
			for q, u := range o.unknowns {
				if u%2 == 0 {
					sum += weight[q] * c.N[u/2]
				} else {
					sum += weight[q] * c.T[u/2]
				}
			}
			return sum
		}
		for c := range r.ByMembrane {
			r.ByMembrane[c] += dot(&l.Membrane[c])
		}
		if ly.z != 0 {
			for c := range r.ByBending {
				r.ByBending[c] += ly.z * dot(&l.Bending[c])
			}
		}
	}
}
