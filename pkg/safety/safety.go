// Package safety holds short cautions for the shop and the kitchen, each with
// its source. They remind; the rules of the place where you work come first.
//
// The texts live in data/cautions.csv. Missing: doses and first aid, which
// belong to the safety data sheets of each product.
package safety

import (
	"encoding/csv"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Caution is one reminder.
type Caution struct {
	Topic  string `json:"topic"` // "dust", "machines", "end grain", "food contact", "allergens"
	Text   string `json:"text"`
	Source string `json:"source"` // printed source, in full
	Status string `json:"status"` // "seen" or "memory": whether the print was before us
}

// Defer is the sentence that goes with every list of cautions.
const Defer = "These are reminders; the safety rules of your country and the sheets of your products come first."

type row struct {
	Caution
	scope string
}

var table = sync.OnceValue(load)

// For gives the cautions that go with the woods: those for every board, and one
// that names each wood with a note on dust or allergies. Woods may repeat.
func For(woods ...*wood.Species) []Caution {
	var out []Caution
	for _, r := range table() {
		if r.scope == "all" {
			out = append(out, r.Caution)
		}
	}
	notes := make(map[string]string)
	for _, s := range woods {
		if s != nil && s.Dust != "" {
			notes[s.ID] = s.CommonName + ": " + strings.TrimSuffix(s.Dust, ".")
		}
	}
	if len(notes) == 0 {
		return out
	}
	told := strings.Join(slices.Sorted(maps.Values(notes)), "; ")
	for _, r := range table() {
		if r.scope == "listed" {
			c := r.Caution
			c.Text = told + ". " + c.Text
			out = append(out, c)
		}
	}
	return out
}

// load reads the table; it is part of the program, so a fault in it is a bug
// and is told at once.
func load() []row {
	f, err := data.Files.Open("cautions.csv")
	if err != nil {
		panic("safety: " + err.Error())
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic("safety: " + err.Error())
	}
	rows := make([]row, 0, len(records)-1)
	for _, r := range records[1:] {
		rows = append(rows, row{Caution{Topic: r[0], Text: r[2], Source: r[3], Status: r[4]}, r[1]})
	}
	return rows
}
