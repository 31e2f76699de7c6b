package answer

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Fields are keys of an answer that a client wants, read and found good.
type Fields []string

// painted is the name of the keys of a report that a drawing paints: the word and its worst
// place, the shape of every state, and of joints and pieces what they bear.
const painted = "painted"

var paintedFields = Fields{"verdict", "mode", "index", "utilisation", "headline", "words_from", "worst",
	"states.name", "states.width_change", "states.height_change", "states.utilisation", "states.verdict",
	"joints.id", "joints.utilisation", "pieces.id", "pieces.utilisation", "size", "model"}

// FieldsOf reads keys of an answer of a type: "verdict", or "joints.id" for one
// key of every entry of a list or of an object; several at once with commas; or
// "painted" of a report. A name that no such answer has is a fault of the parameter
// "fields".
func FieldsOf(a any, texts []string) (Fields, error) {
	var out Fields
	var faults fault.List
	for _, text := range texts {
		for name := range strings.SplitSeq(text, ",") {
			name = strings.TrimSpace(name)
			if _, report := a.(*Report); report && name == painted {
				out = append(out, paintedFields...)
				continue
			}
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
// order and to the letter. The error is that of what is no JSON.
func (f Fields) Of(src []byte) ([]byte, error) {
	var out bytes.Buffer
	from := jsontext.NewDecoder(bytes.NewBuffer(src), jsontext.AllowDuplicateNames(true))
	to := jsontext.NewEncoder(&out, jsontext.AllowDuplicateNames(true), jsontext.PreserveRawStrings(true))
	if err := f.pick(to, from, ""); err != nil {
		return nil, fmt.Errorf("answer: %w", err)
	}
	return out.Bytes(), nil
}

// pick copies the wanted keys of a value below a path.
func (f Fields) pick(to *jsontext.Encoder, from *jsontext.Decoder, path string) error {
	kind := from.PeekKind()
	if kind != '{' && kind != '[' {
		return copyValue(to, from)
	}
	if err := copyToken(to, from); err != nil {
		return err
	}
	for from.PeekKind() != kind+2 { // '[' and ']', '{' and '}' lie two apart
		if kind == '[' {
			if err := f.pick(to, from, path); err != nil {
				return err
			}
			continue
		}
		name, err := from.ReadToken()
		if err != nil {
			return err
		}
		below := strings.TrimPrefix(path+"."+name.String(), ".")
		whole := slices.Contains(f, below)
		if !whole && !slices.ContainsFunc(f, func(n string) bool { return strings.HasPrefix(n, below+".") }) {
			if err := from.SkipValue(); err != nil {
				return err
			}
			continue
		}
		if err := to.WriteToken(name); err != nil {
			return err
		}
		next := f.pick
		if whole {
			next = func(to *jsontext.Encoder, from *jsontext.Decoder, _ string) error { return copyValue(to, from) }
		}
		if err := next(to, from, below); err != nil {
			return err
		}
	}
	return copyToken(to, from)
}

func copyValue(to *jsontext.Encoder, from *jsontext.Decoder) error {
	v, err := from.ReadValue()
	if err != nil {
		return err
	}
	return to.WriteValue(v)
}

func copyToken(to *jsontext.Encoder, from *jsontext.Decoder) error {
	t, err := from.ReadToken()
	if err != nil {
		return err
	}
	return to.WriteToken(t)
}
