package fracture

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/joint"
)

// alike is the relative difference below which two are equal and the first is taken:
// what is alike by symmetry differs by round-off, which must not decide.
const alike = 1e-6

// moment is a line in one state.
type moment struct {
	l      *Line
	st     *State
	layers []layer
	sums   [][Parts]demand // per level: running sums over the sides
}

// layer is a height for which the energy is worked out: with the traction linear
// over the thickness, two heights stand for the whole exactly as long as the crack faces
// do not touch (Gauss), and each height opens or touches by itself.
type layer struct {
	weight, z float64   // share of the thickness; mm
	f         []float64 // per unknown, N
}

// demand is the running sum of the terms of one part's law, MPa·mm over MPa.
type demand struct{ open, slide []float64 }

func (l *Line) at(st *State) *moment {
	l.prepare()
	m := &moment{l: l, st: st}
	m.demands()
	return m
}

// load adds the cases up to forces at the layers, when they are first needed: stress
// alone rules most states out.
func (m *moment) load() {
	if m.layers != nil {
		return
	}
	l := m.l
	n := 2 * len(l.Place)
	even, bent := make([]float64, n), make([]float64, n)
	add := func(to []float64, cases []Load, amounts []float64) bool {
		some := false
		for c, a := range amounts {
			if a == 0 {
				continue
			}
			some = true
			for i, v := range cases[c].N {
				to[2*i] += a * v
			}
			for i, v := range cases[c].T {
				to[2*i+1] += a * v
			}
		}
		return some
	}
	add(even, l.Membrane, m.st.Membrane)
	if m.st.Own != nil {
		add(even, []Load{*m.st.Own}, []float64{1})
	}
	if !add(bent, l.Bending, m.st.Bending) {
		m.layers = []layer{{1, 0, even}}
		return
	}
	z := l.Thickness / math.Sqrt(12)
	for _, h := range [2]float64{-z, z} {
		f := make([]float64, n)
		for i := range f {
			f[i] = even[i] + h*bent[i]
		}
		m.layers = append(m.layers, layer{0.5, h, f})
	}
}

// demands adds up what the tractions ask of every part, side by side.
func (m *moment) demands() {
	l, st := m.l, m.st
	sides := len(l.Joint)
	room := l.room.zeros(2*Parts*len(st.Height)*(sides+1) + 4*sides)
	take := func(n int) []float64 {
		v := room[:n:n]
		room = room[n:]
		return v
	}
	n, t, bn, bt := take(sides), take(sides), take(sides), take(sides)
	sumSides([2][]float64{n, t}, l.Membrane, st.Membrane)
	if st.Own != nil {
		sumSides([2][]float64{n, t}, []Load{*st.Own}, []float64{1})
	}
	sumSides([2][]float64{bn, bt}, l.Bending, st.Bending)
	m.sums = make([][Parts]demand, len(st.Height))
	for v, z := range st.Height {
		for p := range Parts {
			if st.repeats(v, p) {
				continue
			}
			d := demand{take(sides + 1), take(sides + 1)}
			for i, j := range l.Joint {
				open, slide := st.Criteria[v][j][p].Terms(n[i]+z*bn[i], t[i]+z*bt[i])
				d.open[i+1], d.slide[i+1] = d.open[i]+open, d.slide[i]+slide
			}
			m.sums[v][p] = d
		}
	}
}

