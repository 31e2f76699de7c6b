package api

import (
	"cmp"
	"maps"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
)

// query takes flat parameters from a URL and collects what is wrong with them.
// A fault's pointer is "/" and the name of the parameter.
type query struct {
	values url.Values
	faults fault.List
	kind   string        // media type that was chosen, where there are several
	file   string        // name of the file an answer becomes, "" for none
	tagged bool          // equal questions have equal answers
	drawn  bool          // an edit may name the board that is asked about
	quick  bool          // what a drawing asks at every edit, unless the board is large
	fields answer.Fields // keys of the report that are wanted; none for all
}

// mostFaults is how many faults of a query are told; as many as of a body.
const mostFaults = 100

// repeats behind the name of a parameter says that it may come several times.
const repeats = "..."

// readQuery refuses parameters that the route does not know or that come twice
// without being marked as repeating.
func readQuery(c *gin.Context, names ...string) *query {
	values, err := url.ParseQuery(c.Request.URL.RawQuery)
	if err != nil {
		return &query{values: url.Values{}, faults: fault.List{{Rule: fault.Syntax, Detail: "the query cannot be read", Allowed: "name=value, joined by &, percent-encoded"}}}
	}
	return readValues(values, names...)
}

// readValues is readQuery for parameters that came otherwise.
func readValues(values url.Values, names ...string) *query {
	q := &query{values: values}
	known := make([]string, len(names))
	for i, name := range names {
		known[i] = strings.TrimSuffix(name, repeats)
	}
	for _, name := range slices.Sorted(maps.Keys(q.values)) {
		vs := q.values[name]
		if len(q.faults) >= mostFaults {
			q.faults = append(q.faults, fault.Fault{Rule: fault.TooLarge, Detail: "more than " + itoa(mostFaults) + " faults; the rest is not listed", Fix: "mend these first"})
			break
		}
		switch {
		case !slices.Contains(known, name):
			q.add(fault.UnknownKey, name, "there is no such parameter here", name, strings.Join(known, ", "))
			q.faults[len(q.faults)-1].Nearest = fault.Nearest(name, known, 1)
		case len(vs) > 1 && !slices.Contains(names, name+repeats):
			q.add(fault.RepeatedKey, name, "the parameter stands there more than once", strings.Join(vs, ", "), "one value")
		}
	}
	return q
}

func (q *query) add(rule fault.Rule, name, detail, found, allowed string) {
	const most = 80
	if len(found) > most {
		found = strings.ToValidUTF8(found[:most], "") + "…"
	}
	q.faults = append(q.faults, fault.Fault{Rule: rule, Pointer: "/" + name, Detail: detail, Found: found, Allowed: allowed})
}

// text gives a parameter, "" when it is absent; one that is there but empty is a fault.
func (q *query) text(name string) string {
	vs, ok := q.values[name]
	if ok && vs[0] == "" {
		q.add(fault.WrongLength, name, "the parameter is empty", "", "a value, or leave it out")
	}
	if !ok {
		return ""
	}
	return vs[0]
}

// number gives a finite number, nil when the parameter is absent or faulty.
func (q *query) number(name string) *float64 {
	text := q.text(name)
	if text == "" {
		return nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		q.add(fault.WrongType, name, "not a number", text, "a decimal number")
		return nil
	}
	return &v
}

// whole gives a whole number, def when the parameter is absent or faulty.
func (q *query) whole(name string, def int) int {
	text := q.text(name)
	if text == "" {
		return def
	}
	v, err := strconv.Atoi(text)
	if err != nil {
		q.add(fault.WrongType, name, "not a whole number", text, "a whole number")
		return def
	}
	return v
}

// flag gives true or false, def when the parameter is absent or faulty.
func (q *query) flag(name string, def bool) bool {
	switch text := q.text(name); text {
	case "":
	case "true":
		return true
	case "false":
		return false
	default:
		q.add(fault.NotOneOf, name, "not a known word", text, "true, false")
	}
	return def
}

// word gives one of some words, the first when the parameter is absent or faulty.
func (q *query) word(name string, words ...string) string {
	text := q.text(name)
	if text == "" || slices.Contains(words, text) {
		return cmp.Or(text, words[0])
	}
	q.add(fault.NotOneOf, name, "not a known word", text, strings.Join(words, ", "))
	return words[0]
}

// texts gives every value of a repeating parameter; an empty one is a fault.
func (q *query) texts(name string) []string {
	for _, text := range q.values[name] {
		if text == "" {
			q.add(fault.WrongLength, name, "the parameter is empty", "", "a value, or leave it out")
			return nil
		}
	}
	return q.values[name]
}

// numbers gives every value of a repeating parameter; one that is not a finite
// number is a fault.
func (q *query) numbers(name string) []float64 {
	var out []float64
	for _, text := range q.texts(name) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			q.add(fault.WrongType, name, "not a number", text, "a decimal number")
			continue
		}
		out = append(out, v)
	}
	return out
}
