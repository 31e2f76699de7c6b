package moisture

import (
	"context"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Finish is a coat or a soak on the faces of a board.
//
// The published figure is the moisture-excluding effectiveness: 100·(1 − gain
// of the finished panel / gain of the bare one) after 1, 7 and 14 days at 90 %
// RH and 27 °C, from balance with 30 % (Feist, Little & Wennesheimer 1985,
// FPL-RP-462; Wood Handbook Table 16-3). Resistance is the one film resistance
// with which a simulation of that test comes closest to the three figures; see
// fitResistance of the tests. The test pieces were mostly side grain; on end grain a finish
// that soaks in may do better or worse, and nothing published says which.
type Finish struct {
	Key, Name     string
	Coats         int        // 0 when the figure is not for a count of coats
	Effectiveness [3]float64 // % after 1, 7 and 14 days
	Liquid        string     // what it is to liquid water: "none", "oil", "drying-oil" or "film"; see data/uptake.csv
	Resistance    float64    // s/m, against the difference of vapour density across the film
	Source        string     // key of package source, of the effectiveness
	Status        wood.Status
	Note          string
}

// defaultCoats is what a finish without a count of coats means.
const defaultCoats = "2"

var finishes = sync.OnceValue(func() []Finish {
	var list []Finish
	for _, r := range data.Table("finishes.csv") {
		coats := 0.0
		if r.Get("coats") != "" {
			coats = r.Number("coats")
		}
		list = append(list, Finish{
			Key: r.Get("key"), Name: r.Get("name"), Coats: int(coats),
			Effectiveness: [3]float64{r.Number("mee_1d_pct"), r.Number("mee_7d_pct"), r.Number("mee_14d_pct")},
			Resistance:    r.Number("resistance_s_m"), Liquid: r.Get("liquid"),
			Source: r.Get("source"), Status: wood.Status(r.Get("status")), Note: r.Get("note"),
		})
	}
	return list
})

// Finishes returns every finish in the order of data/finishes.csv.
func Finishes() []Finish { return slices.Clone(finishes()) }

// FindFinish looks a finish up by its key, "tung-oil-3" for three coats; a key
// without a count means two coats, and "" means "none". The error is a
// fault of rule unknown-name with the nearest keys.
func FindFinish(key string) (Finish, error) {
	if key == "" {
		key = "none"
	}
	all := finishes()
	keys := make([]string, len(all))
	for i, f := range all {
		if keys[i] = f.Key; f.Key == key || f.Key == key+"-"+defaultCoats {
			return f, nil
		}
	}
	return Finish{}, fault.Unknown("finish", key, keys)
}

// The published test, and what is assumed of its panels. The copies seen do not
// print their size; a coatings maker who follows the laboratory's method uses
// blanks of 3 × 5 × 5/8 in, coated all round, and these are assumed. They are
// simulated as a slab with the same surface for its volume.
const (
	panelThickness = 15.9                                                  // mm, 5/8 in
	panelWidth     = 76.2                                                  // mm, 3 in
	panelLength    = 127.0                                                 // mm, 5 in
	testThickness  = 1 / (1/panelThickness + 1/panelWidth + 1/panelLength) // mm
	testFrom       = 30.0                                                  // % RH
	testTo         = 90.0                                                  // % RH
	testAir        = 26.7                                                  // °C, 80 °F
	testWood       = "ponderosa-pine"
)

// testDays are the times at which the test weighs its panels.
var testDays = [3]float64{1, 7, 14}

// testPanel is the panel as a material, of side grain, with a film.
func testPanel(film float64) material {
	s, err := wood.Find(testWood)
	if err != nil {
		panic("moisture: " + err.Error())
	}
	at12, _, dry, err := specificGravity(s)
	if err != nil {
		panic("moisture: " + err.Error())
	}
	return material{solid: dry, density: 1000 * at12, ratio: AlongRatio(s.Class), film: [2]float64{film, film}}
}

// testGain is the gain of the panel's mean moisture at the three days, % MC.
func testGain(film float64) [3]float64 {
	opt, _ := Options{Tolerance: 0.001}.filled()
	r := newRun(testPanel(film), testThickness, equilibrium(testAir, testFrom), opt)
	face := Face{Kind: Air, Room: Room{Humidity: testTo, Temperature: testAir}}
	p := Phase{Hours: 24 * testDays[2], Top: face, Bottom: face}
	r.enter(p)
	var gain [3]float64
	for i, d := range testDays {
		if err := r.advance(context.Background(), p, 24*d); err != nil {
			panic("moisture: " + err.Error()) // no deadline was set
		}
		gain[i] = r.water / testThickness
	}
	return gain
}
