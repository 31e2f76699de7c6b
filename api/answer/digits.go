package answer

import (
	"math"
	"strconv"

	"github.com/tanrad/tanrad/pkg/pair"
)

// digits is how many significant digits of a pair's numbers are told: far more
// than any input has, and far quicker to write than all seventeen.
const digits = 9

// tens are the powers of ten that are exact as float64 and needed here.
var tens = func() (t [16]float64) {
	t[0] = 1
	for i := 1; i < len(t); i++ {
		t[i] = t[i-1] * 10
	}
	return t
}()

// decimals gives how many decimals leave the digits of a number from 1e-6 up to
// 1e9; false outside, where numbers are told whole.
func decimals(abs float64) (int, bool) {
	if !(abs >= 1e-6 && abs < 1e9) {
		return 0, false
	}
	k := digits - 1
	for k > 0 && abs >= tens[digits-k] {
		k--
	}
	for below := 0; abs*tens[below] < 1; below++ {
		k++
	}
	return k, true
}

// rounded gives v with its significant digits only. The result is the float64
// nearest to that decimal: a whole number below 2^53 over an exact power of ten.
func rounded(v float64) float64 {
	k, ok := decimals(math.Abs(v))
	if !ok {
		return v
	}
	return math.Round(v*tens[k]) / tens[k]
}

// appendShort writes a number that has only its significant digits as strconv
// would write it; false for any other, with b as it was.
func appendShort(b []byte, v float64) ([]byte, bool) {
	abs := math.Abs(v)
	k, ok := decimals(abs)
	if !ok {
		return b, false
	}
	n := uint64(abs*tens[k] + 0.5)
	if float64(n)/tens[k] != abs {
		return b, false
	}
	for k > 0 && n%10 == 0 {
		n /= 10
		k--
	}
	if v < 0 {
		b = append(b, '-')
	}
	whole := n / uint64(tens[k])
	b = strconv.AppendUint(b, whole, 10)
	if k == 0 {
		return b, true
	}
	part := n - whole*uint64(tens[k])
	at := len(b) + 1
	b = append(b, ".000000000000000"[:k+1]...)
	for i := at + k - 1; part > 0; i-- {
		b[i] = byte('0' + part%10)
		part /= 10
	}
	return b, true
}

// roundPair leaves the significant digits of every number in an answer. Zeros
// lose their sign.
func roundPair(r *pair.Result) {
	round := func(vs ...*float64) {
		for _, v := range vs {
			*v = rounded(*v) + 0
		}
	}
	round(&r.Utilisation, &r.Mismatch.Along, &r.Mismatch.Normal, &r.Mismatch.Shear, &r.Mismatch.Step,
		&r.Straight.Force, &r.Straight.StressA, &r.Straight.StressB,
		&r.Bow.Curvature, &r.Bow.Rise, &r.Bow.StressA, &r.Bow.StressB,
		&r.Ends.Averaging, &r.Ends.Shear, &r.Ends.Peel)
	for _, s := range [2]*pair.Side{&r.A, &r.B} {
		round(&s.From, &s.To, &s.Along, &s.Normal, &s.Shear, &s.Thick, &s.Modulus, &s.ShearMod,
			&s.TRRatio, &s.Density, &s.Tension, &s.Bond, &s.JointShear)
	}
	for i := range r.Checks {
		c := &r.Checks[i]
		round(&c.Demand, &c.Capacity, &c.Utilisation)
	}
	for i := range r.Derivation {
		step := &r.Derivation[i]
		round(&step.Result.Value)
		for j := range step.Inputs {
			round(&step.Inputs[j].Value)
		}
	}
}
