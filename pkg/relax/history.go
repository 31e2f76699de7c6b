package relax

import (
	"fmt"
	"math"
)

// Relax returns the relaxed history of elastic ones. elastic has one row a time,
// each row the same quantities (stresses in any unit); times are in h, rising.
// Between two times the elastic history runs in a straight line; what stands at
// the first time was put on suddenly then.
//
// The law is σ(t) = ∫ F(t−s) dσₑ(s) with the variant's factor F. Each
// exponential is carried by one memory a quantity, updated in closed form, so
// the result is exact for the straight-line history and costs one pass. The
// rows are new; the input is not changed. Rows of unequal length, or times that
// do not rise, are a mistake of the caller and panic.
func Relax(times []float64, elastic [][]float64, v Variant) [][]float64 {
	s := v.Series()
	if len(times) != len(elastic) {
		panic(fmt.Sprintf("relax: %d times for %d rows", len(times), len(elastic)))
	}
	out := make([][]float64, len(elastic))
	if len(elastic) == 0 {
		return out
	}
	n := len(elastic[0])
	memory := make([]float64, n*len(s.Terms)) // of term k and quantity i at k·n + i
	for k := range s.Terms {
		copy(memory[k*n:], elastic[0])
	}
	out[0] = append([]float64(nil), elastic[0]...)
	flat := make([]float64, n*(len(elastic)-1))
	for row := 1; row < len(elastic); row++ {
		dt := times[row] - times[row-1]
		if !(dt > 0) {
			panic(fmt.Sprintf("relax: time %g does not come after %g", times[row], times[row-1]))
		}
		now, before := elastic[row], elastic[row-1]
		if len(now) != n {
			panic(fmt.Sprintf("relax: row %d has %d quantities, not %d", row, len(now), n))
		}
		sum := flat[(row-1)*n : row*n : row*n]
		for i, e := range now {
			sum[i] = s.Rest * e
		}
		for k, term := range s.Terms {
			x := dt / term.Tau
			keep := math.Exp(-x)
			gain := -math.Expm1(-x) / x // mean of exp over the step: ∫₀¹ e^(−x(1−u)) du
			m := memory[k*n : (k+1)*n]
			for i := range m {
				m[i] = m[i]*keep + (now[i]-before[i])*gain
				sum[i] += term.Share * m[i]
			}
		}
		out[row] = sum
	}
	return out
}

// Steady returns what is left of an elastic stress that goes through the same round
// for ever, in straight lines between values a step [h] apart, the last of them
// followed by the first: the law of Relax once all rounds are alike.
func Steady(round []float64, step float64, v Variant) []float64 {
	s := v.Series()
	n := len(round)
	out := make([]float64, n)
	for i, e := range round {
		out[i] = s.Rest * e
	}
	for _, term := range s.Terms {
		x := step / term.Tau
		keep, gain := math.Exp(-x), -math.Expm1(-x)/x
		// The memory after a round that began with none, then the one that a round
		// leaves as it was: m = m·keepⁿ + first.
		m := 0.0
		next := func(i int) { m = m*keep + (round[(i+1)%n]-round[i])*gain }
		for i := range n {
			next(i)
		}
		m /= -math.Expm1(-x * float64(n))
		for i := range n {
			out[i] += term.Share * m
			next(i)
		}
	}
	return out
}
