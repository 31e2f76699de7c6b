package diagnose

import (
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// judged looks a figure of data/look_back.csv up: how common causes are beside a change
// of season, what is left of a poor bond, how what acts is seen.
func judged(key string) float64 {
	v, known := judgements()[key]
	if !known {
		panic("diagnose: data/look_back.csv has no row " + key)
	}
	return v
}

var judgements = sync.OnceValue(func() map[string]float64 {
	return data.Figures("look_back.csv", "unit", "lo", "hi", "source", "status", "note")
})

// seasonChance is how often a cause that is worst in a month (1 to 12, 0: any)
// is seen in another, among the twelve: a bell over a floor, divided by its mean so that an even spread is 1.
func seasonChance(worst, seen int) float64 {
	if worst == 0 {
		return 1
	}
	bell := func(seen int) float64 {
		d := math.Abs(float64(worst - seen))
		d = math.Min(d, 12-d)
		width := judged("season-width")
		return judged("season-floor") + math.Exp(-d*d/(2*width*width))
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

// spread is how a cause spreads over the classes of age, by data/look_back_ages.csv.
func spread(key string) [4]float64 {
	v, known := spreads()[key]
	if !known {
		panic("diagnose: data/look_back_ages.csv has no row " + key)
	}
	return v
}

var spreads = sync.OnceValue(func() map[string][4]float64 {
	out := map[string][4]float64{}
	for key, r := range data.Keyed("look_back_ages.csv", "source", "status", "note") {
		out[key] = [4]float64{r.Number("to_7_days"), r.Number("to_60_days"), r.Number("to_400_days"), r.Number("later")}
	}
	return out
})

// fromStart spreads a cause that runs from gluing and is worst after some days.
func fromStart(days float64) [4]float64 {
	out := spread("its-own")
	class := ageClass(days)
	out[0], out[class] = out[class], out[0]
	return out
}

// depthChance is how often a cause that acts at a level (1 top face, −1 bottom
// face, 0 through) is seen as a crack of a face or through.
func depthChance(level int, depth, face string) float64 {
	switch {
	case depth == Through && level == 0:
		return judged("through-as-through")
	case depth == Through:
		return judged("face-as-through")
	case depth == "":
		return 1
	case face == "" && level != 0:
		return judged("face-as-a-face")
	case level == 0:
		return judged("through-as-face")
	case face == Top && level > 0, face == Bottom && level < 0:
		return judged("face-as-its-own")
	}
	return judged("face-as-the-other")
}

// eventChance is how often a cause is told of when it acted, and an event told
// of when something else did.
func eventChance(own, told string) float64 {
	switch told {
	case "":
		return 1
	case own:
		return judged("told-of-its-own")
	}
	return judged("told-of-another")
}

// rate is a link's part of the chance that the board opens.
func rate(u float64) float64 {
	modulus := judged("weibull-modulus")
	return math.Pow(math.Gamma(1+1/modulus)*u, modulus)
}
