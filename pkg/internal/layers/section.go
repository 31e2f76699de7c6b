package layers

import "math"

// Section is a thickness cut into layers.
type Section struct {
	Z, Width []float64 // mm: heights of the layers above the mid-plane, and their thickness
}

// Kelvin is a chain link: what it yields in the end over the elastic strain, and over
// how much it comes.
type Kelvin struct {
	Compliance float64 // of the elastic compliance
	Reach      float64 // h for creep, % MC of summed change for mechano-sorption
}

// Material is the wood of a section in one direction across the grain.
type Material struct {
	Modulus        float64 // MPa that one per cent of moisture held back brings
	Stiff          Trend   // modulus at a moisture over Modulus
	Tension, Yield Trend   // MPa, strength and where crushing begins (positive)
	Creep          []Kelvin
	Sorption       []Kelvin
}

// Trend is a property at 0, 1 … 30 % MC.
type Trend [31]float64

// TrendOf tabulates a property over moisture [% MC].
func TrendOf(f func(mc float64) float64) (t Trend) {
	for i := range t {
		t[i] = f(float64(i))
	}
	return t
}

// At is the property at a moisture [% MC]; beyond the table its ends hold.
func (t *Trend) At(mc float64) float64 {
	mc = max(0, min(float64(len(t)-1), mc))
	i := min(int(mc), len(t)-2)
	f := mc - float64(i)
	return t[i] + f*(t[i+1]-t[i])
}

// History is a section followed through a history, per time.
type History struct {
	Free, Slope []float64   // strain of the section, % MC, and per mm: how a free piece moves and bends
	Stress      [][]float64 // MPa per layer, balanced in itself
	Open        [][]float64 // % MC per layer, opening of fine checks
}

// Steps between two times of a history: no layer changes by more than mostChange, as
// far as mostSteps allow.
const (
	mostChange = 1.0 // % MC
	mostSteps  = 12
)

// state is the memory of the layers, and what one step does to them.
type state struct {
	*Section
	m      *Material
	whole  float64   // mm
	links  int       // a layer
	link   []float64 // per layer and link, its strain, % MC
	stress []float64 // MPa
	open   []float64 // % MC
	shared []decay   // of the creep links in this step
	decay  []decay   // per layer and link
	give   []float64 // per layer, strain that a stress of 1 MPa adds in this step
	due    []float64 // per layer, strain that comes without further stress
	limits [][2]float64
	next   []float64 // MPa, where the step ends
}

// decay is a link in one step: exp(−x) and (1 − exp(−x))/x.
type decay struct{ left, mean float64 }

func decayOver(x float64) decay {
	if x < 0.02 { // the series to a relative 1e-10, and far cheaper
		return decay{1 - x*(1-x/2*(1-x/3*(1-x/4))), 1 - x/2*(1-x/3*(1-x/4*(1-x/5)))}
	}
	return decay{math.Exp(-x), -math.Expm1(-x) / x}
}

func (s *Section) start(m *Material) *state {
	n := len(s.Z)
	st := &state{Section: s, m: m, links: len(m.Creep) + len(m.Sorption), shared: make([]decay, len(m.Creep)), limits: make([][2]float64, n)}
	for _, v := range []*[]float64{&st.stress, &st.open, &st.give, &st.due, &st.next} {
		*v = make([]float64, n)
	}
	st.link, st.decay = make([]float64, n*st.links), make([]decay, n*st.links)
	for _, w := range s.Width {
		st.whole += w
	}
	return st
}

// steps goes through a history in steps short enough: begin is told a step's share of
// the way to time t and the moistures at its end, end that time t is reached.
func (s *state) steps(times []float64, bound [][]float64, begin func(t int, share float64, to []float64), end func()) {
	from, to := make([]float64, len(s.Z)), make([]float64, len(s.Z))
	for t := 1; t < len(times); t++ {
		most := 0.0
		for i, v := range bound[t] {
			most = max(most, math.Abs(v-bound[t-1][i]))
		}
		steps := max(1, min(mostSteps, int(math.Ceil(most/mostChange))))
		copy(to, bound[t-1])
		for k := 1; k <= steps; k++ {
			from, to = to, from
			f := float64(k) / float64(steps)
			for i := range to {
				to[i] = bound[t-1][i] + f*(bound[t][i]-bound[t-1][i])
			}
			s.prepare((times[t]-times[t-1])/float64(steps), from, to)
			begin(t, 1/float64(steps), to)
		}
		end()
	}
}

// Follow follows a section from rest. bound is the bound water [% MC] per time [h]
// and layer, the first an even state without stress. Times rise.
func (s *Section) Follow(m *Material, times []float64, bound [][]float64) *History {
	return s.Watch(m, times, bound, func(float64, []float64, []float64) {})
}

