package wood

import (
	"cmp"
	"io/fs"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// sense is a word that several woods are sold under.
type sense struct {
	inch, metric *Species   // what it means in the trade of a region
	all          []*Species // the usual one first
	note         string
}

// qualifier is a word that says something of a piece and not of its wood.
type qualifier struct{ word, note string }

// index makes the ways a wood can be found: by the names of species.csv and of
// names.csv, by their words in any order, by scientific name, by words with several senses.
func (lib *library) index(files fs.FS, species []*Species, byID map[string]*Species, sources map[string]source.Citation) error {
	if err := lib.loadTradeNames(files, byID, sources); err != nil {
		return err
	}
	if err := lib.loadSenses(files, byID, sources); err != nil {
		return err
	}
	lib.scientific = make(map[string]*Species)
	shared := make(map[string]bool)
	lib.byWords = make(map[string]*Species)
	lib.words = make(map[string]bool)
	several := make(map[string]bool)
	for _, s := range species {
		k := key(s.ScientificName)
		shared[k] = shared[k] || lib.scientific[k] != nil
		lib.scientific[k] = s
		for _, name := range append([]string{s.ID, s.CommonName, s.PrintedName}, s.Aliases...) {
			w := sorted(name)
			if other := lib.byWords[w]; other != nil && other != s {
				several[w] = true
			}
			lib.byWords[w] = s
			for _, word := range strings.Fields(plain(name)) {
				if len(word) > 2 {
					lib.words[word] = true
				}
			}
		}
	}
	for w := range several {
		delete(lib.byWords, w)
	}
	// a scientific name that several rows share (Douglas-fir, the redwoods) names none of them
	for k := range shared {
		if shared[k] {
			delete(lib.scientific, k)
		}
	}
	for k, s := range lib.scientific {
		if lib.byName[k] == nil && lib.senses[k] == nil {
			lib.byName[k] = s
		}
	}
	return nil
}

// loadTradeNames reads names in other languages and further English ones.
func (lib *library) loadTradeNames(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	return eachToldOf(files, "names.csv", byID, sources, []string{"name", "language"}, func(r data.Row, s *Species) error {
		if !slices.Contains([]string{"en", "de", "fr", "es", "pt", "it"}, r.Get("language")) {
			return r.Errorf("language %q is none of en, de, fr, es, pt, it", r.Get("language"))
		}
		name := r.Get("name")
		if other := lib.byName[key(name)]; other != nil {
			return r.Errorf("name %q already means %s", name, other.ID)
		}
		lib.byName[key(name)] = s
		s.TradeNames = append(s.TradeNames, TradeName{Name: name, Language: r.Get("language"), Source: r.Get("source"), Status: Status(r.Get("status"))})
		return nil
	})
}

// loadSenses reads the words with several senses and the words that qualify a piece.
func (lib *library) loadSenses(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) error {
	rows, err := data.Read(files, "name_senses.csv", "word", "inch", "metric", "species", "note", "source", "status")
	if err != nil {
		return err
	}
	lib.senses = make(map[string]*sense)
	for _, r := range rows {
		if err := provenance(r, sources); err != nil {
			return err
		}
		s := &sense{inch: byID[r.Get("inch")], metric: byID[r.Get("metric")], note: r.Get("note")}
		for _, id := range strings.Split(r.Get("species"), ";") {
			if byID[id] == nil {
				return r.Errorf("wood %q is not in species.csv", id)
			}
			s.all = append(s.all, byID[id])
		}
		if !slices.Contains(s.all, s.inch) || !slices.Contains(s.all, s.metric) {
			return r.Errorf("%q is taken as a wood that is not among its senses", r.Get("word"))
		}
		for _, taken := range []*Species{s.inch, s.metric} {
			if taken.Missing != "" {
				return r.Errorf("%q is taken as %s, which has no figures", r.Get("word"), taken.ID)
			}
		}
		k := key(r.Get("word"))
		if lib.senses[k] != nil {
			return r.Errorf("%q is given twice", r.Get("word"))
		}
		if other := lib.byName[k]; other != nil && (k != key(other.ID) || s.inch != other || s.metric != other) {
			return r.Errorf("name %q already means %s", r.Get("word"), other.ID) // an id means its own wood everywhere
		}
		lib.senses[k] = s
	}
	rows, err = data.Read(files, "name_qualifiers.csv", "word", "note")
	if err != nil {
		return err
	}
	for _, r := range rows {
		lib.qualifiers = append(lib.qualifiers, qualifier{plain(r.Get("word")), r.Get("note")})
	}
	// "quarter sawn" before "sawn"
	slices.SortStableFunc(lib.qualifiers, func(a, b qualifier) int { return cmp.Compare(len(b.word), len(a.word)) })
	return nil
}
