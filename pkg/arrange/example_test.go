package arrange_test

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Two blocks of one wood with crossed rings pull at their joint; laid alike they
// move as one.
func ExampleImprove() {
	mc := 8.0
	f := &layout.File{Units: "mm", Thickness: 38,
		Stock: map[string]layout.Material{
			"A": {Species: "sugar-maple", Ring: layout.RingAt(0), Moisture: &mc},
			"B": {Species: "sugar-maple", Ring: layout.RingAt(90), Moisture: &mc},
		},
		Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{40, 40}, Rows: layout.Rows("AB")}}}
	r, err := arrange.Improve(context.Background(), f, check.Conditions{NoHistories: true}, arrange.Options{Turns: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range r.Turns {
		fmt.Printf("turn %s %s: %s\n", t.Unit, t.Place, t.How)
	}
	fmt.Printf("%.2f of what it bears is left\n", r.After.Utilisation)
	// Output:
	// turn block r1c1: a quarter turn
	// 0.00 of what it bears is left
}
