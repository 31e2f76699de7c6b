package strictjson

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Range is the set of numbers a place takes.
type Range struct {
	Min, Max float64
	Above    bool   // Min itself is not allowed
	Unit     string // said behind the limits, "" for plain numbers
}

// Between allows min to max, both included.
func Between(min, max float64, unit string) Range { return Range{Min: min, Max: max, Unit: unit} }

// Any allows every finite number.
var Any = Range{Min: -math.MaxFloat64, Max: math.MaxFloat64}

// Above allows more than min, up to and including max.
func Above(min, max float64, unit string) Range {
	return Range{Min: min, Max: max, Above: true, Unit: unit}
}

// Contains reports whether f lies in the range; NaN never does.
func (r Range) Contains(f float64) bool {
	return f <= r.Max && (f > r.Min || f == r.Min && !r.Above)
}

func (r Range) String() string {
	if r == Any {
		return "a finite number"
	}
	text := Decimal(r.Min) + " to " + Decimal(r.Max)
	if r.Above {
		text = "above " + Decimal(r.Min) + " and up to " + Decimal(r.Max)
	}
	if r.Unit != "" {
		text += " " + r.Unit
	}
	return text
}

// Decimal writes a number as a person would, with at most six significant digits.
func Decimal(f float64) string { return strconv.FormatFloat(f, 'g', 6, 64) }

// Number takes a finite number within r.
func (v Value) Number(r Range) (float64, bool) {
	if !v.want(Number) {
		return 0, false
	}
	f, err := strconv.ParseFloat(v.node().text, 64)
	if err != nil || math.IsInf(f, 0) || !r.Contains(f) {
		v.Fault(fault.OutOfRange, "the number is outside its range", r.String())
		return 0, false
	}
	if f == 0 {
		f = 0 // −0 is 0
	}
	return f, true
}

// Whole takes a number without a fraction, min to max.
func (v Value) Whole(min, max int) (int, bool) {
	f, ok := v.Number(Between(float64(min), float64(max), ""))
	if ok && f != math.Trunc(f) {
		v.Fault(fault.WrongType, "a whole number is needed", fmt.Sprintf("a whole number %d to %d", min, max))
		return 0, false
	}
	return int(f), ok
}

// Bool takes true or false.
func (v Value) Bool() (value, ok bool) {
	if !v.want(Bool) {
		return false, false
	}
	return v.node().text == "true", true
}

// Text takes a text of 1 to most letters; most < 0 means no bound of its own.
func (v Value) Text(most int) (string, bool) {
	if !v.want(String) {
		return "", false
	}
	s := v.node().text
	if n := utf8.RuneCountInString(s); n < 1 || most >= 0 && n > most {
		v.Fault(fault.WrongLength, fmt.Sprintf("the text has %d letters", n), fmt.Sprintf("1 to %d letters", most))
		return "", false
	}
	return s, true
}

// Word takes one word of a closed list, exactly as written there.
func (v Value) Word(words ...string) (string, bool) {
	if !v.want(String) {
		return "", false
	}
	for _, w := range words {
		if w == v.node().text {
			return w, true
		}
	}
	if v.doc.Full() {
		return "", false
	}
	f := v.fault(fault.NotOneOf, quote(v.node().text)+" is not one of the words allowed here", strings.Join(words, ", "))
	f.Nearest = fault.Nearest(v.node().text, words, 1)
	v.doc.Add(f)
	return "", false
}

// List takes a list of min to max elements; max < 0 means no bound of its own.
func (v Value) List(min, max int) ([]Value, bool) {
	if !v.want(List) {
		return nil, false
	}
	n := v.Len()
	if n < min || max >= 0 && n > max {
		allowed := fmt.Sprintf("%d to %d elements", min, max)
		switch {
		case min == max:
			allowed = fmt.Sprintf("exactly %d elements", min)
		case max < 0:
			allowed = fmt.Sprintf("at least %d", min)
		}
		v.Fault(fault.WrongLength, fmt.Sprintf("the list has %d elements", n), allowed)
		return nil, false
	}
	return v.Children(), true
}

// Fault collects a fault about this value; nothing for an absent one. What was
// found is filled in.
func (v Value) Fault(rule fault.Rule, detail, allowed string) {
	if v.doc != nil && !v.doc.Full() {
		v.doc.Add(v.fault(rule, detail, allowed))
	}
}

func (v Value) fault(rule fault.Rule, detail, allowed string) fault.Fault {
	return fault.Fault{Rule: rule, Pointer: v.Pointer(), Detail: detail, Found: v.shown(), Allowed: allowed}
}

// want reports whether v is of the kind; if it is there but of another kind,
// that is a fault. null is never what is wanted.
func (v Value) want(k Kind) bool {
	switch {
	case v.doc == nil:
		return false
	case v.node().kind == k:
		return true
	}
	if v.doc.Full() {
		return false
	}
	v.Fault(fault.WrongType, fmt.Sprintf("%s is needed here, not %s", k, v.node().kind), k.String())
	return false
}
