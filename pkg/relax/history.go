package relax

import (
	"fmt"
	"math"
)

// Relax returns the relaxed history of elastic ones. elastic has one row a time,
// each row the same quantities (stresses in any unit); times are in h, rising.
// Between two times the elastic history runs in a straight line; what stands at
// the first time was put on suddenly then. accumulated has the same shape: the sum of
// all changes of moisture since the first time, up or down, % MC, of the wood that
// bears the quantity; nil for wood whose moisture stands still.
//
// The law is σ(t) = ∫ F(t−s) d(σₑ − Σx)(s) with the variant's factor F and what each
// member of the chain of Give has given way by then, x. Each exponential of F is
// carried by one memory a quantity, updated in closed form, and each member for the
// mean stress of the step: without changes of moisture the result is exact for the straight-line
// history, with it of second order in the step. The rows are new; the input is not
// changed. Rows of unequal length, times that do not rise, or sums that fall are a
// mistake of the caller and panic.
func Relax(times []float64, elastic, accumulated [][]float64, v Variant) [][]float64 {
	s, give := v.Series(), v.Give()
	if len(times) != len(elastic) || accumulated != nil && len(accumulated) != len(elastic) {
		panic(fmt.Sprintf("relax: %d times for %d rows, %d of accumulated changes", len(times), len(elastic), len(accumulated)))
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
	given := make([]float64, n*len(give)) // of member j and quantity i at j·n + i
	total := make([]float64, n)           // of all members
	out[0] = append([]float64(nil), elastic[0]...)
	flat := make([]float64, n*(len(elastic)-1))
	keep, gain, run := make([]float64, len(s.Terms)), make([]float64, len(s.Terms)), make([]float64, len(give))
	for row := 1; row < len(elastic); row++ {
		dt := times[row] - times[row-1]
		if !(dt > 0) {
			panic(fmt.Sprintf("relax: time %g does not come after %g", times[row], times[row-1]))
		}
		now, before := elastic[row], elastic[row-1]
		if len(now) != n || accumulated != nil && len(accumulated[row]) != n {
			panic(fmt.Sprintf("relax: row %d has not %d quantities", row, n))
		}
		at := s.Rest // what is left at once of a change spread over the step
		for k, term := range s.Terms {
			x := dt / term.Tau
			keep[k] = math.Exp(-x)
			gain[k] = -math.Expm1(-x) / x // mean of exp over the step: ∫₀¹ e^(−x(1−u)) du
			at += term.Share * gain[k]
		}
		lastDM := 0.0 // quantities that lie side by side are mostly changed alike
		sum := flat[(row-1)*n : row*n : row*n]
		for i := range sum {
			sum[i] = s.Rest * (now[i] - total[i])
			for k, term := range s.Terms {
				memory[k*n+i] = memory[k*n+i]*keep[k] + (now[i]-before[i])*gain[k]
				sum[i] += term.Share * memory[k*n+i]
			}
			if accumulated == nil {
				continue
			}
			dm := accumulated[row][i] - accumulated[row-1][i]
			if dm < 0 {
				panic(fmt.Sprintf("relax: the sum of changes falls by %g", dm))
			}
			if dm == 0 {
				continue
			}
			// x grows by a + b·σ, σ falls by what it was worth at once.
			a, b := 0.0, 0.0
			last := out[row-1][i]
			for j, g := range give {
				if dm != lastDM {
					run[j] = -math.Expm1(-dm / g.Range)
				}
				a += run[j] * (g.Share*last/2 - given[j*n+i])
				b += run[j] * g.Share / 2
			}
			lastDM = dm
			sum[i] = (sum[i] - at*a) / (1 + at*b)
			more := a + b*sum[i]
			for j, g := range give {
				given[j*n+i] += run[j] * (g.Share*(last+sum[i])/2 - given[j*n+i])
			}
			total[i] += more
			for k := range s.Terms {
				memory[k*n+i] -= more * gain[k]
			}
		}
		out[row] = sum
	}
	return out
}

// Steady returns what is left of an elastic stress that goes through the same round
// for ever, in straight lines between values a step [h] apart, the last of them
// followed by the first: the law of Relax once all rounds are alike, in wood whose
// moisture swings [% MC] with the values, as far for each unit of the stress.
func Steady(round []float64, step, swing float64, v Variant) []float64 {
	n := len(round)
	var times []float64
	var elastic, accumulated [][]float64
	sum := 0.0
	for i := range mostRounds*n + 1 {
		e := round[i%n]
		if i > 0 {
			sum += swing * math.Abs(e-round[(i-1)%n])
		}
		times, elastic, accumulated = append(times, step*float64(i)), append(elastic, []float64{e}), append(accumulated, []float64{sum})
	}
	rows := Relax(times, elastic, accumulated, v)
	out := make([]float64, n)
	for i := range out {
		out[i] = rows[(mostRounds-1)*n+i][0]
	}
	return out
}

// mostRounds are followed before all are taken to be alike: what the slowest member
// remembers of the beginning has then gone below a thousandth in any home.
const mostRounds = 80
