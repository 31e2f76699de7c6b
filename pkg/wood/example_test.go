package wood_test

import (
	"fmt"
	"math"
	"strconv"

	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Wood Handbook, Tables 4-3 and 13-5: sugar maple, S_T 9.9 %, C_T 0.00353.
func ExampleChangePerMC() {
	fmt.Printf("%.5f\n", wood.ChangePerMC(9.9, wood.NominalFSP))
	// Output: 0.00353
}

// 40 mm of flat-sawn sugar maple from 7.5 to 12 % MC: 40 · 0.00353 · 4.5 by the
// handbook's coefficient, and by the law behind it.
func ExampleSpecies_Swelling() {
	s, err := wood.Find("Maple, sugar")
	if err != nil {
		fmt.Println(err)
		return
	}
	_, _, t := s.Swelling(7.5, 12)
	fmt.Printf("%.2f mm, %.2f mm\n", 40*s.CT.V*4.5, 40*t)
	// Output: 0.64 mm, 0.64 mm
}

func ExampleFind_unknown() {
	_, err := wood.Find("black-walnit")
	fmt.Println(err)
	// Output: no wood is called "black-walnit": allowed a wood by id, common, trade or scientific name; nearest: black-walnut
}

// A square block of red oak whose rings run at 45°, green to dry: 6.3 % smaller
// both ways and a rhomb by 4.6 % (Wood Handbook Table 4-3: 4.0 and 8.6 %).
func ExampleInPlane() {
	e := wood.InPlane(-0.1, -4.0, -8.6, wood.EndGrain(45))
	fmt.Printf("%.1f %.1f %.1f\n", e[0], e[1], e[2])
	// Output: -6.3 -6.3 4.6
}

func ExampleSpecies_Elastic() {
	s, _ := wood.Find("cherry, black")
	e, err := s.Elastic(12)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("E_R %.0f MPa (%s), G_RT %.0f MPa (%s)\n", e.ER, e.Status["ER"], e.GRT, e.Status["GRT"])
	fmt.Println(source.Text(e.Source["ER"]))
	// Output:
	// E_R 2232 MPa (derived), G_RT 204 MPa (estimated)
	// Forest Products Laboratory: Wood Handbook, Wood as an Engineering Material. General Technical Report FPL-GTR-190. USDA Forest Service, Madison 2010. Table 5-1, elastic ratios at about 12 % moisture.
}

// distance between two colours "#rrggbb", in steps of 255.
func distance(a, b string) float64 {
	var sum float64
	for i := 1; i < 7; i += 2 {
		x, _ := strconv.ParseInt(a[i:i+2], 16, 32)
		y, _ := strconv.ParseInt(b[i:i+2], 16, 32)
		sum += float64((x - y) * (x - y))
	}
	return math.Sqrt(sum)
}
