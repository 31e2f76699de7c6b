package strictjson

import (
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Members is an object whose keys were checked. A nil *Members is an object
// that was not there: it has no keys and raises no faults.
type Members struct {
	at   Value
	keys []Value // the members allowed, few enough to be searched in a row
}

func (m *Members) find(key string) Value {
	for _, v := range m.keys {
		if v.Key() == key {
			return v
		}
	}
	return Value{}
}

// Object takes an object that may hold only the known keys, letter for letter.
// Every other key is a fault that names the nearest known one. It is nil when v
// is absent or no object (the latter is a fault).
func (v Value) Object(known ...string) *Members {
	if !v.want(Object) {
		return nil
	}
	m := &Members{at: v, keys: make([]Value, 0, min(v.Len(), len(known)))}
	for at := v.node().first; at >= 0; at = v.doc.nodes[at].next {
		c := Value{v.doc, at}
		key := c.Key()
		if m.find(key).Here() {
			continue // told by Parse; the first one counts
		}
		if !slices.Contains(known, key) {
			if v.doc.Full() {
				continue // neither nearest name nor place is looked for in vain
			}
			v.doc.Add(fault.Fault{
				Rule: fault.UnknownKey, Pointer: c.Pointer(),
				Detail: "there is no key " + quote(key) + " here", Found: quote(key),
				Allowed: strings.Join(known, ", "), Nearest: fault.Nearest(key, known, 1),
			})
			continue
		}
		m.keys = append(m.keys, c)
	}
	return m
}

// AnyObject takes an object with keys of the caller's own choosing, min to max
// of them; max < 0 means no bound of its own. Repeated keys were told by Parse; only the first of each is returned.
func (v Value) AnyObject(min, max int) ([]Value, bool) {
	if !v.want(Object) {
		return nil, false
	}
	if n := v.Len(); n < min || max >= 0 && n > max {
		v.Fault(fault.WrongLength, "the object has too few or too many keys", Between(float64(min), float64(max), "keys").String())
		return nil, false
	}
	seen := make(map[string]bool, v.Len())
	var members []Value
	for _, c := range v.Children() {
		if !seen[c.Key()] {
			seen[c.Key()] = true
			members = append(members, c)
		}
	}
	return members, true
}

// Has reports whether the key is there, whatever its value.
func (m *Members) Has(key string) bool {
	return m != nil && m.find(key).Here()
}

// Get returns the value of a key that may be missing.
func (m *Members) Get(key string) Value {
	if m == nil {
		return Value{}
	}
	return m.find(key)
}

// Need returns the value of a key; a missing one is a fault.
func (m *Members) Need(key string) Value {
	if m == nil {
		return Value{}
	}
	v := m.find(key)
	if !v.Here() && !m.at.doc.Full() {
		m.at.doc.Add(fault.Fault{
			Rule: fault.MissingKey, Pointer: m.at.Pointer() + "/" + escape(key),
			Detail: "the key " + quote(key) + " is missing", Found: "nothing", Fix: "give " + quote(key),
		})
	}
	return v
}

// OneOf returns the only one of the keys that is there. None is a missing key,
// more than one are a fault each beyond the first.
func (m *Members) OneOf(keys ...string) (string, Value) {
	if m == nil {
		return "", Value{}
	}
	found, value := "", Value{}
	for _, c := range m.at.Children() {
		key := c.Key()
		switch {
		case !slices.Contains(keys, key) || key == found:
		case found == "":
			found, value = key, c
		default:
			c.Fault(fault.NotAllowed, quote(key)+" cannot stand beside "+quote(found), "one of "+strings.Join(keys, ", "))
		}
	}
	if found == "" {
		m.at.Fault(fault.MissingKey, "one of the keys "+strings.Join(keys, ", ")+" is missing", "one of "+strings.Join(keys, ", "))
	}
	return found, value
}
