package strictjson

import (
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Kind tells what the value is; Absent for the zero Value.
func (v Value) Kind() Kind {
	if v.doc == nil {
		return Absent
	}
	return v.node().kind
}

// Here reports that the value is there (null counts as there).
func (v Value) Here() bool { return v.doc != nil }

// Key is the key under which the value stands in its object, "" elsewhere.
func (v Value) Key() string {
	if v.doc == nil {
		return ""
	}
	return v.node().key
}

// Len is the number of elements or members.
func (v Value) Len() int {
	if v.doc == nil {
		return 0
	}
	return int(v.node().count)
}

// Children returns the elements of a list or the members of an object in the
// order of the text; nothing for other kinds.
func (v Value) Children() []Value {
	if v.doc == nil {
		return nil
	}
	vs := make([]Value, 0, v.node().count)
	for c := v.node().first; c >= 0; c = v.doc.nodes[c].next {
		vs = append(vs, Value{v.doc, c})
	}
	return vs
}

// Pointer is the JSON pointer of the value, "" for the root.
func (v Value) Pointer() string {
	if v.doc == nil {
		return ""
	}
	var parts []string
	for at := v.at; v.doc.nodes[at].parent >= 0; at = v.doc.nodes[at].parent {
		n := &v.doc.nodes[at]
		if v.doc.nodes[n.parent].kind == List {
			parts = append(parts, strconv.Itoa(int(n.index)))
		} else {
			parts = append(parts, escape(n.key))
		}
	}
	var b strings.Builder
	for i := len(parts) - 1; i >= 0; i-- {
		b.WriteByte('/')
		b.WriteString(parts[i])
	}
	return b.String()
}

// Place numbers values in the order of the text: that of the value a pointer leads
// to, or of the last one on the way to it that is there.
func (d *Doc) Place(pointer string) int {
	at := int32(0)
	for _, token := range strings.Split(pointer, "/")[1:] {
		found := int32(-1)
		for c := d.nodes[at].first; c >= 0 && found < 0; c = d.nodes[c].next {
			n := &d.nodes[c]
			if d.nodes[at].kind == List && strconv.Itoa(int(n.index)) == token || d.nodes[at].kind == Object && escape(n.key) == token {
				found = c
			}
		}
		if found < 0 {
			break
		}
		at = found
	}
	return int(at)
}

func (v Value) node() *node { return &v.doc.nodes[v.at] }

// Escape writes a key as one reference token of a JSON pointer (RFC 6901); a long
// one is cut.
func Escape(key string) string { return escape(key) }

func escape(key string) string { return fault.Key(shorten(key)) }

// shorten keeps hostile keys and texts from filling an answer.
func shorten(s string) string {
	const most = 80
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}

func quote(s string) string { return strconv.Quote(shorten(s)) }

// shown is how a value is told in the found part of a fault.
func (v Value) shown() string {
	switch n := v.node(); n.kind {
	case String:
		return quote(n.text)
	case Number, Bool:
		return shorten(n.text)
	case List:
		return "a list of " + strconv.Itoa(int(n.count))
	default:
		return n.kind.String()
	}
}
