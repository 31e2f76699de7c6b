package answer

import (
	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/source"
)

// Climates is the list of named homes.
type Climates struct {
	Climates []Climate `json:"climates"`
}

// Climate is one named home: its air indoors, January first, and the months in
// which wood settles driest and dampest.
type Climate struct {
	Key             string          `json:"key"`
	Name            string          `json:"name"`
	Text            string          `json:"text"`
	Place           string          `json:"place,omitempty"` // where the outdoor months were measured
	Months          []moisture.Room `json:"months"`
	DriestMonth     int             `json:"driest_month"`     // 1 is January
	DampestMonth    int             `json:"dampest_month"`    // 1 is January
	DriestMoisture  float64         `json:"driest_moisture"`  // % MC
	DampestMoisture float64         `json:"dampest_moisture"` // % MC
	Sources         []string        `json:"sources"`
	Status          string          `json:"status"`
}

// ListClimates lists the named homes.
func ListClimates() Climates {
	a := Climates{Climates: []Climate{}}
	for _, c := range moisture.Climates() {
		driest, dampest, low, high := c.Extremes()
		a.Climates = append(a.Climates, Climate{
			Key: c.Key, Name: c.Name, Text: c.Text, Place: c.Place, Months: c.Months[:],
			DriestMonth: driest + 1, DampestMonth: dampest + 1, DriestMoisture: low, DampestMoisture: high,
			Sources: append([]string{}, c.Sources...), Status: string(c.Status),
		})
	}
	return a
}

// Finishes is the list of finishes.
type Finishes struct {
	Finishes []Finish `json:"finishes"`
	Note     string   `json:"note"`
}

// Finish is a coat or a soak and how much of a bare specimen's uptake it keeps
// out, % after 1, 7 and 14 days at 90 % humidity.
type Finish struct {
	Key      string  `json:"key"`
	Name     string  `json:"name"`
	Coats    int     `json:"coats,omitempty"`
	Day      float64 `json:"excluded_1_day"`
	Week     float64 `json:"excluded_7_days"`
	Weeks    float64 `json:"excluded_14_days"`
	Source   string  `json:"source"`
	Citation string  `json:"citation"` // the printed work
	Status   string  `json:"status"`
	Note     string  `json:"note,omitempty"`
}

// ListFinishes lists the finishes.
func ListFinishes() Finishes {
	a := Finishes{
		Finishes: []Finish{},
		Note:     "a finish slows moisture and does not stop it; the published test was on side grain, not on end grain",
	}
	for _, f := range moisture.Finishes() {
		a.Finishes = append(a.Finishes, Finish{f.Key, f.Name, f.Coats, f.Effectiveness[0], f.Effectiveness[1], f.Effectiveness[2],
			f.Source, source.Text(f.Source), string(f.Status), f.Note})
	}
	return a
}

// Adhesives is the list of classes of glue that a board file may name.
type Adhesives struct {
	Adhesives []Adhesive `json:"adhesives"`
}

// Adhesive is one class of glue with the printed work it comes from.
type Adhesive struct {
	adhesive.Class
	Citation string `json:"citation"`
}

// ListAdhesives lists the classes of glue.
func ListAdhesives() Adhesives {
	a := Adhesives{Adhesives: []Adhesive{}}
	for _, c := range adhesive.All() {
		a.Adhesives = append(a.Adhesives, Adhesive{c, source.Text(c.Source)})
	}
	return a
}
