package answer

import (
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Exposures is the list of events a board may meet.
type Exposures struct {
	Exposures []Exposure `json:"exposures"`
	Note      string     `json:"note"`
}

// Exposure is one kind of event with the values it can be given.
type Exposure struct {
	Key        string          `json:"key"`
	Name       string          `json:"name"`
	Text       string          `json:"text"`
	Use        string          `json:"use"`             // "ordinary", "mishap" or "asked"
	FromGlueUp bool            `json:"from_glue_up"`    // begins with the pieces as glued; else with the board settled at home
	Patch      bool            `json:"patch"`           // it may act on a patch of its face alone
	Never      string          `json:"never,omitempty"` // why no board should meet it
	Values     []ExposureValue `json:"values"`
}

// ExposureValue is a number or a word of an event: what it is when nothing is
// said, and what may be said.
type ExposureValue struct {
	Name        string   `json:"name"`
	Text        string   `json:"text"`
	Kind        string   `json:"kind"` // "number", "whole" or "word"
	Default     *float64 `json:"default,omitempty"`
	DefaultOf   string   `json:"default_of,omitempty"` // "glue_up": that of the board file, instead of a number
	Lo          *float64 `json:"lo,omitempty"`
	Hi          *float64 `json:"hi,omitempty"`
	Unit        string   `json:"unit,omitempty"`
	DefaultWord string   `json:"default_word,omitempty"`
	Allowed     []string `json:"allowed,omitempty"`
}

// ListExposures lists the kinds of events.
func ListExposures() Exposures {
	a := Exposures{Exposures: []Exposure{},
		Note: "a check without exposures of its own takes the standard set: ordinary use, and the mishaps beside the verdict; lengths of time and air are stated estimates"}
	for _, e := range moisture.Exposures() {
		one := Exposure{Key: e.Key, Name: e.Name, Text: e.Text, Use: string(e.Use), FromGlueUp: e.FromGlueUp, Patch: e.Patch, Never: e.Never, Values: []ExposureValue{}}
		for _, v := range e.Values {
			value := ExposureValue{Name: v.Name, Text: v.Text, Unit: v.Unit, Kind: "number"}
			switch {
			case v.Word:
				value.Kind, value.DefaultWord, value.Allowed = "word", v.DefaultWord, v.Allowed
			case v.Whole:
				value.Kind = "whole"
				fallthrough
			default:
				value.DefaultOf, value.Lo, value.Hi = v.DefaultOf, &v.Lo, &v.Hi
				if v.DefaultOf == "" {
					value.Default = &v.Default
				}
			}
			one.Values = append(one.Values, value)
		}
		a.Exposures = append(a.Exposures, one)
	}
	return a
}
