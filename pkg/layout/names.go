package layout

import (
	"errors"
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Names in the file are looked up where their data live; each look-up returns
// the key to go on with, and an error that is a fault.Fault without pointer.

func findSpecies(name string) (string, error) {
	s, err := wood.Find(name)
	if err != nil {
		return "", err
	}
	return s.ID, nil
}

func findFinish(name string) (string, error) {
	_, err := moisture.FindFinish(name)
	return name, err
}

func findClimate(name string) (string, error) {
	_, err := moisture.FindClimate(name)
	return name, err
}

func findGlue(name string) (string, error) {
	_, err := adhesive.Find(name)
	return name, err
}

// named takes a name and looks it up.
func (r *reader) named(v strict.Value, find func(string) (string, error)) string {
	name, ok := v.Text(100)
	if !ok {
		return ""
	}
	key, err := find(name)
	if err == nil {
		return key
	}
	r.doc.Add(asFault(err, v.Pointer(), name))
	return ""
}

// asFault gives the fault of a look-up its place.
func asFault(err error, pointer, name string) fault.Fault {
	f := fault.Fault{Rule: fault.UnknownName, Detail: err.Error(), Found: name}
	errors.As(err, &f)
	f.Pointer = pointer
	return f
}

func joined(words []string) string { return strings.Join(words, ", ") }
