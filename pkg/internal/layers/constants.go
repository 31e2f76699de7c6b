package layers

import (
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/relax"
)

// Constants are the figures that no wood has of its own: those of data/layers.csv, and
// the chain of package relax.
type Constants struct {
	Sorption []Kelvin // Reach in % MC
	Yield    float64  // where crushing begins over the proportional limit
	Fine     float64  // mm, the least depth of a check that is told
	Deep     float64  // of the thickness: a deeper one counts for the word
}

// Default are the constants in use.
var Default = sync.OnceValue(func() Constants {
	value := data.Figures("layers.csv", "unit", "lo", "hi", "source", "status", "note")
	c := Constants{Yield: value["yield"], Fine: value["fine"], Deep: value["deep"]}
	for _, g := range relax.Typical.Give() {
		c.Sorption = append(c.Sorption, Kelvin{g.Share, g.Range})
	}
	if !(c.Yield > 0 && c.Fine > 0 && c.Deep > 0) || len(c.Sorption) == 0 {
		panic("layers: layers.csv lacks a figure")
	}
	return c
})
