package wood

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Region is where a maker buys wood, as far as the units tell: a bare trade word
// ("walnut") means another wood under inches than under millimetres.
type Region string

// The regions.
const (
	Anywhere Region = ""       // no units are known: as under inches
	Inches   Region = "inch"   // North American trade
	Metric   Region = "metric" // European trade
)

// letters are those that do not come apart into a plain letter and an accent.
var letters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d")

// plain folds case and accents and turns everything else people write differently
// (hyphens, commas, brackets) into spaces.
func plain(name string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(letters.Replace(strings.ToLower(name))) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r), r == '\'', r == '’':
		default:
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// key is plain without its spaces.
func key(name string) string { return strings.ReplaceAll(plain(name), " ", "") }

// sorted is the words of a name in order of the alphabet, so that "red oak (northern)"
// is "northern red oak".
func sorted(name string) string {
	words := strings.Fields(plain(name))
	slices.Sort(words)
	return strings.Join(words, " ")
}

// Found is a wood with what there is to say about the name it was found by.
type Found struct {
	Species *Species
	// Notice tells which wood an ambiguous word was taken for and what else it can mean,
	// or what a word beside the name ("spalted") does to the figures; "" when the name is clear.
	Notice string
}

// Find looks a wood up by id, common name, handbook name ("Maple, sugar"), trade
// name in English, German, French, Spanish, Portuguese or Italian, or scientific name; case,
// accents, hyphens, commas and the order of words do not matter. A word that several
// woods are sold under is taken as in North America: see FindIn, which tells so.
//
// The error is a fault.List of one: UnknownName with the nearest names, or MissingData
// for a wood whose shrinkage was never published. Neither has a Pointer; the
// caller knows where the name stood.
func Find(name string) (*Species, error) {
	f, err := FindIn(name, Anywhere)
	return f.Species, err
}

// FindIn is Find with the sense that ambiguous words have in a region, and the notice
// that goes with them.
func FindIn(name string, region Region) (Found, error) {
	lib := embedded()
	f, ok := lib.find(name, region)
	if !ok {
		return Found{}, fault.List{{
			Rule:    fault.UnknownName,
			Detail:  fmt.Sprintf("no wood is called %q", name),
			Found:   name,
			Allowed: "a wood by id, common, trade or scientific name",
			Nearest: Nearest(name, 3),
		}}
	}
	if s := f.Species; s.Missing != "" {
		e := fault.Fault{
			Rule:    fault.MissingData,
			Detail:  fmt.Sprintf("%s cannot be used: %s", s.CommonName, s.Missing),
			Found:   name,
			Allowed: "a wood with both radial and tangential shrinkage",
			Nearest: lib.substitutes(s, 3),
		}
		if s.StandIn != "" {
			e.Fix = fmt.Sprintf("name %s to let it stand in (%s); the figures are then of that wood", s.StandIn, s.StandInReason)
		}
		return Found{}, fault.List{e}
	}
	return f, nil
}

// find resolves a name, complete or not.
func (lib *library) find(name string, region Region) (Found, bool) {
	if len(name) > mostName {
		return Found{}, false
	}
	if s := lib.senses[key(name)]; s != nil {
		return s.in(name, region), true
	}
	if s := lib.byName[key(name)]; s != nil {
		return Found{Species: s}, true
	}
	if s := lib.byWords[sorted(name)]; s != nil {
		return Found{Species: s}, true
	}
	words := strings.Fields(plain(name))
	if len(words) > 2 { // a scientific name with its author
		if s := lib.scientific[words[0]+words[1]]; s != nil {
			return Found{Species: s}, true
		}
	}
	if rest, note, ok := lib.unqualified(plain(name)); ok {
		if f, found := lib.find(rest, region); found {
			f.Notice = joinNotices(f.Notice, note)
			return f, true
		}
	}
	for _, end := range []string{"wood", "s"} { // applewood, walnuts
		if rest, ok := strings.CutSuffix(plain(name), end); ok && len(rest) > 2 {
			if f, found := lib.find(rest, region); found {
				return f, true
			}
		}
	}
	return Found{}, false
}

// mostName bounds a name that is worked on, letters.
const mostName = 100

