package layout

import (
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Names in the file are looked up where their data live; each look-up returns
// the key to go on with, and an error that is a fault without pointer.

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

// named looks a name up.
func (r *layer) named(pointer, name string, find func(string) (string, error)) string {
	if r.full() {
		return ""
	}
	key, err := find(name)
	if err != nil {
		for _, f := range fault.Of(fault.At(err, pointer)) {
			r.add(f)
		}
		return ""
	}
	return key
}

func joined(words []string) string { return strings.Join(words, ", ") }

// shortened keeps a hostile text from filling a fault.
func shortened(text string) string {
	const most = 80
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}