// repeats tells whether a part bears the same as an earlier one in every joint, as
// the two sides of a split within one piece do.
func (st *State) repeats(level, part int) bool {
	for q := range part {
		same := true
		for j := range st.Criteria[level] {
			if st.Criteria[level][j][part] != st.Criteria[level][j][q] {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// peak is the highest stress over strength of any one side; no mean over several is
// above it. Parts that are nowhere above a bound are left out of what follows.
func (m *moment) peak(above float64) float64 {
	worst := 0.0
	for v := range m.sums {
		for p := range m.sums[v] {
			d := &m.sums[v][p]
			if d.open == nil {
				continue
			}
			most := 0.0
			for i := range m.l.Joint {
				open, slide := d.open[i+1]-d.open[i], d.slide[i+1]-d.slide[i]
				h := m.l.Place[2*i+2] - m.l.Place[2*i]
				if q := joint.TogetherSquare(open, slide) / (h * h); q > most {
					most = q
				}
			}
			if most <= above*above {
				*d = demand{}
			}
			worst = max(worst, most)
		}
	}
	return math.Sqrt(worst)
}

// Peak is the highest mean stress over strength of one side of the line: a bound of v
// that costs less than Bound and is higher. Dimensionless.
func (l *Line) Peak(st *State) float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.at(st).peak(0)
}

// stress is the mean stress over strength on the stretch from side end i to the
// place x, of the part and the level where it is highest:
//
//	S = max over parts of hypot(max(0, Σ open), Σ slide)/a                (1)
func (m *moment) stress(i int, x float64) (s float64, level, part int) {
	side, share := m.l.sideAt(x)
	return m.stressOn(i, side, share, x)
}

// stressOn is stress where the side on which x lies, and its share, are known.
func (m *moment) stressOn(i, side int, share, x float64) (s float64, level, part int) {
	best := -1.0
	for v := range m.sums {
		for p := range m.sums[v] {
			if m.sums[v][p].open == nil {
				continue
			}
			if q := m.asked(&m.sums[v][p], i, side, share); q > best*(1+alike) {
				best, level, part = q, v, p
			}
		}
	}
	return math.Sqrt(best) / math.Abs(x-m.l.Place[2*i]), level, part
}

// asked is the square of what a stretch asks of a part, of (1) without the length: on a
// path that turns the two arms, whose normals differ, each for itself and added up.
func (m *moment) asked(d *demand, i, side int, share float64) float64 {
	if !m.l.turnsBetween(i, side) {
		return joint.TogetherSquare(d.over(i, side, share))
	}
	sum := 0.0
	for _, arm := range m.l.arms(d, i, side, share) {
		sum += joint.Together(arm.open, arm.slide)
	}
	return sum * sum
}

// arm is what one arm of a path asks of a part.
type arm struct{ open, slide float64 }

// turnsBetween tells whether the path turns between side end i and a place on a side.
func (l *Line) turnsBetween(i, side int) bool {
	return l.Corner > 0 && (i < l.Corner) == (side >= l.Corner) && i != l.Corner
}

// arms are the sums of a demand from side end i to a share of a side: up to the corner
// and from there on, all in the first where there is none between.
func (l *Line) arms(d *demand, i, side int, share float64) (out [2]arm) {
	if !l.turnsBetween(i, side) {
		out[0].open, out[0].slide = d.over(i, side, share)
		return out
	}
	c := l.Corner
	out[0] = arm{d.open[c] - d.open[i], d.slide[c] - d.slide[i]}
	if i > c {
		out[0] = arm{-out[0].open, -out[0].slide}
	}
	out[1].open, out[1].slide = d.over(c, side, share)
	return out
}

// stressTo gives the mean stress up to the tips of a start, which lie on the last side
// opened, as stress does.
func (m *moment) stressTo(s *start, tips []tip) {
	for k := range tips {
		tips[k].stress = 0
	}
	for v := range m.sums {
		for p := range m.sums[v] {
			d := &m.sums[v][p]
			if d.open == nil {
				continue
			}
			if m.l.Corner > 0 {
				for k := 1; k < len(tips); k++ {
					if q := m.asked(d, s.at, s.ends[k].side, s.ends[k].share); q > tips[k].stress*(1+alike) {
						tips[k].stress = q
					}
				}
				continue
			}
			fromOpen, fromSlide := d.open[s.at], d.slide[s.at]
			for k := 1; k < len(tips); k++ {
				e := &s.ends[k]
				open := d.open[e.side] + e.share*(d.open[e.side+1]-d.open[e.side]) - fromOpen
				slide := d.slide[e.side] + e.share*(d.slide[e.side+1]-d.slide[e.side]) - fromSlide
				if s.step < 0 {
					open = -open
				}
				if open < 0 {
					open = 0
				}
				if q := open*open + slide*slide; q > tips[k].stress*(1+alike) {
					tips[k].stress = q
				}
			}
		}
	}
	for k := 1; k < len(tips); k++ {
		tips[k].stress = math.Sqrt(tips[k].stress) / math.Abs(s.ends[k].at-m.l.Place[2*s.at])
	}
}

// over sums a demand from side end i to a share of a side.
func (d *demand) over(i, side int, share float64) (open, slide float64) {
	open = d.open[side] + share*(d.open[side+1]-d.open[side]) - d.open[i]
	slide = d.slide[side] + share*(d.slide[side+1]-d.slide[side]) - d.slide[i]
	if i > side {
		open, slide = -open, -slide
	}
	return open, slide
}

// sideAt finds the side on which a place lies and its share of that side.
func (l *Line) sideAt(x float64) (side int, share float64) {
	lo, hi := 0, len(l.Joint)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if l.Place[2*mid] <= x {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	a, b := l.Place[2*lo], l.Place[2*lo+2]
	return lo, max(0, min(1, (x-a)/(b-a)))
}

// Bound is the highest mean stress over strength of any stretch of the line: v is
// never above it. It asks for no stiffness. Dimensionless.
func (l *Line) Bound(st *State) float64 { return l.bound(st, func(*start, int) bool { return true }) }

// EndBound is Bound (dimensionless) over the stretches that reach the start or the end of
// the line.
func (l *Line) EndBound(st *State, first, last bool) float64 {
	ends := map[int]bool{0: first, len(l.Joint): last}
	return l.bound(st, func(s *start, tip int) bool { return ends[s.at] || ends[s.at+tip*s.step] })
}

// bound is the highest mean stress over strength of the stretches of some starts and tips.
func (l *Line) bound(st *State, of func(s *start, tip int) bool) float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	m := l.at(st)
	worst := 0.0
	for k := range l.starts {
		s := &l.starts[k]
		l.open(s)
		tips := l.room.tipsFor(0, len(s.ends))
		m.stressTo(s, tips)
		for tip := 1; tip < len(tips); tip++ {
			if s.ends[tip].counts && of(s, tip) {
				worst = max(worst, tips[tip].stress)
			}
		}
	}
	return worst
}

// tip is a crack from a start with its tip at one side end.
type tip struct {
	known    bool
	stress   float64
	most     float64 // no more than this can (G/G_c) be
	pull     float64 // N·mm, no more than this has what pulls the faces apart alone
	ratio    float64 // G/G_c
	g, gc, s float64
	open     []opening // per layer
	total    float64   // energy, N·mm
}

// Judge finds v of a line in a state,
//
//	v = max over stretches of min(S, √(G/G_c)),                           (2)
//
// over all stretches from the end of a joint to the end of a side, and between
// two such ends where S falls below √(G/G_c). ok is false when no stretch has v
// above the given bound (dimensionless). Errors: those of Stiffness, the context's.
func (l *Line) Judge(ctx context.Context, st *State, above float64) (r Result, ok bool, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	m := l.at(st)
	if m.peak(above) <= above {
		return r, false, nil
	}
	best := choice{v: above}
	for k := range l.starts {
		if err := m.from(ctx, &l.starts[k], &best); err != nil {
			return r, false, err
		}
	}
	if best.s == nil {
		return r, false, nil
	}
	return m.result(&best), true, nil
}

// settle works out one tip for good.
func (m *moment) settle(s *start, t *tip, k, n int, ys [][]float64, shorter *tip) {
	l := m.l
	t.total = 0
	slide := 0.0
	for i := range m.layers {
		ly := &m.layers[i]
		guess := s.touched[i]
		if shorter != nil {
			guess = shorter.open[i].free
		}
		o, ok := l.settle(s, ly.f, n, ys[i], guess)
		if !ok {
			return
		}
		if shorter == nil || len(o.free) > len(s.touched[i]) {
			s.touched[i] = o.free
		}
		t.open = append(t.open, o)
		t.total += ly.weight * o.energy
		slide += ly.weight * l.sliding(&o, ly.f)
	}
	t.known = true
	t.g = t.total / s.ends[k].area
	if t.total > 0 {
		t.s = max(0, min(1, slide/t.total))
	}
	t.gc = s.ends[k].tough.Energy(t.s)
	t.ratio = t.g / t.gc
}

// cross finds where between two tips stress and energy are alike, as a share of the
// way. G/G_c runs straight between them.
func (m *moment) cross(s *start, k int, t, u *tip) float64 {
	from, to := s.ends[k].at, s.ends[k+1].at
	lo, hi := 0.0, 1.0
	for range 40 {
		x := (lo + hi) / 2
		q, _, _ := m.stress(s.at, from+x*(to-from))
		if q*q > t.ratio+x*(u.ratio-t.ratio) {
			lo = x
		} else {
			hi = x
		}
	}
	return (lo + hi) / 2
}
