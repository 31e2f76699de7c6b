package check

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// telling is one way to tell a board of four blocks of end grain.
type telling struct {
	turn      func(p [2]float64) [2]float64 // of the drawing
	ring      func(r float64) float64       // with it
	order     []int
	scale     float64 // of the units, mm
	home      string
	exposures []string
}

// blocks100 are four unequal blocks that fill 100 × 60 mm: from, to, wood, rings.
var blocks100 = []struct {
	from, to [2]float64
	wood     string
	ring     float64
}{
	{[2]float64{0, 0}, [2]float64{55, 25}, "sugar-maple", 20}, {[2]float64{55, 0}, [2]float64{100, 25}, "black-walnut", 70},
	{[2]float64{0, 25}, [2]float64{55, 60}, "black-walnut", -35}, {[2]float64{55, 25}, [2]float64{100, 60}, "sugar-maple", 85},
}

func (w telling) board(t *testing.T) *layout.Board {
	var stock, pieces []string
	for _, i := range w.order {
		b := &blocks100[i]
		stock = append(stock, fmt.Sprintf(`"s%d":{"species":%q,"ring_angle":%g,"moisture":8}`, i, b.wood, math.Mod(w.ring(b.ring)+540, 360)-180))
		var corners []string
		for _, q := range [][2]float64{b.from, {b.to[0], b.from[1]}, b.to, {b.from[0], b.to[1]}} {
			q = w.turn(q)
			corners = append(corners, fmt.Sprintf("[%.9f,%.9f]", q[0]/w.scale, q[1]/w.scale))
		}
		pieces = append(pieces, fmt.Sprintf(`{"stock":"s%d","outline":[%s]}`, i, strings.Join(corners, ",")))
	}
	units := "mm"
	if w.scale != 1 {
		units = "in"
	}
	return boardtest.From(t, `{"tanrad":1,"units":%q,"thickness":%.9f,"home":%s,"stock":{%s},"field":{"pieces":[%s]},"exposures":[%s]}`,
		units, 30/w.scale, w.home, strings.Join(stock, ","), strings.Join(pieces, ","), strings.Join(w.exposures, ","))
}

// The drawing turned or mirrored, the pieces in another order, inches for millimetres, the
// home by its months, the exposures in another order or alone: it is the same board, and
// every figure of it is the same.
func TestABoardToldOtherwiseIsTheSame(t *testing.T) {
	const wet, dry = `{"name":"flat-on-wet-counter"}`, `{"name":"dry-spell"}`
	climate, err := moisture.FindClimate("continental-heated")
	require.NoError(t, err)
	months, err := json.Marshal(climate.Months[:])
	require.NoError(t, err)
	plain := func() telling {
		return telling{turn: func(q [2]float64) [2]float64 { return q }, ring: func(r float64) float64 { return r }, order: []int{0, 1, 2, 3}, scale: 1,
			home: `"continental-heated"`, exposures: []string{wet, dry}}
	}
	of := func(w telling) *Report {
		b := w.board(t)
		return reportOf(t, b, Conditions{NoCracks: true, NoChance: true, NoCauses: true, Events: b.Exposures})
	}
	want := of(plain())
	require.Len(t, want.Exposures, 2)
	require.Greater(t, want.Utilisation, 0.05)
	require.Greater(t, math.Abs(want.Exposures[0].Cup), 0.01)
	for name, change := range map[string]func(w *telling){
		"turned by a right angle": func(w *telling) {
			w.turn, w.ring = func(q [2]float64) [2]float64 { return [2]float64{60 - q[1], q[0]} }, func(r float64) float64 { return r + 90 }
		},
		"mirrored": func(w *telling) {
			w.turn, w.ring = func(q [2]float64) [2]float64 { return [2]float64{100 - q[0], q[1]} }, func(r float64) float64 { return 180 - r }
		},
		"half a turn of every ring":  func(w *telling) { w.ring = func(r float64) float64 { return r + 180 } },
		"pieces in another order":    func(w *telling) { w.order = []int{2, 0, 3, 1} },
		"inches":                     func(w *telling) { w.scale = 25.4 },
		"the months of the home":     func(w *telling) { w.home = `{"months":` + string(months) + `}` },
		"exposures in another order": func(w *telling) { w.exposures = []string{dry, wet} },
		"one exposure alone":         func(w *telling) { w.exposures = []string{dry} },
	} {
		w := plain()
		change(&w)
		got := of(w)
		if len(w.exposures) == 2 {
			assert.InEpsilon(t, want.Utilisation, got.Utilisation, 1e-6, name)
		}
		for _, e := range got.Exposures {
			i := slices.IndexFunc(want.Exposures, func(o Exposure) bool { return o.Name == e.Name })
			o := &want.Exposures[i]
			assert.InEpsilon(t, o.Utilisation, e.Utilisation, 1e-6, "%s, %s", name, e.Name)
			assert.InEpsilon(t, 1+o.Checking.Utilisation, 1+e.Checking.Utilisation, 1e-6, "%s, %s: checking", name, e.Name)
			assert.InDelta(t, o.Cup, e.Cup, 1e-6, "%s, %s: cup", name, e.Name)
			assert.InDelta(t, o.Bow, e.Bow, 1e-6, "%s, %s: bow", name, e.Name)
			sense := 1.0
			if name == "mirrored" || name == "turned by a right angle" { // a twist is told by its diagonals
				sense = -1
			}
			assert.InDelta(t, sense*o.Twist, e.Twist, 1e-6, "%s, %s: twist", name, e.Name)
		}
	}
}

// An event in the very air the board is at home in moves nothing; a longer one in a drier
// air never moves less.
func TestEventsMoveByTheirAir(t *testing.T) {
	of := func(event string) Exposure {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue_up":{"humidity":45,"temperature":20},"home":{"months":[%s]},
			"stock":{"A":{"species":"sugar-maple","ring_angle":0},"B":{"species":"black-walnut","ring_angle":90}},"field":{"grid":{"block":[40,40],"rows":["AB"]}},"exposures":[%s]}`,
			strings.TrimSuffix(strings.Repeat(`{"humidity":45,"temperature":20},`, 12), ","), event)
		return reportOf(t, b, Conditions{NoCracks: true, NoChance: true, NoCauses: true, Events: b.Exposures}).Exposures[0]
	}
	still := of(`{"name":"flat-on-dry-counter","humidity_change":0}`)
	assert.InDelta(t, 0, still.Utilisation, 1e-6)
	assert.InDelta(t, 0, still.Cup, 1e-6, "mm")
	assert.InDelta(t, 0, still.Checking.Utilisation, 1e-6)
	var last Exposure
	for _, days := range []int{2, 5, 12} {
		now := of(fmt.Sprintf(`{"name":"dry-spell","days":%d}`, days))
		assert.Greater(t, now.Utilisation, last.Utilisation, "%d days", days)
		last = now
	}
}
