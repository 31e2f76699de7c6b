package joint

import (
	"sync"

	"github.com/tanrad/tanrad/data"
)

// figures are the judgements of data/joint.csv by key.
var figures = sync.OnceValue(func() map[string]float64 {
	rows, err := data.Read(data.Files, "joint.csv", "key", "value", "unit", "source", "status", "note")
	if err != nil {
		panic("joint: " + err.Error()) // the table is part of the program and tested with it
	}
	out := make(map[string]float64, len(rows))
	for _, r := range rows {
		v, err := r.Float("value")
		if err != nil {
			panic("joint: " + err.Error())
		}
		out[r.Get("key")] = v
	}
	return out
})

// GluingFactor scales the bond by the ease of gluing of a wood: "easily",
// "well", "satisfactorily", "with-difficulty" (classes of the Wood Handbook,
// FPL-GTR-190, Table 10-1), anything else is a class not published. The factors
// are those of data/joint.csv.
func GluingFactor(class string) float64 {
	if f, ok := figures()["gluing-"+class]; ok {
		return f
	}
	return figures()["gluing-unpublished"]
}
