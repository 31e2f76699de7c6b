package moisture

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Climate is a kind of home in a kind of place: twelve months of indoor air,
// worked out from the months outdoors.
type Climate struct {
	Key, Name, Text string
	Place           string      // where the outdoor months were measured; "" for a climate without seasons
	Outdoor         Year        // monthly means outdoors
	Months          Year        // monthly means indoors
	Sources         []string    // keys of package source
	Status          wood.Status // the weakest of what went in

	// How the house turns outdoor into indoor air.
	HeatTo, CoolTo           *float64 // °C; nil where it does not heat or cool
	Surplus                  float64  // Pa of vapour that people add when it is 0 °C or colder outdoors, falling to none at 20 °C
	MinHumidity, MaxHumidity float64  // % RH that humidifier and air conditioning hold
}

// Outdoor temperatures between which the moisture surplus of a house falls from
// its full value to nothing, °C: closed windows to open ones (the shape of the
// humidity classes of ISO 13788, from memory).
const (
	closedWindows = 0.0
	openWindows   = 20.0
)

// Indoors returns the air in a house with the climate's habits when the air
// outdoors is as given: the same absolute humidity, plus what people add,
// brought to room temperature, and held within what the house can hold.
func (c Climate) Indoors(out Room) Room {
	t := out.Temperature
	if c.HeatTo != nil {
		t = max(t, *c.HeatTo)
	}
	if c.CoolTo != nil {
		t = min(t, *c.CoolTo)
	}
	share := min(1, max(0, (openWindows-out.Temperature)/(openWindows-closedWindows)))
	rh := 100 * (out.VapourPressure() + c.Surplus*share) / SaturationPressure(t)
	return Room{Humidity: min(c.MaxHumidity, max(c.MinHumidity, rh)), Temperature: t}
}

// Extremes returns the indexes of the months (0 is January) in whose air wood
// settles driest and dampest, and those moistures [% MC].
func (c Climate) Extremes() (driest, dampest int, low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i, r := range c.Months {
		m := equilibrium(r.Temperature, r.Humidity)
		if m < low {
			driest, low = i, m
		}
		if m > high {
			dampest, high = i, m
		}
	}
	return driest, dampest, low, high
}

// steadyAir is the climate "none".
var steadyAir = Room{Humidity: 45, Temperature: 20}

var climates = sync.OnceValue(func() []Climate {
	outdoor := map[string]*Year{}
	provenance := map[string]data.Row{}
	for _, r := range data.Table("climates_outdoor.csv") {
		place := r.Get("place")
		if outdoor[place] == nil {
			outdoor[place] = &Year{}
			provenance[place] = r
		}
		outdoor[place][int(r.Number("month"))-1] = Room{Humidity: r.Number("humidity_pct"), Temperature: r.Number("temperature_c")}
	}
	var list []Climate
	for _, r := range data.Table("climates.csv") {
		c := Climate{Key: r.Get("key"), Name: r.Get("name"), Text: r.Get("text"), Status: wood.Status(r.Get("status")),
			HeatTo: optional(r, "heat_to_c"), CoolTo: optional(r, "cool_to_c")}
		if place := r.Get("place"); place == "" {
			for i := range c.Months {
				c.Months[i], c.Outdoor[i] = steadyAir, steadyAir
			}
			c.MaxHumidity = MaxHumidity
		} else {
			c.Place, c.Outdoor = provenance[place].Get("name"), *outdoor[place]
			c.Sources = []string{provenance[place].Get("source"), r.Get("source")}
			c.Surplus, c.MinHumidity, c.MaxHumidity = r.Number("surplus_pa"), r.Number("min_humidity_pct"), r.Number("max_humidity_pct")
			for i, out := range c.Outdoor {
				c.Months[i] = c.Indoors(out)
			}
		}
		list = append(list, c)
	}
	return list
})

// optional reads a numeric cell that may be blank; a blank is nil.
func optional(r data.Row, column string) *float64 {
	if r.Get(column) == "" {
		return nil
	}
	v := r.Number(column)
	return &v
}

// Climates returns every climate in the order of data/climates.csv.
func Climates() []Climate { return slices.Clone(climates()) }

// FindClimate looks a climate up by its key. The error is a fault of rule
// unknown-name with the nearest keys; the caller sets its pointer.
func FindClimate(key string) (Climate, error) {
	return fault.Lookup("climate", key, climates(), func(c *Climate) string { return c.Key })
}

// FromMonths makes a climate of the user's own twelve months, January first.
// Errors: a fault.List (number of months, air out of range), pointers below the one given.
func FromMonths(months []Room, pointer string) (Climate, error) {
	var l fault.List
	if len(months) != 12 {
		return Climate{}, append(l, fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: "a climate has twelve months",
			Found: strconv.Itoa(len(months)), Allowed: "12, January first"})
	}
	c := Climate{Key: "own-months", Name: "Your own twelve months", MaxHumidity: MaxHumidity}
	for i, r := range months {
		l = append(l, r.Faults(fmt.Sprintf("%s/%d", pointer, i))...)
		c.Months[i], c.Outdoor[i] = r, r
	}
	if len(l) > 0 {
		return Climate{}, l
	}
	return c, nil
}
