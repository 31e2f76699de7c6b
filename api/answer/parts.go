package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
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

// Of copies the keys that are wanted from an answer in JSON, in its own order.
func (f Fields) Of(src []byte) ([]byte, error) {
	var out bytes.Buffer
	if err := f.pick(&out, src, ""); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// pick copies the wanted keys of a value below a path.
func (f Fields) pick(out *bytes.Buffer, src []byte, path string) error {
	dec := json.NewDecoder(bytes.NewReader(src))
	open, err := dec.Token()
	if err != nil {
		return fmt.Errorf("answer: %w", err)
	}
	delim, nested := open.(json.Delim)
	if !nested {
		out.Write(bytes.TrimSpace(src))
		return nil
	}
	out.WriteByte(byte(delim))
	first := true
	for dec.More() {
		below := path
		if delim == '{' {
			token, err := dec.Token()
			if err != nil {
				return fmt.Errorf("answer: %w", err)
			}
			below = strings.TrimPrefix(path+"."+token.(string), ".")
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return fmt.Errorf("answer: %w", err)
		}
		whole := false
		if delim == '{' {
			whole = slices.Contains(f, below)
			if !whole && !slices.ContainsFunc(f, func(n string) bool { return strings.HasPrefix(n, below+".") }) {
				continue
			}
		}
		if !first {
			out.WriteByte(',')
		}
		first = false
		if delim == '{' {
			name, _ := json.Marshal(below[strings.LastIndex(below, ".")+1:])
			out.Write(name)
			out.WriteByte(':')
		}
		if whole {
			out.Write(value)
			continue
		}
		if err := f.pick(out, value, below); err != nil {
			return err
		}
	}
	out.WriteByte(byte(delim) + 2) // '[' and ']', '{' and '}' lie two apart
	return nil
}
