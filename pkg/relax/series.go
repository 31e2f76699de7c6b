package relax

import (
	"cmp"
	"math"
	"slices"
)

// Term is one exponential of a relaxation factor.
type Term struct {
	Share float64 // of the elastic stress
	Tau   float64 // h
}

// Series is a relaxation factor: Rest + Σ Share·exp(−t/Tau). Rest and shares
// add up to 1.
type Series struct {
	Rest  float64
	Terms []Term
}

// At is the factor a time [h, 0 or more] after the load was put on.
func (s Series) At(t float64) float64 {
	f := s.Rest
	for _, x := range s.Terms {
		f += x.Share * math.Exp(-t/x.Tau)
	}
	return f
}

// Chain is measured creep: the elastic compliance and a chain of Kelvin
// elements, compliance J(t) = J0 + Σ J·(1 − exp(−t/Tau)). J in 1/MPa (any unit
// will do, only ratios count), Tau in h.
type Chain struct {
	J0  float64
	J   []float64
	Tau []float64 // rising, all different
}

// Creep is the ratio of total creep to elastic compliance, φ.
func (c Chain) Creep() float64 {
	s := 0.0
	for _, x := range c.J {
		s += x
	}
	return s / c.J0
}

// Relaxation converts the chain into its relaxation factor, exactly: by Laplace
// transform the relaxation modulus is 1/(s·Ĵ(s)) with s·Ĵ = J0 + Σ J/(1+s·Tau),
// whose zeros are real, negative and one between each two neighbouring −1/Tau,
// the last below them all. Each zero −r is a term exp(−r t) with the share
// J0·[r·d(s·Ĵ)/ds]⁻¹ at s = −r, taken with its sign.
func (c Chain) Relaxation() Series {
	out := Series{Rest: 1 / (1 + c.Creep())}
	transform := func(r float64) (v, slope float64) { // at s = −r
		v = c.J0
		for i, j := range c.J {
			d := 1 - r*c.Tau[i]
			v += j / d
			slope -= j * c.Tau[i] / (d * d)
		}
		return v, slope
	}
	for i := len(c.J) - 1; i >= 0; i-- {
		lo := 1 / c.Tau[i]
		hi := lo * (2 + c.Creep()*2) // beyond the last pole s·Ĵ has risen to J0·(1 − φ/(r·Tau − 1)) > 0 there
		if i > 0 {
			hi = 1 / c.Tau[i-1]
		}
		// between two poles s·Ĵ climbs from −∞ to +∞ as r grows
		for range 200 {
			mid := lo + (hi-lo)/2
			if v, _ := transform(mid); v < 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		r := lo + (hi-lo)/2
		_, slope := transform(r)
		out.Terms = append(out.Terms, Term{Share: -c.J0 / (r * slope), Tau: 1 / r})
	}
	return out
}

// Chain converts a relaxation factor into the creep that belongs to it, exactly: the
// other way round of Chain.Relaxation. The elastic compliance is 1; a term that holds
// nothing back for ever (Rest 0) has no end of creep and is not for this.
func (s Series) Chain() Chain {
	c := Chain{J0: 1}
	terms := slices.Clone(s.Terms)
	slices.SortFunc(terms, func(a, b Term) int { return cmp.Compare(b.Tau, a.Tau) })
	modulus := func(r float64) (v, slope float64) { // s·R̂(s) at s = −r
		v = s.Rest
		for _, x := range terms {
			d := 1 - r*x.Tau
			v -= x.Share * r * x.Tau / d
			slope += x.Share * x.Tau / (d * d)
		}
		return v, slope
	}
	lo := 0.0
	for _, x := range terms { // from one pole to the next s·R̂ falls from +∞, or Rest, to −∞
		hi := 1 / x.Tau
		a, b := lo, hi
		for range 200 {
			mid := a + (b-a)/2
			if v, _ := modulus(mid); v > 0 {
				a = mid
			} else {
				b = mid
			}
		}
		r := a + (b-a)/2
		_, slope := modulus(r)
		c.J, c.Tau = append(c.J, 1/(r*slope)), append(c.Tau, 1/r)
		lo = hi
	}
	slices.Reverse(c.J)
	slices.Reverse(c.Tau)
	return c
}
