package moisture

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
)

// Exposure is a kind of event in a board's life, under a plain trade word.
type Exposure struct {
	Key, Name, Text string
	Use             Use
	// Never is why no board should meet it, and no answer can promise that it
	// lives; empty where one can.
	Never string
	// FromGlueUp: the event begins with the pieces as glued. Otherwise the
	// board has settled in the home's air of the event's month; see StartMoisture.
	FromGlueUp bool
	Patch      bool // it may act on a part of its face alone
	Values     []ExposureValue
}

// Use says what an exposure is to a board that is sold, used and looked after as
// boards are.
type Use string

// The uses.
const (
	Ordinary Use = "ordinary" // meets every board: the word answers it
	Mishap   Use = "mishap"   // what a board may not survive
	Asked    Use = "asked"    // followed only when asked for by name
)

// ExposureValue is one number or word an event can be given.
type ExposureValue struct {
	Name, Text  string
	Word        bool
	Whole       bool    // numbers: whole ones only
	Default     float64 // of numbers; NaN where DefaultOf says where it is taken from
	DefaultOf   string  // "glue_up": the air the board was glued in
	Lo, Hi      float64 // allowed numbers
	Unit        string
	DefaultWord string   // of words
	Allowed     []string // words
}

// Event is an exposure as a user asks for it: missing values take their defaults.
type Event struct {
	Name   string
	Values map[string]float64
	Words  map[string]string
	Patch  *Patch // of its face; nil for all of it
	aside  bool
	id     string
}

// ID is what the event is called among others: its name, or, where several of one
// name are followed, what Numbered made of it.
func (ev Event) ID() string {
	if ev.id == "" {
		return ev.Name
	}
	return ev.id
}

// Numbered gives the second and further events of one name an ID of their own:
// "sink-soak", "sink-soak-2".
func Numbered(events []Event) []Event {
	out := slices.Clone(events)
	seen := map[string]int{}
	for i := range out {
		n := out[i].Name
		if seen[n]++; seen[n] > 1 {
			out[i].id = fmt.Sprintf("%s-%d", n, seen[n])
		}
	}
	return out
}

// Aside says that the event came as one of the mishaps of a set: it is told beside
// the verdict, not in it. A mishap that is asked for by its own name counts.
func (ev Event) Aside() bool { return ev.aside }

// MarshalJSON writes an event as a board file tells it: its name, then its
// values and words in the order of their names.
func (ev Event) MarshalJSON() ([]byte, error) {
	terms := make(map[string]any, len(ev.Values)+len(ev.Words)+1)
	if ev.Patch != nil {
		terms["patch"] = ev.Patch
	}
	for k, v := range ev.Values {
		terms[k] = v
	}
	for k, v := range ev.Words {
		terms[k] = v
	}
	name, err := json.Marshal(ev.Name)
	if err != nil {
		return nil, err
	}
	rest, err := json.Marshal(terms)
	if err != nil {
		return nil, err
	}
	out := append([]byte(`{"name":`), name...)
	if len(terms) > 0 {
		out = append(out, ',')
	}
	return append(out, rest[1:]...), nil
}

// Equal tells that two events are one.
func (ev Event) Equal(o Event) bool {
	return ev.Name == o.Name && maps.Equal(ev.Values, o.Values) && maps.Equal(ev.Words, o.Words) &&
		(ev.Patch == nil) == (o.Patch == nil) && (ev.Patch == nil || *ev.Patch == *o.Patch)
}

// Setting is what an event happens in.
type Setting struct {
	Mass float64 // kg, of the board; 0 where nobody has to carry it
	Home Climate // where the board lives
	Shop Room    // the air it was glued in
	Flat bool    // at home it lies on a tight top, which covers its bottom face
}

// ofGlueUp in the table of values stands for the air of Setting.Shop.
const ofGlueUp = "glue_up"

// anyClimate in the table of values stands for every key of Climates.
const anyClimate = "(climate)"

