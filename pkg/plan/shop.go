package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Shop is what a board file does not say: the shop, its stock and its prices. The
// zero value is the documented default.
type Shop struct {
	Air      *moisture.Room     // of the shop; nil is the air of the board's glue-up, or of Month
	Month    int                // 1 is January: the shop's air is that of Workshop in it; 0 for no month
	Workshop string             // climate of the shop in Month; "" is the board's home
	Arrival  map[string]float64 // % MC of stock as bought, by key of the file's stock; "" stands for all others
	Prices   map[string]float64 // of rough stock, by key of the file's stock: a m³ for files in mm, a board foot for files in inches
	Kerf     *float64           // mm; nil is data/shop.csv
	Trim     *float64           // mm off each end of a panel
	Clamp    *float64           // kN, force of one clamp
	Longest  *float64           // mm, longest stick or panel
	Defects  *float64           // share of bought stock that is lost to faults in the wood
	Pace     *float64           // min per m² of glue spread
	Inches   bool               // the plan speaks in inches, whatever the file does
}

// bounds of what a shop may say of itself.
var bounds = []struct {
	name, key  string
	of         func(*Shop) *float64
	low, high  float64
	unit       string
	openBottom bool // low itself is not allowed
}{
	{"kerf", "kerf", func(s *Shop) *float64 { return s.Kerf }, 0, layout.MaxKerf, "mm", true},
	{"trim", "trim-end", func(s *Shop) *float64 { return s.Trim }, 0, 200, "mm", false},
	{"clamp", "clamp", func(s *Shop) *float64 { return s.Clamp }, 0.1, 100, "kN", false},
	{"longest", "longest", func(s *Shop) *float64 { return s.Longest }, 100, 6000, "mm", false},
	{"defects", "defects", func(s *Shop) *float64 { return s.Defects }, 0, 0.9, "", false},
	{"pace", "spread-pace", func(s *Shop) *float64 { return s.Pace }, 0.1, 60, "min per m²", false},
}

// Arrival, prices and months.
const (
	wettest  = 30.0 // % MC, nominal fibre saturation: beyond it stock is green
	dearest  = 1e7
	lastName = 12 // months
)

// Faults lists what is wrong with a shop that is to make the board. Pointers are into
// the shop: "/month", "/arrival/M", "/prices/M", "/kerf", "/air/humidity".
func (s *Shop) Faults(b *layout.Board) fault.List {
	var l fault.List
	if s.Air != nil {
		l = append(l, s.Air.Faults("/air")...) // as the file's own glue_up
	}
	if s.Month < 0 || s.Month > lastName {
		l = append(l, fault.Range("/month", "month", float64(s.Month), 1, lastName, "")...)
	}
	if s.Month != 0 && s.Air != nil {
		l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/month", Detail: "the air of the shop is given, and a month tells it too",
			Found: fmt.Sprint(s.Month), Fix: "leave one of them out"})
	}
	if s.Workshop != "" {
		_, err := moisture.FindClimate(s.Workshop)
		l = append(l, fault.Of(fault.At(err, "/workshop"))...)
		if s.Month == 0 {
			l = append(l, fault.Fault{Rule: fault.MissingKey, Pointer: "/month", Detail: "a climate of the shop needs the month of the work", Found: "nothing", Allowed: "1 to 12"})
		}
	}
	for _, v := range bounds {
		at := v.of(s)
		if at == nil {
			continue
		}
		if v.openBottom && *at <= v.low {
			l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/" + v.name, Detail: v.name + " is outside its range",
				Found: fmt.Sprintf("%g %s", *at, v.unit), Allowed: fmt.Sprintf("above %g, up to %g %s", v.low, v.high, v.unit), Fix: "a saw without a kerf has no width"})
			continue
		}
		l = append(l, fault.Range("/"+v.name, v.name, *at, v.low, v.high, v.unit)...)
	}
	l = append(l, byStock(b, "arrival", s.Arrival, 0, wettest, "% MC", true)...)
	return append(l, byStock(b, "prices", s.Prices, 0, dearest, "", false)...)
}

// byStock holds values told by key of the file's stock to those keys and a range.
func byStock(b *layout.Board, name string, of map[string]float64, low, high float64, unit string, rest bool) fault.List {
	var l fault.List
	keys := slices.Sorted(maps.Keys(b.Stock))
	for _, key := range slices.Sorted(maps.Keys(of)) {
		at := "/" + name + "/" + fault.Key(key)
		if _, known := b.Stock[key]; !known && !(rest && key == "") {
			l = append(l, fault.Fault{Rule: fault.UnknownName, Pointer: at, Detail: "the board has no stock of this key", Found: fault.Short(key),
				Allowed: strings.Join(keys, ", "), Nearest: fault.Nearest(key, keys, 2)})
			continue
		}
		l = append(l, fault.Range(at, strings.TrimSuffix(name, "s"), of[key], low, high, unit)...)
	}
	return l
}

// units are those that the plan's texts tell lengths in, "mm" or "in".
func (s *Shop) units(b *layout.Board) string {
	if s.Inches {
		return "in"
	}
	return b.Units
}

// given is what the shop says of itself, by key of data/shop.csv.
func (s *Shop) given() map[string]float64 {
	out := map[string]float64{}
	for _, v := range bounds {
		if at := v.of(s); at != nil {
			out[v.key] = *at
		}
	}
	return out
}

// Room is the air a section is worked out for, and where it comes from.
type Room struct {
	Humidity    float64 `json:"humidity"`    // %
	Temperature float64 `json:"temperature"` // °C
	Balance     float64 `json:"balance"`     // % MC of wood settled in it
	From        string  `json:"from"`
}

// air is the air of the shop. The shop and the home have been found good.
func (s *Shop) air(b *layout.Board, home moisture.Climate) (Room, error) {
	r, from := b.GlueUp, "the board file's glue_up"
	switch {
	case s.Air != nil:
		r, from = *s.Air, "told by the shop"
	case s.Month != 0:
		of := home
		if s.Workshop != "" {
			var err error
			if of, err = moisture.FindClimate(s.Workshop); err != nil {
				return Room{}, err
			}
		}
		r, from = of.Months[s.Month-1], fmt.Sprintf("%s, month %d", of.Name, s.Month)
	}
	mc, err := r.EMC()
	return Room{r.Humidity, r.Temperature, mc, from}, err
}
