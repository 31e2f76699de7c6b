package answer

import (
	"bytes"
	"reflect"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Fields are keys of an answer that a client wants, read and found good.
type Fields []string

// FieldsOf reads keys of an answer of a type: "verdict", or "joints.id" for one
// key of every entry of a list or of an object; several at once with commas. A
// name that no such answer has is a fault of the parameter "fields".
func FieldsOf(a any, texts []string) (Fields, error) {
	var out Fields
	var faults fault.List
	for _, text := range texts {
		for name := range strings.SplitSeq(text, ",") {
			name = strings.TrimSpace(name)
			out = append(out, name)
			if known, ok := find(reflect.TypeOf(a), name); !ok && len(faults) < 20 {
				slices.Sort(known)
				faults = append(faults, fault.Fault{Rule: fault.UnknownName, Pointer: "/fields", Detail: "the answer has no such key", Found: fault.Short(name),
					Allowed: strings.Join(known, ", "), Nearest: fault.Nearest(name[strings.LastIndex(name, ".")+1:], known, 2)})
			}
		}
	}
	if len(faults) > 0 {
		return nil, Parameters{faults}
	}
	return out, nil
}

// below tells that all that is wanted lies below one key of the answer.
func (f Fields) below(key string) bool {
	return len(f) > 0 && !slices.ContainsFunc(f, func(n string) bool { return n != key && !strings.HasPrefix(n, key+".") })
}

// find looks for a path of keys in the JSON form of a type; when a step is not
// there it gives the keys that are.
func find(t reflect.Type, path string) (known []string, ok bool) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Map {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil, false
	}
	name, rest, deeper := strings.Cut(path, ".")
	for _, f := range reflect.VisibleFields(t) {
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if tag == "-" || f.Anonymous && tag == "" {
			continue
		}
		if tag == "" {
			tag = f.Name
		}
		if tag != name {
			known = append(known, tag)
			continue
		}
		if !deeper {
			return nil, true
		}
		return find(f.Type, rest)
	}
	return known, false
}

// Of copies the keys that are wanted from an answer as Encode writes it, in its own
// order.
func (f Fields) Of(src []byte) []byte {
	var out bytes.Buffer
	f.pick(&out, src[:valueEnd(src, 0)], "")
	out.WriteByte('\n')
	return out.Bytes()
}

// pick copies the wanted keys of a value below a path.
func (f Fields) pick(out *bytes.Buffer, src []byte, path string) {
	if src[0] != '{' && src[0] != '[' {
		out.Write(src)
		return
	}
	out.WriteByte(src[0])
	first := true
	for i := 1; i < len(src)-1; {
		name, below, whole := []byte(nil), path, false
		if src[0] == '{' {
			end := stringEnd(src, i)
			name = src[i:end]
			below = strings.TrimPrefix(path+"."+string(name[1:len(name)-1]), ".")
			i = end + 1 // the colon
			whole = slices.Contains(f, below)
		}
		end := valueEnd(src, i)
		value := src[i:end]
		i = end + 1 // the comma, or what closes
		if name != nil && !whole && !slices.ContainsFunc(f, func(n string) bool { return strings.HasPrefix(n, below+".") }) {
			continue
		}
		if !first {
			out.WriteByte(',')
		}
		first = false
		if name != nil {
			out.Write(name)
			out.WriteByte(':')
		}
		if whole {
			out.Write(value)
			continue
		}
		f.pick(out, value, below)
	}
	out.WriteByte(src[0] + 2) // '[' and ']', '{' and '}' lie two apart
}

// valueEnd is where a value of JSON without spaces ends that begins at a place.
func valueEnd(src []byte, at int) int {
	depth := 0
	for i := at; i < len(src); {
		switch src[i] {
		case '"':
			i = stringEnd(src, i)
			if depth == 0 {
				return i
			}
			continue
		case '{', '[':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return i + 1
			}
		}
		if depth < 0 || depth == 0 && (src[i] == ',' || src[i] == '\n') {
			return i
		}
		i++
	}
	return len(src)
}

// stringEnd is behind the quote that ends a text of JSON which begins at a place.
func stringEnd(src []byte, at int) int {
	end := at + 1
	for src[end] != '"' {
		if src[end] == '\\' {
			end++
		}
		end++
	}
	return end + 1
}
