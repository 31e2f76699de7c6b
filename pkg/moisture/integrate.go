package moisture

import "math"

// Coefficients of RODAS3, a linearly implicit Runge-Kutta method of four
// stages, third order with a second-order companion for the error, stiffly
// accurate and L-stable (Sandu, Verwer, Blom, Spee, Carmichael & Potra 1997,
// Atmospheric Environment 31:3459, in the form that needs no product with the
// Jacobian). Its order is tested here against Crank's series.
const (
	rodasGamma = 0.5
	rodasOrder = 3
)

var (
	rodasA      = [4][3]float64{{}, {0}, {2, 0}, {2, 0, 1}}
	rodasC      = [4][3]float64{{}, {4}, {1, -1}, {1, -1, -8.0 / 3}}
	rodasM      = [4]float64{2, 0, 1, 1}
	rodasAlpha  = [4]float64{0, 0, 1, 1}
	rodasGammas = [4]float64{0.5, 1.5, 0, 0}
)

// system is the column as a system of ordinary differential equations for the
// moistures of its cells, and the work space of one step.
type system struct {
	cells
	potential     bounded
	bottom, top   exchange // at the time the step begins
	hBottom, hTop float64  // last humidity at each face, the next guess

	theta, d       []float64 // of the cells
	lower, di, up  []float64 // the matrix and its factors
	k              [4][]float64
	kq             [4][2]float64 // the same stages for the water that came in at the bottom and at the top
	f, trial       []float64
	source         []float64 // %/h in each cell over the step: liquid that comes in; nil for none
	faceB, faceT   float64   // moisture at the faces, from the last evaluation
	evaluations    int
	dBottom, dTop  float64 // derivative of the flow out at each face to its cell
	airBot, airTop float64 // derivative to the humidity outside
}

func newSystem(c cells) *system {
	n := len(c.z)
	s := &system{cells: c, hBottom: 0.5, hTop: 0.5}
	for _, v := range []*[]float64{&s.theta, &s.d, &s.lower, &s.di, &s.up, &s.f, &s.trial, &s.k[0], &s.k[1], &s.k[2], &s.k[3]} {
		*v = make([]float64, n)
	}
	return s
}

// rate evaluates dM/dt [%/h] into s.f and returns the flow of water in through
// the bottom and the top face [% mm/h], with the air dt hours after the step began.
// Free water stays where it is and feeds what diffuses: the potential ends at
// saturation.
func (s *system) rate(m []float64, dt float64) (inflow [2]float64) {
	n := len(m)
	for i, v := range m {
		s.theta[i], s.d[i] = s.potential.at(v)
	}
	b, t := s.bottom, s.top
	b.air += b.slope * dt
	t.air += t.slope * dt
	var outB, outT float64
	outB, s.dBottom, s.airBot, s.hBottom, s.faceB = b.balance(&s.potential, s.theta[0], s.d[0], s.width[0]/2, s.hBottom)
	outT, s.dTop, s.airTop, s.hTop, s.faceT = t.balance(&s.potential, s.theta[n-1], s.d[n-1], s.width[n-1]/2, s.hTop)
	if b.tight {
		s.faceB = m[0]
	}
	if t.tight {
		s.faceT = m[n-1]
	}
	below := -outB // flow upwards through the lower wall of the cell
	for i := range n - 1 {
		flow := (s.theta[i] - s.theta[i+1]) / s.gap[i]
		s.f[i] = (below - flow) / s.width[i]
		below = flow
	}
	s.f[n-1] = (below - outT) / s.width[n-1]
	for i, v := range s.source {
		s.f[i] += v
	}
	s.evaluations++
	return [2]float64{-outB, -outT}
}

// factor sets up and factorises I/(h γ) − J; s.d and the face derivatives must
// be those of the state at which the step begins.
func (s *system) factor(h float64) {
	n, shift := len(s.d), 1/(h*rodasGamma)
	for i := range n {
		s.di[i] = shift
	}
	for i := range n - 1 {
		g := 1 / s.gap[i]
		s.di[i] += s.d[i] * g / s.width[i]
		s.di[i+1] += s.d[i+1] * g / s.width[i+1]
		s.up[i] = -s.d[i+1] * g / s.width[i]
		s.lower[i+1] = -s.d[i] * g / s.width[i+1]
	}
	s.di[0] += s.dBottom / s.width[0]
	s.di[n-1] += s.dTop / s.width[n-1]
	for i := 1; i < n; i++ {
		s.lower[i] /= s.di[i-1]
		s.di[i] -= s.lower[i] * s.up[i-1]
	}
	for i := range n {
		s.di[i] = 1 / s.di[i]
	}
}

// solve works in place on the right-hand side.
func (s *system) solve(r []float64) {
	n := len(r)
	for i := 1; i < n; i++ {
		r[i] -= s.lower[i] * r[i-1]
	}
	r[n-1] *= s.di[n-1]
	for i := n - 2; i >= 0; i-- {
		r[i] = (r[i] - s.up[i]*r[i+1]) * s.di[i]
	}
}

// step advances m by h hours into next. It returns the water that came in at the
// bottom and at the top [% mm] and the estimated error of the step [% MC, the largest of any cell].
// The inflow is carried through the same stages as the moistures, so that the
// two agree to round-off if, and only if, the cells exchange water without loss.
func (s *system) step(m, next []float64, h float64) (inflow [2]float64, err float64) {
	n := len(m)
	in := s.rate(m, 0)
	s.factor(h)
	dB, dT := s.dBottom, s.dTop
	// change of the rates with time alone, through the air outside
	tB, tT := -s.airBot*s.bottom.slope/s.width[0], -s.airTop*s.top.slope/s.width[n-1]
	for stage := range 4 {
		if stage >= 2 { // the second stage sits at the same place as the first
			copy(s.trial, m)
			for j := range stage {
				if a := rodasA[stage][j]; a != 0 {
					for i, k := range s.k[j] {
						s.trial[i] += a * k
					}
				}
			}
			in = s.rate(s.trial, rodasAlpha[stage]*h)
		}
		k := s.k[stage]
		copy(k, s.f)
		q := in
		for j := range stage {
			if c := rodasC[stage][j] / h; c != 0 {
				for i, v := range s.k[j] {
					k[i] += c * v
				}
				q[0] += c * s.kq[j][0]
				q[1] += c * s.kq[j][1]
			}
		}
		g := rodasGammas[stage] * h
		k[0] += g * tB
		k[n-1] += g * tT
		q[0] += g * tB * s.width[0]
		q[1] += g * tT * s.width[n-1]
		s.solve(k)
		s.kq[stage] = [2]float64{h * rodasGamma * (q[0] - dB*k[0]), h * rodasGamma * (q[1] - dT*k[n-1])}
	}
	copy(next, m)
	for j, w := range rodasM {
		if w == 0 {
			continue
		}
		for i, k := range s.k[j] {
			next[i] += w * k
		}
		inflow[0] += w * s.kq[j][0]
		inflow[1] += w * s.kq[j][1]
	}
	return inflow, largest(s.k[3]) // the last stage is the difference of the two orders
}

// nextStep is the step [h] that would just meet the tolerance, from one of h hours with error err.
func nextStep(h, err, tolerance float64) float64 {
	if err == 0 {
		return 6 * h
	}
	return h * min(6, max(0.15, 0.9*math.Pow(tolerance/err, 1.0/rodasOrder)))
}
