package diagnose

import "math"

// modulus is Weibull's for the strength of one link: a coefficient of variation
// of 25 % (tension across the grain, data/variation.csv).
const modulus = 4.5

// alike is the factor between two scores below which nothing tells them apart.
const alike = 3.2

// Priors: how common a cause is beside a change of season, which is 1. Ours, no
// source.
const (
	usual     = 1.0   // what every kitchen board meets
	neglect   = 0.5   // what ruins boards by neglect, and work in the shop
	misjudged = 0.3   // wood glued wetter or drier than told
	turnedOne = 0.02  // one block in fifty set the wrong way round
	weakOne   = 0.005 // one joint in two hundred glued poorly
	starved   = 0.002 // one in five hundred starved of glue
	dry       = 5e-4  // one in two thousand that no glue reached
)

// What is left of a joint's capacity. Ours, no source.
const (
	weakKeeps    = 0.5
	starvedKeeps = 0.25
	dryKeeps     = 0.05
)

// error of moisture at gluing that is tried, % MC: what a board brought from
// outside or a pin meter off by its usual error amounts to.
const gluingError = 2.5

// dayOne is when what was glued in has settled through an end-grain slab, days.
const dayOne = 1

// seasonChance is how often a cause that is worst in a month (1 to 12, 0: any)
// is seen in another, among the twelve: a bell of one and a half months either
// way over a floor, divided by its mean so that an even spread is 1.
func seasonChance(worst, seen int) float64 {
	if worst == 0 {
		return 1
	}
	bell := func(seen int) float64 {
		d := math.Abs(float64(worst - seen))
		d = math.Min(d, 12-d)
		return 0.05 + math.Exp(-d*d/(2*1.5*1.5))
	}
	sum := 0.0
	for m := 1; m <= 12; m++ {
		sum += bell(m)
	}
	return 12 * bell(seen) / sum
}

// ages are the classes of age that matter: days, weeks, the first year, later.
var ages = [3]float64{7, 60, 400} // days, upper ends

func ageClass(days float64) int {
	for i, top := range ages {
		if days <= top {
			return i
		}
	}
	return len(ages)
}

// How a cause spreads over the classes of age. Ours, no source.
var (
	anyTime   = [4]float64{0.10, 0.20, 0.35, 0.35} // an event in the kitchen
	withYear  = [4]float64{0.05, 0.20, 0.50, 0.25} // a season
	soonAfter = [4]float64{0.15, 0.45, 0.30, 0.10} // a mistake that shows as the wood settles
	poorBond  = [4]float64{0.20, 0.30, 0.30, 0.20}
)

// fromStart spreads a cause that runs from gluing and is worst after some days.
func fromStart(days float64) (out [4]float64) {
	for i := range out {
		out[i] = 0.1
	}
	out[ageClass(days)] = 0.7
	return out
}

// depthChance is how often a cause that acts at a level (1 top face, −1 bottom
// face, 0 through) is seen as a crack of a face or through. Ours, no source.
func depthChance(level int, depth, face string) float64 {
	switch {
	case depth == Through && level == 0:
		return 0.7
	case depth == Through:
		return 0.3
	case depth == "":
		return 1
	case face == "" && level != 0:
		return 0.7
	case level == 0:
		return 0.3 // a crack through that has not been looked for below
	case face == Top && level > 0, face == Bottom && level < 0:
		return 0.6
	}
	return 0.1
}

// eventChance is how often a cause is told of when it acted, and an event told
// of when something else did.
func eventChance(own, told string) float64 {
	switch told {
	case "":
		return 1
	case own:
		return 0.9
	}
	return 0.05
}

// rate is a link's part of the chance that the board opens.
func rate(u float64) float64 { return math.Pow(math.Gamma(1+1/modulus)*u, modulus) }
