// Package variation says how much the inputs of a check scatter: the published
// scatter of clear wood, and what nobody publishes for a workshop.
package variation

import (
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Of is the scatter of a property between pieces of one wood, standard deviation
// over mean (dimensionless): "moe", "shear_parallel", "tension_perp", "shrinkage",
// "sg_12", "toughness"; see wood.Variation. It panics for another name.
func Of(property string) float64 {
	v, ok := wood.Variation(property)
	if !ok {
		panic("variation: no scatter of " + property + " is published")
	}
	return v.V / 100
}

// Workshop are standard deviations that are ours, from data/scatter.csv.
type Workshop struct {
	Rings   float64 // degrees, of the ring angle of one piece
	Settled float64 // % MC, of what the surroundings bring, the same for all pieces
	Bond    float64 // of the strength of a bond, as a share of it
	Source  string  // citation key
	Status  wood.Status
}

// Ours gives them.
var Ours = sync.OnceValue(func() Workshop {
	var w Workshop
	into := map[string]*float64{"ring-angle": &w.Rings, "settled-moisture": &w.Settled, "bond": &w.Bond}
	for _, r := range data.Table("scatter.csv", "key", "value", "unit", "source", "status", "note") {
		to, ok := into[r.Get("key")]
		if !ok {
			panic("variation: scatter.csv has an unknown key " + r.Get("key"))
		}
		*to = r.Number("value")
		if r.Get("unit") == "%" {
			*to /= 100
		}
		delete(into, r.Get("key"))
		w.Source, w.Status = r.Get("source"), wood.Status(r.Get("status"))
	}
	if len(into) > 0 {
		panic("variation: scatter.csv lacks a key")
	}
	return w
})
