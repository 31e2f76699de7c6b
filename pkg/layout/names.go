package layout

import (
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Names in the file are looked up where their data live; each look-up returns
// the key to go on with, and an error that is a fault without pointer.

// species looks a wood up; a word that several woods are sold under is taken as the
// trade of the file's units takes it, and a notice says so.
func (r *layer) species(pointer, name string) string {
	region := wood.Metric
	if r.file.Units == "in" {
		region = wood.Inches
	}
	return r.named(pointer, name, func(name string) (string, error) {
		f, err := wood.FindIn(name, region)
		if err != nil {
			return "", err
		}
		if f.Notice != "" {
			r.woods = append(r.woods, notice.Notice{Pointer: pointer, Found: name, Likely: f.Species.ID, Text: f.Notice + "."})
		}
		return f.Species.ID, nil
	})
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

// finish looks up the finish of a face: one, for what a coat over another does is in no
// table.
func (r *layer) finish(pointer, name string) string {
	if _, err := findFinish(name); err != nil && !r.full() {
		coats := strings.FieldsFunc(name, func(c rune) bool { return strings.ContainsRune(",;/+&", c) })
		known := len(coats) > 1
		for _, c := range coats {
			_, err := findFinish(strings.TrimSpace(c))
			known = known && err == nil
		}
		if known {
			r.add(fault.Fault{Rule: fault.NotAllowed, Pointer: pointer, Detail: "these are several finishes on one face", Found: shortened(name), Allowed: "one a face", Fix: "tell the last coat; bottom_finish and ends_finish are for other faces"})
			return ""
		}
	}
	return r.named(pointer, name, findFinish)
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
