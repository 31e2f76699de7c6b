package wood

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// key strips a name of everything people write differently: case, hyphens,
// spaces, commas, brackets.
func key(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Find looks a wood up by id, common name, handbook name ("Maple, sugar"), trade
// synonym or scientific name; case, hyphens, spaces and commas do not matter.
//
// The error is a fault.List of one: UnknownName with the nearest ids, or MissingData
// for a wood whose shrinkage was never published. Neither has a Pointer; the
// caller knows where the name stood.
func Find(name string) (*Species, error) {
	lib := embedded()
	s, ok := lib.byName[key(name)]
	if !ok {
		return nil, fault.List{{
			Rule:    fault.UnknownName,
			Detail:  fmt.Sprintf("no wood is called %q", name),
			Found:   name,
			Allowed: "a wood by id, common, trade or scientific name",
			Nearest: Nearest(name, 3),
		}}
	}
	if s.Missing != "" {
		return nil, fault.List{{
			Rule:    fault.MissingData,
			Detail:  fmt.Sprintf("%s cannot be used: %s", s.CommonName, s.Missing),
			Found:   name,
			Allowed: "a wood with both radial and tangential shrinkage",
			Nearest: lib.kin(s, 3),
		}}
	}
	return s, nil
}

// Nearest returns the ids of at most n complete woods whose names are closest to
// the one given, best first.
func Nearest(name string, n int) []string { return embedded().nearest(name, n) }

func (lib *library) nearest(name string, n int) []string {
	type hit struct {
		id   string
		cost float64
	}
	wanted := key(name)
	best := make(map[string]float64)
	for k, s := range lib.byName {
		if s.Missing != "" {
			continue
		}
		c := cost(wanted, k)
		if old, ok := best[s.ID]; !ok || c < old {
			best[s.ID] = c
		}
	}
	hits := make([]hit, 0, len(best))
	for id, c := range best {
		hits = append(hits, hit{id, c})
	}
	sort.Slice(hits, func(i, j int) bool {
		if hits[i].cost != hits[j].cost {
			return hits[i].cost < hits[j].cost
		}
		return hits[i].id < hits[j].id
	})
	ids := make([]string, 0, n)
	for i := 0; i < len(hits) && i < n; i++ {
		ids = append(ids, hits[i].id)
	}
	return ids
}

// kin returns the ids of at most n complete woods of the same genus, those of the
// nearest density first: what may stand in for a wood that lacks its shrinkage.
func (lib *library) kin(s *Species, n int) []string {
	genus := func(s *Species) string { return strings.SplitN(s.ScientificName, " ", 2)[0] }
	var list []*Species
	for _, other := range lib.complete {
		if genus(other) == genus(s) {
			list = append(list, other)
		}
	}
	far := func(o *Species) float64 { return math.Abs(o.SGBasic.V - s.SGBasic.V) }
	sort.SliceStable(list, func(i, j int) bool { return far(list[i]) < far(list[j]) })
	var ids []string
	for i := 0; i < len(list) && i < n; i++ {
		ids = append(ids, list[i].ID)
	}
	return ids
}

// cost is the edit distance between two stripped names, except that a name that
// holds the whole of the wanted one ("maple" in "sugarmaple") counts as near.
func cost(wanted, have string) float64 {
	if len(wanted) >= 3 && strings.Contains(have, wanted) {
		return 1 + float64(len(have)-len(wanted))/100
	}
	return float64(fault.Distance(wanted, have))
}