// Watch is Follow that shows every step between the times too: its hour, with bound water
// [% MC] and stress [MPa] per layer, to be read at once. What is largest for a short
// while may lie between two times.
func (s *Section) Watch(m *Material, times []float64, bound [][]float64, see func(hour float64, bound, stress []float64)) *History {
	st := s.start(m)
	c := &History{}
	var a, b float64
	note := func() {
		c.Free, c.Slope = append(c.Free, a), append(c.Slope, b)
		c.Stress, c.Open = append(c.Stress, append([]float64{}, st.stress...)), append(c.Open, append([]float64{}, st.open...))
	}
	note()
	gone := 0.0 // of the way to the next time
	st.steps(times, bound, func(t int, share float64, now []float64) {
		da, db := st.balance()
		a, b = a+da, b+db
		st.accept(da, db)
		gone += share
		see(times[t-1]+gone*(times[t]-times[t-1]), now, st.stress)
	}, func() {
		gone = 0
		note()
	})
	return c
}

func (s *state) compliance(k int) float64 {
	if k < len(s.m.Creep) {
		return s.m.Creep[k].Compliance
	}
	return s.m.Sorption[k-len(s.m.Creep)].Compliance
}

// prepare sets up a step of dt hours in which the layers go from one moisture to
// another. With stress linear in the step, a link ends at
//
//	ε' = e·ε + C/E·[(1 − φ)·σ' + (φ − e)·σ],  e = exp(−x), φ = (1 − e)/x   (2)
//
// x being dt/τ or |dw|/μ, which is exact, so that no step is too long for it.
func (s *state) prepare(dt float64, from, to []float64) {
	for k, l := range s.m.Creep {
		s.shared[k] = decayOver(dt / l.Reach)
	}
	for i := range from {
		change := to[i] - from[i]
		give, due := 1/s.m.Stiff.At((from[i]+to[i])/2), change
		elastic := s.stress[i] / s.m.Modulus
		for k := range s.links {
			d := &s.decay[i*s.links+k]
			if k < len(s.shared) {
				*d = s.shared[k]
			} else {
				*d = decayOver(math.Abs(change) / s.m.Sorption[k-len(s.shared)].Reach)
			}
			c := s.compliance(k)
			give += c * (1 - d.mean)
			due += (1 - d.left) * (c*elastic - s.link[i*s.links+k])
		}
		s.give[i], s.due[i] = give/s.m.Modulus, due
		s.limits[i] = [2]float64{-s.m.Yield.At(to[i]), s.m.Tension.At(to[i])}
	}
}

// remember ends a layer's step at a stress [MPa], by (2).
func (s *state) remember(i int, stress float64) {
	old, now := s.stress[i]/s.m.Modulus, stress/s.m.Modulus
	for k := range s.links {
		l, d := &s.link[i*s.links+k], s.decay[i*s.links+k]
		*l = d.left**l + s.compliance(k)*((1-d.mean)*now+(d.mean-d.left)*old)
	}
	s.stress[i] = stress
}

// accept ends a step in which the section was strained further.
func (s *state) accept(a, b float64) {
	for i, z := range s.Z {
		stress, _, open := s.layer(i, a+b*z)
		s.open[i] = open
		s.remember(i, stress)
	}
}

// trace is the share of stiffness kept beyond a limit, so that a section that
// yields all over still has one answer.
const trace = 1e-6

// layer gives the stress of a layer that is strained further by e, its stiffness
// there, and the opening it then has.
func (s *state) layer(i int, e float64) (stress, stiff, open float64) {
	k := 1 / s.give[i]
	stress, stiff, open = s.stress[i]+k*(e-s.due[i]), k, s.open[i]
	lim := s.limits[i]
	if stress > lim[1] {
		return lim[1] + trace*(stress-lim[1]), trace * k, open + (stress-lim[1])/k
	}
	if stress < 0 && open > 0 {
		if stress += k * open; stress > 0 {
			return 0, trace * k, stress / k
		}
		open = 0
	}
	if stress < lim[0] {
		return lim[0] + trace*(stress-lim[0]), trace * k, open
	}
	return stress, stiff, open
}

// Newton's limits.
const (
	mostRounds = 60
	balanced   = 1e-9 // of the modulus for one % MC
)

// balance finds by how much the section strains in a step: no force, no moment.
func (s *state) balance() (a, b float64) {
	now := s.unbalanced(0, 0)
	for range mostRounds {
		if now.size < balanced*s.m.Modulus {
			break
		}
		det := now.aa*now.bb - now.ab*now.ab
		da, db := -(now.bb*now.n-now.ab*now.m)/det, -(now.aa*now.m-now.ab*now.n)/det
		next := now
		for step := 1.0; step > 1e-4; step /= 2 { // halve where the kinks mislead
			if next = s.unbalanced(a+step*da, b+step*db); next.size < now.size {
				a, b = a+step*da, b+step*db
				break
			}
		}
		if !(next.size < now.size) {
			break
		}
		now = next
	}
	return a, b
}

// unbalance is the force and moment of a section and how they change.
type unbalance struct{ n, m, aa, ab, bb, size float64 }

func (s *state) unbalanced(a, b float64) (u unbalance) {
	for i, z := range s.Z {
		stress, k, _ := s.layer(i, a+b*z)
		w := s.Width[i] / s.whole
		u.n, u.m = u.n+w*stress, u.m+w*z*stress
		u.aa, u.ab, u.bb = u.aa+w*k, u.ab+w*k*z, u.bb+w*k*z*z
	}
	u.size = math.Hypot(u.n, 2*math.Sqrt(3)*u.m/s.whole)
	return u
}
