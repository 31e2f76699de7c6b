// Package source turns the citation keys that stand beside every number into
// the printed work they mean.
package source

import (
	"fmt"
	"io/fs"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Citation is one printed source.
type Citation struct {
	Key     string `json:"key"`
	Text    string `json:"text"`              // full citation: author, title, year, table
	Licence string `json:"licence,omitempty"` // terms under which its figures are used
	Link    string `json:"link,omitempty"`    // DOI or address, where there is one
}

// Of returns the citation of a key; false when no table or code uses that key.
func Of(key string) (Citation, bool) {
	c, ok := embedded()[key]
	return c, ok
}

// Text returns the full citation of a key, or the key itself when it is unknown.
func Text(key string) string {
	if c, ok := Of(key); ok {
		return c.Text
	}
	return key
}

// Load reads sources.csv. It refuses a blank key, a key given twice, and a key
// without a citation or a licence.
func Load(files fs.FS) (map[string]Citation, error) {
	rows, err := data.Read(files, "sources.csv", "key", "citation", "licence", "url_or_doi")
	if err != nil {
		return nil, err
	}
	all := make(map[string]Citation, len(rows))
	for _, r := range rows {
		c := Citation{Key: r.Get("key"), Text: r.Get("citation"), Licence: r.Get("licence"), Link: r.Get("url_or_doi")}
		if c.Key == "" || c.Text == "" || c.Licence == "" {
			return nil, r.Errorf("key, citation and licence must all be given")
		}
		if _, twice := all[c.Key]; twice {
			return nil, r.Errorf("key %q is given twice", c.Key)
		}
		all[c.Key] = c
	}
	return all, nil
}

var embedded = sync.OnceValue(func() map[string]Citation {
	all, err := Load(data.Files)
	if err != nil {
		panic(fmt.Sprintf("source: the tables built into this program are broken: %v", err))
	}
	return all
})