func joinNotices(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// unqualified takes one word or pair of words from a name that says something of the
// piece and not of the wood ("curly", "quarter sawn").
func (lib *library) unqualified(name string) (rest, note string, ok bool) {
	for _, q := range lib.qualifiers {
		for _, cut := range []string{q.word + " ", " " + q.word} {
			if r, has := strings.CutPrefix(name, cut); has {
				return r, q.note, true
			}
			if r, has := strings.CutSuffix(name, cut); has {
				return r, q.note, true
			}
		}
	}
	return "", "", false
}

// in picks the sense of a word.
func (s *sense) in(name string, region Region) Found {
	f := Found{Species: s.inch}
	if region == Metric {
		f.Species = s.metric
	}
	var others []string
	for _, o := range s.all {
		if o == f.Species {
			continue
		}
		text := o.ID
		if o.Missing != "" {
			text += " (no figures here)"
		}
		others = append(others, text)
	}
	f.Notice = fmt.Sprintf("%q is taken as %s (%s)", name, f.Species.ID, f.Species.ScientificName)
	if len(others) > 0 {
		f.Notice += "; it is also used for " + strings.Join(others, ", ")
	}
	f.Notice = joinNotices(f.Notice, s.note)
	return f
}

// Nearest returns at most n names that a misspelled one probably means, best first:
// names that become it when each word is put right, then ids of woods near it. A word
// further off than a quarter of its letters is no misspelling; nil when nothing is near.
func Nearest(name string, n int) []string { return embedded().nearest(name, n) }

func (lib *library) nearest(name string, n int) []string {
	if len(name) > mostName || n <= 0 || key(name) == "" {
		return nil
	}
	var out []string
	add := func(id string) {
		if len(out) < n && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	words := strings.Fields(plain(name))
	mended := make([]string, len(words))
	for i, w := range words {
		mended[i] = lib.word(w)
	}
	if f, ok := lib.find(strings.Join(mended, " "), Anywhere); ok {
		if s := lib.senses[strings.Join(mended, "")]; s != nil {
			add(strings.Join(mended, " "))
			for _, o := range s.all {
				if o.Missing == "" {
					add(o.ID)
				}
			}
		}
		if f.Species.Missing == "" {
			add(f.Species.ID)
		}
	}
	// whole names, run together
	type hit struct {
		id   string
		cost int
	}
	var hits []hit
	wanted := key(name)
	for k, s := range lib.byName {
		if s.Missing != "" {
			continue // a suggestion must be of use
		}
		if d := fault.Distance(wanted, k); 4*d <= max(len(wanted), len(k)) {
			hits = append(hits, hit{s.ID, d})
		}
	}
	sort.Slice(hits, func(i, j int) bool {
		if hits[i].cost != hits[j].cost {
			return hits[i].cost < hits[j].cost
		}
		return hits[i].id < hits[j].id
	})
	for _, h := range hits {
		add(h.id)
	}
	if rest, _, ok := lib.unqualified(plain(name)); ok && len(out) == 0 {
		return lib.nearest(rest, n)
	}
	// woods one of whose names holds every word put right, the shortest first
	if !slices.Contains(mended, "") {
		var holds []*Species
		for _, s := range lib.complete {
			have := strings.Fields(plain(s.ID + " " + s.CommonName))
			if !slices.ContainsFunc(mended, func(w string) bool { return !slices.Contains(have, w) }) {
				holds = append(holds, s)
			}
		}
		sort.SliceStable(holds, func(i, j int) bool { return len(holds[i].ID) < len(holds[j].ID) })
		for _, s := range holds {
			add(s.ID)
		}
	}
	return out
}

// word returns the known word that w is or is nearest to; "" when none is near.
func (lib *library) word(w string) string {
	if lib.words[w] {
		return w
	}
	best, least := "", math.MaxInt
	for k := range lib.words {
		d := fault.Distance(w, k)
		if 4*d > max(len(w), len(k)) && !(d == 1 && len(w) > 2) {
			continue
		}
		if d < least || d == least && (len(lib.senses[k].list()) > len(lib.senses[best].list()) || len(lib.senses[k].list()) == len(lib.senses[best].list()) && k < best) {
			best, least = k, d
		}
	}
	return best
}

func (s *sense) list() []*Species {
	if s == nil {
		return nil
	}
	return s.all
}

// substitutes returns the ids of at most n complete woods that may stand in for one that lacks
// its shrinkage: the stated stand-in, then those of its genus, nearest density first.
func (lib *library) substitutes(s *Species, n int) []string {
	genus := func(s *Species) string { return strings.SplitN(s.ScientificName, " ", 2)[0] }
	var list []*Species
	for _, other := range lib.complete {
		if genus(other) == genus(s) && other.ID != s.StandIn {
			list = append(list, other)
		}
	}
	far := func(o *Species) float64 { return math.Abs(o.SGBasic.V - s.SGBasic.V) }
	sort.SliceStable(list, func(i, j int) bool { return far(list[i]) < far(list[j]) })
	var ids []string
	if s.StandIn != "" {
		ids = append(ids, s.StandIn)
	}
	for i := 0; i < len(list) && len(ids) < n; i++ {
		ids = append(ids, list[i].ID)
	}
	return ids
}
