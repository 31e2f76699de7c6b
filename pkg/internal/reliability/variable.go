package reliability

import (
	"fmt"
	"math"
)

// Law is the distribution of a variable.
type Law int

// The laws.
const (
	Normal    Law = iota // Mean and SD in the unit of the variable
	Lognormal            // Mean and SD are those of the variable itself, not of its logarithm; Mean > 0
)

// Variable is one basic variable, independent of all others. SD may be 0: the
// variable then is a constant.
type Variable struct {
	Law      Law
	Mean, SD float64 // in the unit of the variable
}

// check refuses what has no distribution.
func (v Variable) check(i int) error {
	if math.IsNaN(v.Mean) || math.IsInf(v.Mean, 0) || !(v.SD >= 0) || math.IsInf(v.SD, 0) || v.Law < Normal || v.Law > Lognormal {
		return fmt.Errorf("chance: variable %d has mean %g, standard deviation %g, law %d: all finite, deviation at least 0, a known law", i, v.Mean, v.SD, v.Law)
	}
	if v.Law == Lognormal && v.Mean <= 0 {
		return fmt.Errorf("chance: variable %d is lognormal with mean %g: allowed above 0", i, v.Mean)
	}
	return nil
}

// logs gives mean and standard deviation of the logarithm of a lognormal
// variable: ζ² = ln(1 + (SD/Mean)²), λ = ln Mean − ζ²/2.
func (v Variable) logs() (lambda, zeta float64) {
	d := v.SD / v.Mean
	zeta = math.Sqrt(math.Log1p(d * d))
	return math.Log(v.Mean) - zeta*zeta/2, zeta
}

// At maps a standard normal value u to the variable's own value x, with dx/du.
func (v Variable) At(u float64) (x, slope float64) {
	if v.Law == Normal {
		return v.Mean + v.SD*u, v.SD
	}
	lambda, zeta := v.logs()
	x = math.Exp(lambda + zeta*u)
	return x, zeta * x
}

// mapping holds what At works out anew each time.
type mapping struct {
	vars         []Variable
	lambda, zeta []float64 // of lognormal variables
}

func newMapping(vars []Variable) mapping {
	m := mapping{vars, make([]float64, len(vars)), make([]float64, len(vars))}
	for i, v := range vars {
		if v.Law == Lognormal {
			m.lambda[i], m.zeta[i] = v.logs()
		}
	}
	return m
}

func (m *mapping) at(i int, u float64) (x, slope float64) {
	v := &m.vars[i]
	if v.Law == Normal {
		return v.Mean + v.SD*u, v.SD
	}
	x = math.Exp(m.lambda[i] + m.zeta[i]*u)
	return x, m.zeta[i] * x
}

// byParameters gives ∂x/∂Mean and ∂x/∂SD at a fixed u.
func (v Variable) byParameters(u float64) (mean, sd float64) {
	if v.Law == Normal {
		return 1, u
	}
	x, _ := v.At(u)
	_, zeta := v.logs()
	if zeta == 0 {
		return 1, x / v.Mean * u // the limit of small scatter is the normal law
	}
	d := v.SD / v.Mean
	byD := d / ((1 + d*d) * zeta) // dζ/dd
	// ln x = ln Mean − ζ²/2 + ζu, d = SD/Mean
	return x * (1/v.Mean - (u-zeta)*byD*d/v.Mean), x * (u - zeta) * byD / v.Mean
}

// Phi is the standard normal distribution function.
func Phi(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// BetaOf is the generalised reliability index of a probability, −Φ⁻¹(p), kept
// within ±38, beyond which Φ is 0 in double precision.
func BetaOf(p float64) float64 {
	const most = 38
	return math.Max(-most, math.Min(most, math.Sqrt2*math.Erfcinv(2*p)))
}
