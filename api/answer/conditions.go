package answer

import (
	"fmt"
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
	Home      string    `json:"home" validate:"max=60"`          // named climate; "" is the board's own
	Air       []string  `json:"air" validate:"max=12"`           // further end states: see ParseAir
	Moistures []float64 `json:"mc" validate:"max=12"`            // further end states, % MC of every piece
	Shifts    []float64 `json:"shift" validate:"max=12"`         // further end states, change of % MC from glue-up
	Exposures []string  `json:"exposures" validate:"max=20"`     // names, "standard", or "none" alone; empty takes those of the file
	Series    int       `json:"series" validate:"gte=0,lte=400"` // most points of each time series
	Seed      int       `json:"seed" validate:"gte=0"`           // of a search
	Refine    int       `json:"refine" validate:"gte=0,lte=2"`   // halvings of every element
	NoCracks  bool      `json:"-"`                               // leave the list of cracks out
	NoChance  bool      `json:"-"`                               // leave the chance out
	ByStress  bool      `json:"-"`                               // judge by stress alone, most often an upper bound
	Only      Fields    `json:"-"`                               // keys of the answer that are wanted; none for all
	Explain   string    `json:"explain" validate:"max=200"`      // what is derived, see check.Conditions; "" for none

	JointsAbove float64 `json:"joints_above" validate:"gte=0,lte=1000"` // leave out the joints of a lower utilisation

	Digits *int `json:"digits" validate:"omitempty,gte=3,lte=5"` // significant ones of the answer; nil is ReportDigits

	Progress func(done, total int, what string) `json:"-"` // may be nil
}

// check lists the faults of the query by itself.
func (q *BoardQuery) check() fault.List {
	faults := validate(q)
	if q.Home != "" {
		_, err := moisture.FindClimate(q.Home)
		faults = append(faults, place(err, "/home")...)
	}
	for _, text := range q.Air {
		_, err := ParseAir(text)
		faults = append(faults, place(err, "/air")...)
	}
	for _, name := range q.Exposures {
		if name == noExposures && len(q.Exposures) > 1 {
			faults = append(faults, fault.Fault{Rule: fault.NotAllowed, Pointer: "/exposures", Found: name,
				Detail: "none cannot stand beside other exposures", Allowed: "none by itself, or names"})
		}
	}
	c := q.conditions(nil)
	c.Refine, c.Series = 0, 0 // their tags have bounds of the service's own
	_, more := apart(c.Check(&layout.Board{}))
	return append(faults, more...)
}

// noExposures is the word of a query that asks for no exposures.
const noExposures = "none"

// checkAgainst lists what cannot be asked of this board: exposures of its own file
// that its home cannot bring, and of the query end states in which wood would hold
// less than no water.
func (q *BoardQuery) checkAgainst(b *layout.Board) error {
	c := q.conditions(nil)
	ofFile, ofQuery := apart(c.Check(b))
	if len(ofFile) > 0 {
		return ofFile
	}
	if len(ofQuery) > 0 {
		return Parameters{ofQuery}
	}
	return nil
}

// parameterOf is the query parameter that stands behind a field of the conditions.
var parameterOf = map[string]string{"climate": "home", "air": "air", "moistures": "mc", "shifts": "shift", "events": "exposures",
	"refine": "refine", "series": "series", "explain": "explain"}

// apart tells faults of the board file from those of the conditions, which get
// the places of query parameters.
func apart(l fault.List) (ofFile, ofQuery fault.List) {
	for _, f := range l {
		field, _, _ := strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
		if p, ok := parameterOf[field]; ok {
			f.Pointer = "/" + p
			ofQuery = append(ofQuery, f)
		} else {
			ofFile = append(ofFile, f)
		}
	}
	return ofFile, ofQuery
}

// place gives the faults of an error the place of a parameter.
func place(err error, pointer string) fault.List {
	l := fault.Of(err)
	for i := range l {
		l[i].Pointer = pointer
	}
	return l
}

// conditions turns a query without faults into conditions of package check.
func (q *BoardQuery) conditions(m *Memory) check.Conditions {
	c := m.conditions()
	c.Moistures, c.Shifts = q.Moistures, q.Shifts
	if home, err := moisture.FindClimate(q.Home); err == nil { // check has refused the others
		c.Climate = &home
	}
	for _, name := range q.Exposures {
		if name == noExposures {
			c.NoHistories = len(q.Exposures) == 1
			continue
		}
		c.Events = append(c.Events, moisture.Event{Name: name})
	}
	c.Series, c.Refine = q.Series, q.Refine
	c.NoCracks, c.NoChance, c.ByStress, c.Explain, c.Progress = q.NoCracks, q.NoChance, q.ByStress, q.Explain, q.Progress
	for _, text := range q.Air {
		if room, err := ParseAir(text); err == nil { // check has refused the others
			c.Air = append(c.Air, room)
		}
	}
	return c
}

// ParseAir reads a state of air: "45@21" is 45 % relative humidity at 21 °C, and
// "cellar=75@14" is another one under a name of its own. The error is a
// fault without a pointer.
func ParseAir(text string) (moisture.NamedRoom, error) {
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
		return moisture.NamedRoom{}, fault.List{{Rule: fault.WrongType, Detail: "not a state of air", Found: fault.Short(text), Allowed: form}}
	}
	room := moisture.Room{Humidity: h, Temperature: t}
	if faults := room.Faults(""); len(faults) > 0 {
		f := faults[0]
		f.Pointer, f.Found = "", fault.Short(text)
		f.Allowed = fmt.Sprintf("humidity 0 to %g %%, temperature %g to %g °C", moisture.MaxHumidity, moisture.MinTemperature, moisture.MaxTemperature)
		return moisture.NamedRoom{}, fault.List{f}
	}
	if !named {
		name = "air-" + strings.TrimSpace(humidity) + "-" + strings.TrimSpace(temperature)
	}
	return moisture.NamedRoom{Name: name, Room: room}, nil
}