var exposures = sync.OnceValue(func() []Exposure {
	var list []Exposure
	values := data.Table("exposures_values.csv")
	for _, r := range data.Table("exposures.csv") {
		e := Exposure{Key: r.Get("key"), Name: r.Get("name"), Text: r.Get("text"), Use: Use(r.Get("use")), Never: r.Get("never"), FromGlueUp: r.Get("from_glue_up") == "yes", Patch: r.Get("patch") == "yes"}
		for _, v := range values {
			if v.Get("exposure") != e.Key {
				continue
			}
			one := ExposureValue{Name: v.Get("value"), Text: v.Get("text"), Unit: v.Get("unit"), Word: v.Get("kind") == "word", Whole: v.Get("kind") == "whole"}
			if one.Word {
				one.DefaultWord = v.Get("default")
				if one.Allowed = strings.Fields(v.Get("allowed")); v.Get("allowed") == anyClimate {
					one.Allowed = nil
					for _, c := range climates() {
						one.Allowed = append(one.Allowed, c.Key)
					}
				}
			} else {
				one.Lo, one.Hi = v.Number("lo"), v.Number("hi")
				if one.Default = math.NaN(); v.Get("default") == ofGlueUp {
					one.DefaultOf = ofGlueUp
				} else {
					one.Default = v.Number("default")
				}
			}
			e.Values = append(e.Values, one)
		}
		list = append(list, e)
	}
	return list
})

// Exposures returns every kind of event in the order of data/exposures.csv.
func Exposures() []Exposure { return slices.Clone(exposures()) }

// FindExposure looks a kind of event up by its key. The error is a fault of rule
// unknown-name with the nearest keys and no place.
func FindExposure(key string) (Exposure, error) {
	return fault.Lookup("exposure", key, exposures(), func(e *Exposure) string { return e.Key })
}

// filled is an event with every value present and checked.
type filled struct {
	Exposure
	numbers map[string]float64
	words   map[string]string
	given   map[string]float64 // the numbers that are not defaults
	said    map[string]string  // and the words
}

// fill checks an event against its kind and puts in the defaults. Pointers are
// "/name" and "/" followed by the name of a value.
func (ev Event) fill() (filled, fault.List) {
	e, err := FindExposure(ev.Name)
	if err != nil {
		return filled{}, fault.Of(fault.At(err, "/name"))
	}
	var l fault.List
	if ev.Patch != nil && !e.Patch {
		var wet []string
		for _, o := range exposures() {
			if o.Patch {
				wet = append(wet, o.Key)
			}
		}
		l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/patch", Detail: "this exposure takes no patch of a face", Found: e.Key, Allowed: "in " + strings.Join(wet, ", ")})
	}
	known := map[string]ExposureValue{}
	var names []string
	out := filled{Exposure: e, numbers: map[string]float64{}, words: map[string]string{}, given: ev.Values, said: ev.Words}
	for _, v := range e.Values {
		known[v.Name], names = v, append(names, v.Name)
		if v.Word {
			out.words[v.Name] = v.DefaultWord
		} else {
			out.numbers[v.Name] = v.Default
		}
	}
	for _, name := range slices.Sorted(maps.Keys(ev.Values)) {
		v, ok := known[name]
		x := ev.Values[name]
		switch {
		case !ok:
			l = append(l, strange(name, names))
		case v.Word:
			l = append(l, fault.Fault{Rule: fault.WrongType, Pointer: "/" + name, Detail: "a word is wanted, not a number", Allowed: strings.Join(v.Allowed, ", ")})
		case v.Whole && x != math.Trunc(x) && x >= v.Lo && x <= v.Hi:
			l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/" + name, Detail: "not a whole number",
				Found: fmt.Sprint(x), Allowed: fmt.Sprintf("whole, %g to %g", v.Lo, v.Hi)})
		default:
			l = append(l, fault.Range("/"+name, v.Text, x, v.Lo, v.Hi, v.Unit)...)
			out.numbers[name] = x
		}
	}
	for _, name := range slices.Sorted(maps.Keys(ev.Words)) {
		v, ok := known[name]
		switch {
		case !ok:
			l = append(l, strange(name, names))
		case !v.Word:
			l = append(l, fault.Fault{Rule: fault.WrongType, Pointer: "/" + name, Detail: "a number is wanted, not a word", Found: ev.Words[name],
				Allowed: fmt.Sprintf("%g to %g %s", v.Lo, v.Hi, v.Unit)})
		case !slices.Contains(v.Allowed, ev.Words[name]):
			l = append(l, fault.Fault{Rule: fault.NotOneOf, Pointer: "/" + name, Detail: "not a known word", Found: ev.Words[name],
				Allowed: strings.Join(v.Allowed, ", "), Nearest: fault.Nearest(ev.Words[name], v.Allowed, 3)})
		default:
			out.words[name] = ev.Words[name]
		}
	}
	if len(l) == 0 {
		l = out.contradicts()
	}
	return out, l
}

