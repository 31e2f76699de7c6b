package adhesive

import (
	"math"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Use is how a class of glue is worked with, at 20 °C. Where a range is usual both
// ends are given: a plan keeps within the shorter open time and waits out the longer
// clamping time. Common practice, no source; the maker's sheet rules.
type Use struct {
	Class         string
	OpenLo        float64 // min, from spreading the first joint to full pressure
	OpenHi        float64 // min
	ClampLo       float64 // min under pressure
	ClampHi       float64 // min
	Cure          float64 // h until the joint may be loaded
	Spread        float64 // g/m² on one face
	Water         float64 // share of it that is water and goes into the wood
	PressureShare float64 // share of the pressure that thin waterborne glues want
	Least         float64 // °C, coldest shop
	Source        string  // key of package source
	Status        string
	Note          string
}

var uses = sync.OnceValue(func() []Use {
	rows := data.Table("adhesive_use.csv", "key", "source", "status", "note")
	out := make([]Use, len(rows))
	for i, r := range rows {
		out[i] = Use{Class: r.Get("key"), Source: r.Get("source"), Status: r.Get("status"), Note: r.Get("note"),
			OpenLo: r.Number("open_lo_min"), OpenHi: r.Number("open_hi_min"), ClampLo: r.Number("clamp_lo_min"), ClampHi: r.Number("clamp_hi_min"),
			Cure: r.Number("cure_h"), Spread: r.Number("spread_g_m2"), Water: r.Number("water_share"), PressureShare: r.Number("pressure_share"), Least: r.Number("least_c")}
	}
	return out
})

// UseOf tells how the class of glue with the key is worked with; false for a key
// that is no class.
func UseOf(key string) (Use, bool) {
	i := slices.IndexFunc(uses(), func(u Use) bool { return u.Class == key })
	if i < 0 {
		return Use{}, false
	}
	return uses()[i], true
}

// Slower is the factor on open, clamping and curing times at a temperature [°C] when
// ten degrees of cold lengthen them by the factor given.
func Slower(temperature, perTen float64) float64 {
	return math.Pow(perTen, (20-temperature)/10)
}
