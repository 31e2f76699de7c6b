// Package adhesive knows the classes of glue a maker chooses from: what water
// leaves of the bond, and how wet the wood may be when it is spread. Classes,
// never brands.
//
// Sources: water classes of EN 204 (figures from memory); Wood Handbook,
// FPL-GTR-190, chapter 10. How a class is worked with (open time, clamping time,
// spread) is common practice: the maker's sheet rules. Missing: creep of
// the bond; years of washing, for no law of wet cycles was found for these classes.
package adhesive

import (
	"math"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
)

// Class is a class of glue. A sound, dry side-grain bond of any class is as
// strong as the wood (Wood Handbook, FPL-GTR-190, chapter 10); classes differ in
// what water and the moisture of the wood at gluing leave of that.
type Class struct {
	Key        string  `json:"key"`
	Name       string  `json:"name"`
	WaterClass string  `json:"water_class"`  // D1 to D4 of EN 204, "none" for classes outside that standard
	WetOverDry float64 `json:"wet_over_dry"` // share of the dry strength left after four days in water
	MCLow      float64 `json:"mc_low"`       // % MC of the wood at gluing that the class takes
	MCHigh     float64 `json:"mc_high"`
	Soak       float64 `json:"soak_hours"` // h in cold water that the class is tested for
	Heat       float64 `json:"heat"`       // °C at which the bond begins to soften, or to which the class is tested
	Source     string  `json:"source"`     // key of package source
	Status     string  `json:"status"`
	Note       string  `json:"note,omitempty"`
}

var classes = sync.OnceValue(func() []Class {
	rows := data.Table("adhesives.csv", "key", "name", "water_class", "wet_over_dry", "mc_low", "mc_high", "soak_hours", "heat", "source", "status", "note")
	out := make([]Class, len(rows))
	for i, r := range rows {
		out[i] = Class{Key: r.Get("key"), Name: r.Get("name"), WaterClass: r.Get("water_class"), Source: r.Get("source"), Status: r.Get("status"), Note: r.Get("note"),
			WetOverDry: r.Number("wet_over_dry"), MCLow: r.Number("mc_low"), MCHigh: r.Number("mc_high"), Soak: r.Number("soak_hours"), Heat: r.Number("heat")}
	}
	return out
})

// All lists the classes in the order of data/adhesives.csv.
func All() []Class { return slices.Clone(classes()) }

// Find looks a class up by its key. The error is a fault of rule
// unknown-name with the nearest keys.
func Find(key string) (Class, error) {
	return fault.Lookup("glue", key, classes(), func(c *Class) string { return c.Key })
}

// judgement looks a figure of data/adhesive_judgements.csv up.
func judgement(key string) float64 { return judgements()[key] }

var judgements = sync.OnceValue(func() map[string]float64 {
	return data.Figures("adhesive_judgements.csv", "unit", "source", "status")
})

// Wet gives the factor on the bond after some hours [h] of water on the face
// nearby: it falls in a straight line to the class's share at four days, the
// time of the standard's own test, and stays there. A straight line is common
// practice, no source.
func (a *Class) Wet(hours float64) float64 {
	return 1 - (1-a.WetOverDry)*math.Min(1, math.Max(0, hours)/judgement("water-test"))
}

// Soaked is the time in water [h] over that which the class is tested for
// (dimensionless); beyond 1 nobody answers for the bond.
func (a *Class) Soaked(hours float64) float64 { return hours / a.Soak }

// Heated is how much of what the class bears of heat a temperature [°C] takes, from
// that of a room in a straight line (dimensionless); at 1 the bond begins to soften.
func (a *Class) Heated(temperature float64) float64 {
	from := HeatFrom()
	return math.Max(0, temperature-from) / (a.Heat - from)
}

// Softens tells whether the class is named as one that softens when it stays wet: of the
// two lower water classes, or with little left after the water test.
func (a *Class) Softens() bool {
	return a.WaterClass == "D1" || a.WaterClass == "D2" || a.WetOverDry < judgement("soft-when-wet")
}

// HeatFrom is the temperature [°C] from which heat takes of a bond.
func HeatFrom() float64 { return judgement("heat-from") }

// OutsideWindow is the factor on a bond glued outside its moisture window.
func OutsideWindow() float64 { return judgement("outside-window") }

// GluedAt gives the factor on the bond for wood glued at the two moistures
// [% MC]: 1 inside the class's window, OutsideWindow outside.
func (a *Class) GluedAt(mcA, mcB float64) float64 {
	for _, mc := range [2]float64{mcA, mcB} {
		if mc < a.MCLow || mc > a.MCHigh {
			return OutsideWindow()
		}
	}
	return 1
}

// Spreads are the differences of moisture between neighbours at gluing [% MC] from
// which something is worth saying: what careful shops keep below (common practice,
// no source), and the most within one glued member (Wood Handbook, FPL-GTR-190,
// chapter 13).
func Spreads() (shop, member float64) { return judgement("shop-spread"), judgement("member-spread") }