// contradicts lists what an event says against itself: of ends that are washed in a use
// without washing.
func (e filled) contradicts() fault.List {
	if minutes, washes := e.numbers["wash_minutes"]; washes && minutes == 0 {
		if ends, told := e.said["ends"]; told {
			return fault.List{{Rule: fault.NotAllowed, Pointer: "/ends", Detail: "nothing is washed, wash_minutes being 0", Found: ends, Allowed: "beside wash_minutes above 0", Fix: "leave ends out"}}
		}
	}
	return nil
}

func strange(name string, known []string) fault.Fault {
	return fault.Fault{Rule: fault.UnknownKey, Pointer: "/" + fault.Key(fault.Short(name)), Detail: "this exposure has no such value", Found: fault.Short(name),
		Allowed: strings.Join(known, ", "), Nearest: fault.Nearest(name, known, 2)}
}

// Check lists what is wrong with an event: unknown name or value, number out of
// range, word not allowed. Pointers are relative to the event.
func (ev Event) Check() fault.List {
	_, l := ev.fill()
	return l
}

// Names of events that stand for several.
const (
	StandardSet = "standard" // ordinary use, and the mishaps beside it
	OrdinarySet = "ordinary" // what a board meets without anybody's fault
	MishapSet   = "mishaps"  // what may ruin it
)

// sets says which uses the name of a set stands for.
var sets = map[string][]Use{StandardSet: {Ordinary, Mishap}, OrdinarySet: {Ordinary}, MishapSet: {Mishap}}

// IsOrdinary tells whether an event is, or stands for, what a board meets without
// anybody's fault, or a whole set.
func (ev Event) IsOrdinary() bool {
	_, set := sets[ev.Name]
	return set || slices.ContainsFunc(Ordinary.Of(), func(o Event) bool { return o.Name == ev.Name })
}

// Of lists the events of a use, with their defaults, in the order of the table.
func (u Use) Of() []Event {
	var out []Event
	for _, e := range exposures() {
		if e.Use == u {
			out = append(out, Event{Name: e.Key, aside: u == Mishap})
		}
	}
	return out
}

// Several gives the events that an event stands for: itself, or those of a set,
// which takes no values. The list is as Check gives it.
func (ev Event) Several() ([]Event, fault.List) {
	uses, ok := sets[ev.Name]
	if _, err := FindExposure(ev.Name); !ok && err != nil {
		var names []string
		for _, e := range exposures() {
			names = append(names, e.Key)
		}
		return []Event{ev}, fault.Unknown("exposure", ev.Name, append(names, StandardSet, OrdinarySet, MishapSet)).At("/name")
	}
	if !ok {
		return []Event{ev}, ev.Check()
	}
	var events []Event
	var names []string
	for _, u := range uses {
		for _, one := range u.Of() {
			events, names = append(events, one), append(names, one.Name)
		}
	}
	var l fault.List
	if ev.Patch != nil {
		l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/patch", Detail: "the set “" + ev.Name + "” takes no patch", Found: "a patch", Allowed: "the name alone",
			Fix: "ask for its exposures one by one: " + strings.Join(names, ", ")})
	}
	for _, name := range append(slices.Sorted(maps.Keys(ev.Values)), slices.Sorted(maps.Keys(ev.Words))...) {
		l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/" + fault.Key(fault.Short(name)), Detail: "the set “" + ev.Name + "” takes no values", Found: fault.Short(name),
			Allowed: "the name alone", Fix: "ask for its exposures one by one: " + strings.Join(names, ", ")})
	}
	return events, l
}
