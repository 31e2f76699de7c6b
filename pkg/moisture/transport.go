package moisture

import "math"

// Units of the kernel.
const (
	squareMMPerHour = 3.6e9 // one m²/s in mm²/h
	mmPerHour       = 3.6e6 // one m/s in mm/h
	zeroCelsius     = 273.15
	gasCalories     = 1.987 // cal/(mol K), the gas constant in Siau's units
)

// series is the factor on the transverse diffusivity of the resistance put in
// series along the fibres. It is infinite (no resistance) for woods so light
// that the closed form itself gives no more than the measured ratio.
func series(g, temperature, ratio float64) float64 {
	across, along := siau(g, temperature, 10)
	rest := 1/ratio - across/along
	if rest <= 0 {
		return math.Inf(1)
	}
	return 1 / rest
}

// inSeries is the diffusivity along the fibres from the closed form's and that across,
// all in one unit; more is what series gives. The closed form overstates measured
// end-grain diffusion about four times at 10 % MC but meets reports near saturation
// (along : across 2 to 4 at 25 % MC). So a second resistance, proportional to that across
// the fibres, is put in series, of the size that gives the measured ratio at 10 % MC.
func inSeries(across, closed, more float64) float64 { return 1 / (1/closed + 1/(more*across)) }

// siau is the closed form across and along the fibres, m²/s, of wood of the oven-dry
// specific gravity g (mass over oven-dry volume, 0.1 to 1.4), at a temperature [°C] and
// moisture content [% MC, 0 to 30]: Siau, Transport Processes in Wood (1984), Eqs 6.11
// to 6.26, bound water in the walls in series and parallel with vapour in the lumens,
// with the sorption slope of Simpson (1973).
func siau(g, temperature, mc float64) (across, along float64) {
	t := temperature + zeroCelsius
	rt := gasCalories * t
	bt := 0.07 * math.Exp(-(9200-70*mc)/rt)            // bound water across, cm²/s (Siau 1984)
	bl := 2.5 * bt                                     // bound water along
	air := 0.220 * math.Pow(t/273, 1.75)               // vapour in air at 76 cm Hg, cm²/s
	sat := 8.75e7 * math.Exp(-10400/rt)                // saturation pressure, cm Hg
	wall := 1.54 / (1 + 0.015*mc)                      // specific gravity of the moist wall
	slope := 100 * bradleySlope(temperature, mc)       // dh/dM, M as a fraction
	v := 18 * air * sat * slope / (wall * 6236.37 * t) // vapour in the lumen on the scale of bound water
	a2 := 1 - g/1.54                                   // lumen share; its root is the lumen's width in a unit cell
	a := math.Sqrt(a2)
	across = bt * v / ((1 - a2) * (bt + v*(1-a)))
	along = 1 / ((1 - a2) * (1/(v*a2+bl*(1-a2)) + (1-a)/(100*bl*a2)))
	return across * 1e-4, along * 1e-4
}

// bradleySlope is dh/dM [1/% MC] of the sorption curve h = exp(−(L2·L1^M + L3)),
// Simpson 1973, Eqs 10 and 22 to 24 (h as a fraction, temperature in °F there).
func bradleySlope(temperature, mc float64) float64 {
	f := temperature*1.8 + 32
	l1 := 0.839 + f*(2.02e-5-f*1.56e-6)
	l2 := 3.56 + f*(0.00392-f*4.45e-5)
	l3 := 0.0219 + f*1.64e-5
	p := l2 * math.Pow(l1, mc)
	return -p * math.Log(l1) * math.Exp(-(p + l3))
}

// potential tabulates the diffusivity d(M) [mm²/h] and its integral
// θ(M) = ∫₀ᴹ d dM [% mm²/h] on an even grid of moisture contents. Between the
// nodes d is linear and θ its exact integral, so θ' = d holds everywhere. The
// flux between two cells is the difference of θ: exact for a steady flow.
type potential struct {
	d, theta []float64
}

// Grid of the tables: 0 to 34 % MC, past any moisture the surface law gives.
const (
	potentialTop  = 34.0
	potentialStep = 0.25
	potentialN    = int(potentialTop/potentialStep) + 1
)

// newPotential fills the tables from a diffusivity in mm²/h.
func newPotential(d func(mc float64) float64) *potential {
	p := &potential{d: make([]float64, potentialN), theta: make([]float64, potentialN)}
	for i := range p.d {
		p.d[i] = d(float64(i) * potentialStep)
		if i > 0 {
			p.theta[i] = p.theta[i-1] + potentialStep*(p.d[i-1]+p.d[i])/2
		}
	}
	return p
}

// bounded is a potential that levels off at saturation [% MC]: water beyond it is
// free in the lumens, stays where it is, and drives diffusion hardly more than
// saturation does.
type bounded struct {
	*potential
	saturation float64
}

// levelling is the width [% MC] within which the potential levels off, for a corner
// would make the step control chatter; it is as much as saturation is uncertain by.
const levelling = 0.5

func (p *bounded) at(mc float64) (theta, d float64) {
	if mc <= p.saturation {
		return p.potential.at(mc)
	}
	theta, d = p.potential.at(p.saturation)
	left := math.Exp(-(mc - p.saturation) / levelling)
	return theta + d*levelling*(1-left), d * left
}

// at returns θ and d. Outside the grid d is held, so θ goes on in a straight line;
// only round-off and trial values of the step control get there.
func (p *potential) at(mc float64) (theta, d float64) {
	x := mc / potentialStep
	i := int(x)
	switch {
	case x <= 0:
		return p.d[0] * mc, p.d[0]
	case i >= potentialN-1:
		n := potentialN - 1
		return p.theta[n] + p.d[n]*(mc-potentialTop), p.d[n]
	}
	f := x - float64(i)
	rise := p.d[i+1] - p.d[i]
	return p.theta[i] + potentialStep*f*(p.d[i]+f*rise/2), p.d[i] + f*rise
}
