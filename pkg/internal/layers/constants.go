package layers

import (
	"fmt"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Constants are the figures of data/layers.csv that no wood has of its own.
type Constants struct {
	Sorption []Kelvin // Reach in % MC
	Yield    float64  // where crushing begins over the proportional limit
	Fine     float64  // mm, the least depth of a check that is told
	Deep     float64  // of the thickness: a deeper one counts for the word
}

// Default are the constants in use.
var Default = sync.OnceValue(func() Constants {
	rows, err := data.Read(data.Files, "layers.csv", "key", "value", "unit", "lo", "hi", "source", "status", "note")
	if err != nil {
		panic("layers: " + err.Error()) // the table is part of the program and tested with it
	}
	value := map[string]float64{}
	for _, r := range rows {
		if value[r.Get("key")], err = r.Float("value"); err != nil {
			panic("layers: " + err.Error())
		}
	}
	c := Constants{Yield: value["yield"], Fine: value["fine"], Deep: value["deep"]}
	for i := 1; value[fmt.Sprintf("sorption-%d", i)] > 0; i++ {
		c.Sorption = append(c.Sorption, Kelvin{value[fmt.Sprintf("sorption-%d", i)], value[fmt.Sprintf("sorption-%d-reach", i)]})
	}
	if !(c.Yield > 0 && c.Fine > 0 && c.Deep > 0) || len(c.Sorption) == 0 {
		panic("layers: layers.csv lacks a figure")
	}
	return c
})
