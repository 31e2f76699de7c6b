// Package variation says how much the inputs of a check scatter.
package variation

import (
	"fmt"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Standard deviations that nobody publishes for a workshop; ours.
const (
	Glued = 0.4 // % MC, of one piece about the moisture the file gives its stock: pieces of one stock come from one rack
	Rings = 5.0 // degrees, of one piece: ±10° read as two standard deviations
	Air   = 1.0 // % MC, of the moisture the surroundings bring, the same for all pieces
)

// Published is the published scatter of clear wood, standard deviation over
// mean, by property of variation.csv.
var Published = sync.OnceValue(func() map[string]float64 {
	rows, err := data.Read(data.Files, "variation.csv", "property", "value")
	if err != nil {
		panic("variation: " + err.Error())
	}
	out := map[string]float64{}
	for _, r := range rows {
		v, err := r.Float("value")
		if err != nil {
			panic("variation: " + err.Error())
		}
		out[r.Get("property")] = v / 100
	}
	for _, p := range []string{"moe", "shear_parallel", "tension_perp", "shrinkage", "sg_12", "toughness"} {
		if !(out[p] > 0) {
			panic(fmt.Sprintf("variation: variation.csv has no %s", p))
		}
	}
	return out
})
