package check

import (
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Wherever it stands in a report, a number that is none is found and named.
func TestFiniteFindsEveryNumber(t *testing.T) {
	half := 1.0
	good := func() *Report {
		return &Report{Width: 1, Worst: &Worst{Place: layout.XY{1, 2}}, States: []State{{Moisture: map[string]float64{"A": 8}}},
			Exposures: []Exposure{{Series: &Series{Cup: []float64{1, 2}}, Responses: []Reply{{Half: &half}}}}, Chance: &Chance{Contribution: []Share{{Share: 1}}}}
	}
	assert.NoError(t, finite(reflect.ValueOf(good()), "report"))
	for place, spoil := range map[string]func(r *Report, v float64){
		"Width": func(r *Report, v float64) { r.Width = v }, "Place[1]": func(r *Report, v float64) { r.Worst.Place[1] = v },
		"Moisture[A]": func(r *Report, v float64) { r.States[0].Moisture["A"] = v }, "Cup[1]": func(r *Report, v float64) { r.Exposures[0].Series.Cup[1] = v },
		"Half": func(r *Report, v float64) { r.Exposures[0].Responses[0].Half = &v }, "Contribution[0].Share": func(r *Report, v float64) { r.Chance.Contribution[0].Share = v },
	} {
		for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			r := good()
			spoil(r, v)
			assert.ErrorContains(t, finite(reflect.ValueOf(r), "report"), place)
		}
	}
}
