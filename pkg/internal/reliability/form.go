package reliability

import (
	"errors"
	"math"
)

// LimitState gives g at x, and writes ∂g/∂x into grad when grad is not nil. It
// fails where g < 0.
type LimitState func(x, grad []float64) float64

// Options steer the search; the zero value is the documented default.
type Options struct {
	Start      []float64 // standard normal start; nil is the origin
	Iterations int       // most steps; 0 means 100
	Tolerance  float64   // of |g| over its first value, and of the angle between point and gradient; 0 means 1e-8
}

// Result is a design point.
type Result struct {
	Beta        float64   // reliability index; negative when the origin itself fails
	Probability float64   // Φ(−β)
	Alpha       []float64 // direction cosines from the origin to the design point; their squares sum to 1
	U, X        []float64 // design point, standard normal and in units of the variables
	Iterations  int
	Converged   bool

	// Sensitivities of β to the parameters of every variable, per unit of the
	// parameter: ∂β/∂θ = ∂g/∂θ / |∇g| at the design point.
	ByMean, BySD []float64
}

// ErrFlat means that the limit state has no slope where it was looked at, so
// that there is no direction in which it fails.
var ErrFlat = errors.New("chance: the limit state has no slope here")

// ErrNotFinite means that the limit state returned NaN or infinity.
var ErrNotFinite = errors.New("chance: the limit state is not finite here")

// search is one run of the iteration.
type search struct {
	vars     []Variable
	mapping  mapping
	g        LimitState
	u, x, dx []float64
	grad     []float64 // by u
	byX      []float64 // by x
}

func newSearch(vars []Variable, g LimitState) (*search, error) {
	for i := range vars {
		if err := vars[i].check(i); err != nil {
			return nil, err
		}
	}
	n := len(vars)
	return &search{vars: vars, mapping: newMapping(vars), g: g, u: make([]float64, n), x: make([]float64, n), dx: make([]float64, n), grad: make([]float64, n), byX: make([]float64, n)}, nil
}

// at evaluates g at s.u, with the gradient when it is wanted.
func (s *search) at(slope bool) (float64, error) {
	for i := range s.vars {
		s.x[i], s.dx[i] = s.mapping.at(i, s.u[i])
	}
	var out float64
	if slope {
		clear(s.byX)
		out = s.g(s.x, s.byX)
		for i := range s.grad {
			s.grad[i] = s.byX[i] * s.dx[i]
		}
	} else {
		out = s.g(s.x, nil)
	}
	if math.IsNaN(out) || math.IsInf(out, 0) {
		return 0, ErrNotFinite
	}
	return out, nil
}

// FORM searches the design point with the improved HL-RF iteration: the step of
// Hasofer, Lind, Rackwitz and Fiessler,
//
//	u' = (∇g·u − g)/|∇g|² · ∇g,
//
// shortened until it lowers the merit ½|u|² + c·|g| enough (Liu and Der
// Kiureghian, Structural Safety 9, 1991; Zhang and Der Kiureghian 1995; from
// memory). Errors: a variable without a distribution, ErrFlat, ErrNotFinite. A
// search that did not converge is no error: Converged says so.
func FORM(vars []Variable, g LimitState, opt Options) (Result, error) {
	s, err := newSearch(vars, g)
	if err != nil {
		return Result{}, err
	}
	if opt.Iterations == 0 {
		opt.Iterations = 100
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = 1e-8
	}
	atOrigin, err := s.at(false)
	if err != nil {
		return Result{}, err
	}
	if opt.Start != nil {
		copy(s.u, opt.Start)
	}
	val, err := s.at(true)
	if err != nil {
		return Result{}, err
	}
	scale := math.Max(math.Abs(val), math.Abs(atOrigin))
	if scale == 0 {
		scale = 1
	}
	r := Result{}
	base, step := make([]float64, len(vars)), make([]float64, len(vars))
	c := 0.0
	for ; ; r.Iterations++ {
		gg, gu, uu := dot(s.grad, s.grad), dot(s.grad, s.u), dot(s.u, s.u)
		if gg == 0 {
			return Result{}, ErrFlat
		}
		k := (gu - val) / gg
		off := 0.0 // how far u is from the gradient's line
		for i := range step {
			step[i] = k*s.grad[i] - s.u[i]
			d := s.u[i] - gu/gg*s.grad[i]
			off += d * d
		}
		if math.Abs(val) <= opt.Tolerance*scale && off <= opt.Tolerance*opt.Tolerance*math.Max(1, uu) {
			r.Converged = true
			break
		}
		if r.Iterations == opt.Iterations {
			break
		}
		// c must exceed |u|/|∇g| for the step to lead downhill.
		c = math.Max(c, 2*math.Sqrt(uu/gg)+1e-3/math.Sqrt(gg))
		merit := uu/2 + c*math.Abs(val)
		// Slope of the merit along the step: u·d − c·|g|, as the step brings the linear g to 0.
		slope := dot(s.u, step) - c*math.Abs(val)
		copy(base, s.u)
		for t := 1.0; ; t /= 2 {
			for i := range base {
				s.u[i] = base[i] + t*step[i]
			}
			v, err := s.at(false)
			if err == nil {
				if m := dot(s.u, s.u)/2 + c*math.Abs(v); m <= merit+0.1*t*slope || t < 1e-6 {
					break
				}
			} else if t < 1e-6 {
				return Result{}, err
			}
		}
		if val, err = s.at(true); err != nil {
			return Result{}, err
		}
	}
	sign := 1.0
	if atOrigin < 0 {
		sign = -1
	}
	r.fill(s, sign*math.Sqrt(dot(s.u, s.u)))
	return r, nil
}

// MeanValue is the first-order second-moment answer from one gradient at the
// mean point: β = g/|∇g| there. It depends on how g is written and is exact for
// a linear g of normal variables; it is the fallback of FORM.
func MeanValue(vars []Variable, g LimitState) (Result, error) {
	s, err := newSearch(vars, g)
	if err != nil {
		return Result{}, err
	}
	for i := range vars {
		s.x[i], s.dx[i] = vars[i].Mean, vars[i].SD
	}
	val := g(s.x, s.byX)
	if math.IsNaN(val) || math.IsInf(val, 0) {
		return Result{}, ErrNotFinite
	}
	for i := range s.grad {
		s.grad[i] = s.byX[i] * s.dx[i]
	}
	size := math.Sqrt(dot(s.grad, s.grad))
	if size == 0 {
		return Result{}, ErrFlat
	}
	r := Result{Converged: true}
	r.fill(s, val/size)
	for i := range r.U {
		r.U[i] = r.Beta * r.Alpha[i]
		r.X[i] = vars[i].Mean + vars[i].SD*r.U[i]
		r.ByMean[i], r.BySD[i] = s.byX[i]/size, s.byX[i]/size*r.U[i]
	}
	return r, nil
}

// fill writes the answer from the last gradient.
func (r *Result) fill(s *search, beta float64) {
	n := len(s.vars)
	size := math.Sqrt(dot(s.grad, s.grad))
	r.Beta, r.Probability = beta, Phi(-beta)
	r.U, r.X = append([]float64(nil), s.u...), append([]float64(nil), s.x...)
	r.Alpha, r.ByMean, r.BySD = make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range s.vars {
		r.Alpha[i] = -s.grad[i] / size
		m, d := s.vars[i].byParameters(s.u[i])
		r.ByMean[i], r.BySD[i] = s.byX[i]*m/size, s.byX[i]*d/size
	}
}

func dot(a, b []float64) float64 {
	t := 0.0
	for i, v := range a {
		t += v * b[i]
	}
	return t
}
