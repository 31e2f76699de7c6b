package chance

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrCurved means that the limit state bends towards the origin so strongly that
// the second-order formula has no value.
var ErrCurved = errors.New("chance: the limit state is too curved for the second-order formula")

// SecondOrder corrects the probability of a design point for the curvatures κ of
// the limit state there (positive: it bends away from the origin),
//
//	p = Φ(−β)·Π(1 + ψκᵢ)^−½,  ψ = φ(β)/Φ(−β)
//
// (Breitung, Journal of Engineering Mechanics, ASCE 110, 1984, with the factor of
// Hohenbichler and Rackwitz, same journal 114, 1988; from memory). Where the
// origin fails, β < 0, the same is said of the safe side.
//
// along spans the directions in standard normal space in which the limit state
// is bent; others are taken as straight. nil means every variable, which costs
// one gradient a variable. Curvatures are differences of the gradient over a
// step of 1e-4. Errors: those of FORM, and ErrCurved.
func SecondOrder(vars []Variable, g LimitState, r Result, along [][]float64) (p float64, curvatures []float64, err error) {
	s, err := newSearch(vars, g)
	if err != nil {
		return 0, nil, err
	}
	if along == nil {
		along = make([][]float64, len(vars))
		for i := range along {
			along[i] = make([]float64, len(vars))
			along[i][i] = 1
		}
	}
	basis := tangents(along, r.Alpha)
	if len(basis) == 0 {
		return r.Probability, nil, nil
	}
	const step = 1e-4
	h := mat.NewSymDense(len(basis), nil)
	rows := make([][]float64, len(basis))
	size := 0.0
	for i, d := range basis {
		change := make([]float64, len(vars))
		for _, side := range [2]float64{1, -1} {
			for k := range s.u {
				s.u[k] = r.U[k] + side*step*d[k]
			}
			if _, err := s.at(true); err != nil {
				return 0, nil, err
			}
			for k, v := range s.grad {
				change[k] += side * v / (2 * step)
			}
			size += math.Sqrt(dot(s.grad, s.grad)) / float64(2*len(basis))
		}
		rows[i] = change
	}
	for i := range basis {
		for j := i; j < len(basis); j++ {
			h.SetSym(i, j, (dot(rows[i], basis[j])+dot(rows[j], basis[i]))/(2*size))
		}
	}
	var e mat.EigenSym
	if !e.Factorize(h, false) {
		return 0, nil, ErrCurved
	}
	curvatures = e.Values(nil)
	sign, beta := 1.0, r.Beta
	if beta < 0 {
		sign, beta = -1, -beta
	}
	psi := math.Exp(-beta*beta/2) / math.Sqrt(2*math.Pi) / Phi(-beta)
	if math.IsInf(psi, 1) || math.IsNaN(psi) {
		psi = beta // its limit far out
	}
	p = Phi(-beta)
	for _, k := range curvatures {
		f := 1 + psi*sign*k
		if !(f > 0) {
			return 0, curvatures, ErrCurved
		}
		p /= math.Sqrt(f)
	}
	if p > 1 {
		return 0, curvatures, ErrCurved
	}
	if sign < 0 {
		p = 1 - p
	}
	return p, curvatures, nil
}

// tangents makes the directions orthonormal and square to alpha, leaving out
// what is already spanned.
func tangents(along [][]float64, alpha []float64) [][]float64 {
	var out [][]float64
	for _, d := range along {
		v := append([]float64(nil), d...)
		size := math.Sqrt(dot(v, v))
		for range 2 { // twice is enough for round-off
			take(v, alpha)
			for _, b := range out {
				take(v, b)
			}
		}
		if left := math.Sqrt(dot(v, v)); left > 1e-6*size {
			for i := range v {
				v[i] /= left
			}
			out = append(out, v)
		}
	}
	return out
}

// take removes from v its part along the unit vector b.
func take(v, b []float64) {
	f := dot(v, b)
	for i := range v {
		v[i] -= f * b[i]
	}
}

// BetaOf is the generalised reliability index of a probability, −Φ⁻¹(p), kept
// within ±38, beyond which Φ is 0 in double precision.
func BetaOf(p float64) float64 {
	const most = 38
	return math.Max(-most, math.Min(most, math.Sqrt2*math.Erfcinv(2*p)))
}
