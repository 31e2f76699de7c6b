// Package notice asks about input that is possible but hardly meant: a moisture
// of 0.08 where 8 % was meant, a humidity of 0.45, a temperature of 70 in a form
// that takes °C, inches typed under "mm". Such input is answered as it stands;
// the notice stands beside the answer and asks whether it is right.
//
// The limits are those of data/plausible.csv and of no other place.
package notice

import (
	"fmt"
	"strconv"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Notice is one value to look at again.
type Notice struct {
	Pointer string `json:"pointer"`          // RFC 6901 JSON pointer into the input
	Found   string `json:"found"`            // with its unit
	Likely  string `json:"likely,omitempty"` // what was probably meant, with its unit
	Text    string `json:"text"`             // a sentence for a person, a question
}

// List is the notices on one input. None of them refuses it.
type List []Notice

// Quantity is a row of the table of limits.
type Quantity string

// The quantities that are looked at.
const (
	Moisture    Quantity = "moisture"    // % MC of wood when glued
	Humidity    Quantity = "humidity"    // % relative humidity of a room
	Temperature Quantity = "temperature" // °C of a room
	Block       Quantity = "block"       // mm, side of a piece
	Thickness   Quantity = "thickness"   // mm, of a board
	Side        Quantity = "side"        // mm, of a board
	Wood        Quantity = "wood"        // % MC of wood in any state, green or dry
	Size        Quantity = "size"        // mm, of one piece
)

// guess is what a value beyond a limit probably was.
type guess struct {
	shift, factor float64 // factor 0: no guess at the number
	means         string
}

// limits of one quantity.
type limits struct {
	what, unit string
	low, high  float64
	guesses    [2]guess // below low, above high
}

var table = sync.OnceValue(func() map[Quantity]limits {
	all := map[Quantity]limits{}
	for _, r := range data.Table("plausible.csv", "quantity", "what", "unit", "low", "high", "low_shift", "low_factor", "low_means", "high_shift", "high_factor", "high_means", "source", "status") {
		l := limits{what: r.Get("what"), unit: r.Get("unit"), low: r.Optional("low"), high: r.Optional("high")}
		for i, end := range []string{"low", "high"} {
			l.guesses[i] = guess{r.Optional(end + "_shift"), r.Optional(end + "_factor"), r.Get(end + "_means")}
		}
		all[Quantity(r.Get("quantity"))] = l
	}
	return all
})

// Look adds a notice when a value, in the unit of its quantity (% MC, %, °C, mm), lies beyond the
// limits.
func (l *List) Look(q Quantity, v float64, pointer string) {
	lim, ok := table()[q]
	if !ok {
		panic("notice: no limits for " + string(q))
	}
	side := 0
	switch {
	case v < lim.low:
	case v > lim.high:
		side = 1
	default:
		return
	}
	g := lim.guesses[side]
	n := Notice{Pointer: pointer, Found: with(v, lim.unit)}
	n.Text = fmt.Sprintf("%s is unusual for the %s (%s to %s). Is this right?", n.Found, lim.what, number(lim.low), with(lim.high, lim.unit))
	if likely := (v + g.shift) * g.factor; g.factor != 0 && likely >= lim.low && likely <= lim.high {
		n.Likely = with(likely, lim.unit)
		n.Text = fmt.Sprintf("%s is unusual for the %s (%s to %s): %s? Did you mean %s?", n.Found, lim.what, number(lim.low), with(lim.high, lim.unit), g.means, n.Likely)
	} else if g.factor == 0 {
		n.Text = fmt.Sprintf("%s is unusual for the %s (%s to %s): %s. Is this right?", n.Found, lim.what, number(lim.low), with(lim.high, lim.unit), g.means)
	}
	*l = append(*l, n)
}

// Add adds a notice of the caller's own.
func (l *List) Add(n Notice) { *l = append(*l, n) }

func with(v float64, unit string) string { return number(v) + " " + unit }

// number writes three digits, and all of those before the point.
func number(v float64) string {
	if v >= 1000 || v <= -1000 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}
