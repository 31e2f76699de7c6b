package advice_test

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// What helps two blocks with crossed rings, with one other wood in the shop.
func ExampleMoves() {
	mc := 8.0
	f := &layout.File{Units: "mm", Thickness: 38,
		Stock: map[string]layout.Material{
			"A": {Species: "sugar-maple", Ring: layout.RingAt(0), Moisture: &mc},
			"B": {Species: "sugar-maple", Ring: layout.RingAt(90), Moisture: &mc},
		},
		Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{40, 40}, Rows: layout.Rows("AB")}}}
	a, err := advice.Moves(context.Background(), f, check.Conditions{NoHistories: true}, advice.Options{Have: []string{"black walnut"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := a.Moves[0]
	fmt.Printf("%s Costs: %s.\n", m.Text, m.Cost.Text)
	// Output:
	// Turn 1 block in its place: r1c1 a quarter turn. Costs: 1 block turned; the pattern stays.
}
