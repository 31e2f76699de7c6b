package pair

import (
	"fmt"
	"sort"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/pkg/wood"
)

// facts is what does not change with moisture or rings, worked out once a wood.
type facts struct {
	name            string // in the middle of a sentence
	tr              float64
	density         float64 // kg/m³ at 12 % MC
	weak            []string
	splits, crushes string
	unruly, gluing  string // whole sentences, "" when there is nothing to say
}

var known sync.Map // *wood.Species -> *facts

func factsOf(s *wood.Species) *facts {
	if f, ok := known.Load(s); ok {
		return f.(*facts)
	}
	name := plain(s.CommonName)
	f := &facts{
		name: name, tr: s.ShrinkT.V / s.ShrinkR.V,
		splits:  name + " is pulled along the joint and splits square to it",
		crushes: name + " is pressed along the joint and takes a set",
	}
	if s.SG12.Known {
		f.density = 1000 * s.SG12.V * 1.12 // oven-dry mass over volume at 12 %, plus 12 % water
	}
	f.weak = weakInputs(s, name)
	if f.tr >= talkTR {
		f.unruly = fmt.Sprintf("%s moves %.1f times as much along the rings as across them, so ring direction matters.", upper(name), f.tr)
	}
	if s.Bonding == "with-difficulty" {
		f.gluing = upper(name) + " bonds with difficulty: choose the glue for it, scrape or wipe the faces just before, and try it first."
	}
	known.Store(s, f)
	return f
}

// plain turns the handbook's order round: "Maple, sugar" is "sugar maple".
func plain(common string) string {
	if head, tail, ok := strings.Cut(common, ","); ok {
		common = strings.TrimSpace(tail) + " " + strings.TrimSpace(head)
	}
	return strings.ToLower(common)
}

// weakInputs lists the properties of a wood that nobody has seen printed.
func weakInputs(s *wood.Species, name string) []string {
	out := []string{}
	note := func(what string, status wood.Status) {
		if status == wood.Estimated || status == wood.Memory {
			out = append(out, name+": "+strings.ReplaceAll(what, "_", " ")+" ("+string(status)+")")
		}
	}
	note("radial shrinkage", s.ShrinkR.Status)
	note("tangential shrinkage", s.ShrinkT.Status)
	if s.Disputed {
		out = append(out, name+": shrinkage (published sources differ by more than 15 %, the larger movement is in use)")
	}
	if e, err := s.Elastic(12); err == nil {
		for _, k := range sortedKeys(e.Status) {
			note(k, e.Status[k])
		}
	}
	values := s.Strength(12).Values
	keys := make([]string, 0, len(values))
	for k := range values {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		note(k, values[k].Status)
	}
	return out
}

func sortedKeys(m map[string]wood.Status) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// weak joins the weak inputs of both sides; never nil, so that JSON has a list.
// A list of one wood is shared between answers and is not changed.
func weak(a, b *side) []string {
	if a.species == b.species {
		return a.facts.weak
	}
	out := make([]string, 0, len(a.facts.weak)+len(b.facts.weak))
	return append(append(out, a.facts.weak...), b.facts.weak...)
}
