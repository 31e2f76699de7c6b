package fault

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Unwrap gives the faults one by one, so that errors.As finds a Fault in a List.
func (l List) Unwrap() []error {
	out := make([]error, len(l))
	for i, f := range l {
		out[i] = f
	}
	return out
}

// Of gives the faults an error consists of; nil when it is another error.
func Of(err error) List {
	var l List
	if errors.As(err, &l) {
		return l
	}
	var f Fault
	if errors.As(err, &f) {
		return List{f}
	}
	return nil
}

// At puts a place before that of every fault in an error: what a function says
// of its argument is so said of the input the argument came from. Another error
// is handed on as it is.
func At(err error, pointer string) error {
	l := Of(err)
	if l == nil {
		return err
	}
	return l.At(pointer)
}

// At puts a place before that of every fault.
func (l List) At(pointer string) List {
	out := make(List, len(l))
	for i, f := range l {
		f.Pointer = pointer + f.Pointer
		out[i] = f
	}
	return out
}

// Range is the fault of a number outside lo to hi, both allowed, in a
// unit (mm, % MC, "" for none); NaN and
// infinities are outside. Nil when it is inside.
func Range(pointer, what string, v, lo, hi float64, unit string) List {
	if v >= lo && v <= hi {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	return List{{Rule: OutOfRange, Pointer: pointer, Detail: what + " is outside its range",
		Found: number(v) + unit, Allowed: number(lo) + " to " + number(hi) + unit}}
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// Lookup finds an entry of a list by its key. The error is a List of one fault
// without a place, with the keys there are and the nearest of them.
func Lookup[T any](what, key string, list []T, keyOf func(*T) string) (T, error) {
	keys := make([]string, len(list))
	for i := range list {
		if keys[i] = keyOf(&list[i]); keys[i] == key {
			return list[i], nil
		}
	}
	var none T
	return none, Unknown(what, key, keys)
}

// Unknown is the fault of a name that is none of those there are.
func Unknown(what, name string, names []string) List {
	return List{{Rule: UnknownName, Detail: fmt.Sprintf("no %s is called %q", what, Short(name)), Found: Short(name),
		Allowed: strings.Join(names, ", "), Nearest: Nearest(name, names, 3)}}
}

// Key is a key as it stands in a JSON pointer (RFC 6901, section 3).
func Key(key string) string { return escaper.Replace(key) }

var escaper = strings.NewReplacer("~", "~0", "/", "~1")

// Short keeps what a fault repeats of the input short.
func Short(text string) string {
	const most = 80 // bytes
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "…"
	}
	return text
}
