package layout_test

import (
	"errors"
	"fmt"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

func ExampleRead() {
	b, err := layout.Read([]byte(`{
		"tanrad": 1, "units": "mm", "thickness": 40,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 8},
		          "W": {"species": "black-walnut", "ring_angle": 45, "moisture": 8}},
		"field": {"slices": {"strips": [["M", 40], ["W", 20]], "height": 38, "count": 2, "turn": "over"}},
		"glue": "pva", "glue_up": {"humidity": 45, "temperature": 20}}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%g × %g mm\n", b.Width, b.Height)
	for _, p := range b.Pieces {
		fmt.Printf("%s %s, rings at %g°\n", p.ID, p.Species, p.RingAngle)
	}
	for _, j := range b.Joints {
		fmt.Printf("%s %g mm\n", j.ID, j.Length)
	}
	// Output:
	// 60 × 76 mm
	// r1c1 sugar-maple, rings at 0°
	// r1c2 black-walnut, rings at 45°
	// r2c1 sugar-maple, rings at 0°
	// r2c2 black-walnut, rings at -45°
	// r1c1|r2c1 40 mm
	// r1c1|r1c2 38 mm
	// r1c2|r2c2 20 mm
	// r2c1|r2c2 38 mm
}

func ExampleRead_faults() {
	_, err := layout.Read([]byte(`{
		"tanrad": 1, "units": "mm", "thickness": 0,
		"stock": {"W": {"species": "black-walnit", "ring_angle": 45}},
		"field": {"grid": {"block": [40, 40], "rows": ["WW", "W"]}}}`))
	var faults fault.List
	if errors.As(err, &faults) {
		for _, f := range faults {
			fmt.Println(f.Rule, f.Pointer, len(f.Nearest) > 0)
		}
	}
	// Output:
	// out-of-range /thickness false
	// unknown-name /stock/W/species true
	// ragged /field/grid/rows/1 false
}

// A board may be written in Go as well as in JSON. Every what-if is an edit.
func ExampleFile() {
	mc := 8.0
	f := &layout.File{
		Units: "mm", Thickness: 40,
		Stock: map[string]layout.Material{
			"M": {Species: "sugar-maple", Ring: layout.RingAt(0), Moisture: &mc},
			"W": {Species: "black-walnut", Ring: layout.RingAt(90), Moisture: &mc},
		},
		Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{40, 40}, Rows: layout.Rows("MW", "WM")}},
	}
	turned := f.Clone()
	turned.Change("r1c2", layout.Override{Ring: layout.RingAt(45)})
	b, faults := turned.Board()
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	fmt.Println(b.Pieces[1].ID, b.Pieces[1].RingAngle)
	fmt.Printf("%s", turned.JSON())
	// Output:
	// r1c2 45
	// {
	//   "tanrad": 1,
	//   "units": "mm",
	//   "thickness": 40,
	//   "stock": {
	//     "M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 8},
	//     "W": {"species": "black-walnut", "ring_angle": 90, "moisture": 8}
	//   },
	//   "field": {"grid": {"block": [40, 40], "rows": ["MW", "WM"]}},
	//   "pieces": {"r1c2": {"ring_angle": 45}}
	// }
}
