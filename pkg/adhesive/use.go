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
	rows, err := data.Read(data.Files, "adhesive_use.csv", "key", "source", "status", "note")
	if err != nil {
		panic("adhesive: " + err.Error()) // the table is part of the program and tested with it
	}
	out := make([]Use, len(rows))
	for i, r := range rows {
		u := &out[i]
		u.Class, u.Source, u.Status, u.Note = r.Get("key"), r.Get("source"), r.Get("status"), r.Get("note")
		if err := r.Floats(map[string]*float64{"open_lo_min": &u.OpenLo, "open_hi_min": &u.OpenHi, "clamp_lo_min": &u.ClampLo, "clamp_hi_min": &u.ClampHi,
			"cure_h": &u.Cure, "spread_g_m2": &u.Spread, "water_share": &u.Water, "pressure_share": &u.PressureShare, "least_c": &u.Least}); err != nil {
			panic("adhesive: " + err.Error())
		}
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
