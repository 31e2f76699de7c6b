package window_test

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/window"
)

// One wood with its rings alike moves freely: no air is too dry or too damp once
// it has settled.
func ExampleOf() {
	f := &layout.File{Units: "mm", Thickness: 38,
		Stock: map[string]layout.Material{"A": {Species: "white-oak", Ring: layout.RingAt(30)}},
		Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{40, 40}, Rows: layout.Rows("AAA", "AAA")}}}
	w, err := window.Of(context.Background(), f, check.Conditions{NoHistories: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	h := w.Humidity[0]
	fmt.Println(w.Now.Verdict, "now;", "any air will do:", h.OpenLow && h.OpenHigh)
	// Output:
	// holds now; any air will do: true
}
