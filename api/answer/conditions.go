package answer

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// BoardQuery says what to check a board against, beyond what its file says.
// Faults carry "/" and the JSON name as pointer.
type BoardQuery struct {
	Home      string    `json:"home" validate:"max=60"`               // named climate; "" is the board's own
	Air       []string  `json:"air" validate:"max=12"`                // further end states: see ParseAir
	Moistures []float64 `json:"mc" validate:"max=12"`                 // further end states, % MC of every piece
	Shifts    []float64 `json:"shift" validate:"max=12"`              // further end states, change of % MC from glue-up
	Exposures []string  `json:"exposures" validate:"max=20"`          // names, "standard", or "none" alone; empty takes those of the file
	Series    int       `json:"series" validate:"gte=0,lte=400"`      // most points of each time series
	Samples   int       `json:"samples" validate:"gte=0,lte=1000000"` // Monte Carlo samples of the chance
	Seed      int       `json:"seed" validate:"gte=0"`                // of the samples
	Refine    int       `json:"refine" validate:"gte=0,lte=2"`        // halvings of every element
	NoCracks  bool      `json:"-"`                                    // leave the energy check out
	NoChance  bool      `json:"-"`                                    // leave the chance out

	Progress func(done, total int, what string) `json:"-"` // may be nil
}

// Limits of air and of end states given as moisture, % and °C, % MC. The limits
// of air are those of the equilibrium curve (Wood Handbook Eq. 4-5).
const (
	mostHumidity    = 98.0
	mostTemperature = 98.9
	mostMoisture    = 30.0
)

// check lists the faults of the query by itself.
func (q *BoardQuery) check() fault.List {
	faults := validate(q)
	if q.Home != "" {
		if _, err := moisture.FindClimate(q.Home); err != nil {
			faults = append(faults, single(err, "/home"))
		}
	}
	for _, text := range q.Air {
		if _, err := ParseAir(text); err != nil {
			faults = append(faults, single(err, "/air"))
		}
	}
	for _, v := range q.Moistures {
		faults = limited(faults, "/mc", v, 0, mostMoisture)
	}
	for _, v := range q.Shifts {
		faults = limited(faults, "/shift", v, -mostMoisture, mostMoisture)
	}
	for _, name := range q.Exposures {
		switch {
		case name == check.NoExposures && len(q.Exposures) > 1:
			faults = append(faults, fault.Fault{Rule: fault.NotAllowed, Pointer: "/exposures", Found: name,
				Detail: "none cannot stand beside other exposures", Allowed: "none by itself, or names"})
		case name == check.NoExposures:
		default:
			_, unknown := moisture.Event{Name: name}.Several()
			for _, f := range unknown {
				f.Pointer = "/exposures"
				faults = append(faults, f)
			}
		}
	}
	return faults
}

// checkAgainst lists what cannot be asked of this board: end states in which
// wood would hold less than no water, and elements finer than the memory allows.
func (q *BoardQuery) checkAgainst(b *layout.Board, m *Memory) fault.List {
	faults := m.tooFine(b, q.Refine)
	least := math.Inf(1)
	for i := range b.Pieces {
		least = math.Min(least, b.Pieces[i].Moisture)
	}
	for _, v := range q.Shifts {
		if v < -least {
			faults = append(faults, fault.Fault{Rule: fault.OutOfRange, Pointer: "/shift", Detail: "the driest piece would hold less than no water",
				Found: number(v), Allowed: fmt.Sprintf("%s to %s", number(-least), number(mostMoisture))})
		}
	}
	return faults
}

// conditions turns a query without faults into conditions of package check.
func (q *BoardQuery) conditions(m *Memory) check.Conditions {
	var c check.Conditions
	if m != nil {
		c = m.start
	}
	c.Home, c.Moistures, c.Shifts = q.Home, q.Moistures, q.Shifts
	c.Exposures = slices.Clone(q.Exposures)
	c.Series, c.Samples, c.Seed, c.Refine = q.Series, q.Samples, uint64(q.Seed), q.Refine
	c.NoCracks, c.NoChance, c.Progress = q.NoCracks, q.NoChance, q.Progress
	for _, text := range q.Air {
		room, _ := ParseAir(text) // check has refused the others
		c.Air = append(c.Air, room)
	}
	return c
}

// ParseAir reads a state of air: "45@21" is 45 % relative humidity at 21 °C, and
// "cellar=75@14" is another one under a name of its own. The error is a
// fault.Fault without a pointer.
func ParseAir(text string) (check.NamedRoom, error) {
	const form = "45@21 (% humidity @ °C) or name=45@21"
	name, body, named := strings.Cut(text, "=")
	if !named {
		body = text
	}
	name = strings.TrimSpace(name)
	humidity, temperature, found := strings.Cut(body, "@")
	h, err1 := strconv.ParseFloat(strings.TrimSpace(humidity), 64)
	t, err2 := strconv.ParseFloat(strings.TrimSpace(temperature), 64)
	if !found || err1 != nil || err2 != nil || name == "" || len(name) > 60 {
		return check.NamedRoom{}, fault.Fault{Rule: fault.WrongType, Detail: "not a state of air", Found: cut(text), Allowed: form}
	}
	faults := limited(nil, "", h, 0, mostHumidity)
	faults = limited(faults, "", t, moisture.MinTemperature, mostTemperature)
	if len(faults) > 0 {
		f := faults[0]
		f.Found = cut(text)
		f.Allowed = fmt.Sprintf("humidity 0 to %g %%, temperature %g to %g °C", mostHumidity, moisture.MinTemperature, mostTemperature)
		return check.NamedRoom{}, f
	}
	if !named {
		name = "air-" + strings.TrimSpace(humidity) + "-" + strings.TrimSpace(temperature)
	}
	return check.NamedRoom{Name: name, Room: moisture.Room{Humidity: h, Temperature: t}}, nil
}

// limited adds a fault when a number is outside its limits or not finite.
func limited(faults fault.List, pointer string, v, lo, hi float64) fault.List {
	if v >= lo && v <= hi {
		return faults
	}
	return append(faults, fault.Fault{Rule: fault.OutOfRange, Pointer: pointer, Detail: "the number is outside its range",
		Found: number(v), Allowed: number(lo) + " to " + number(hi)})
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// cut keeps what a fault repeats of the input short.
func cut(text string) string {
	const most = 80
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "…"
	}
	return text
}
