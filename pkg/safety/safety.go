// Package safety holds short cautions for the shop and the kitchen, each with
// its source. They remind; the rules of the place where you work come first.
//
// The texts live in data/cautions.csv. Missing: doses and first aid, which
// belong to the safety data sheets of each product.
package safety

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Caution is one reminder.
type Caution struct {
	Topic  string `json:"topic"` // "dust", "machines", "end grain", "food contact", "allergens", "gluing", "trade"
	Text   string `json:"text"`
	Source string `json:"source"` // printed source, in full
	Status string `json:"status"` // of the least trusted source
}

// Defer is the sentence that goes with every list of cautions.
const Defer = "These are reminders; the safety rules of your country and the sheets of your products come first."

type row struct {
	Caution
	scope string
	short string // in a few words; "" for what only some woods need
}

// Short tells the reminders of some topics in two lines, the table's order, and that
// the rules of the place come first.
func Short(topics ...string) string {
	var parts []string
	for _, r := range table() {
		if r.short != "" && slices.Contains(topics, r.Topic) {
			parts = append(parts, r.short)
		}
	}
	return strings.Join(append(parts, "Local rules first."), " ")
}

var table = sync.OnceValue(load)

// For gives the cautions that go with the woods: those for every board, and one for
// each thing that is told of some of them by name. Woods may repeat.
func For(woods ...*wood.Species) []Caution {
	var out []Caution
	for _, r := range table() {
		if r.scope == "all" {
			out = append(out, r.Caution)
		}
	}
	distinct := make(map[string]*wood.Species)
	for _, s := range woods {
		if s != nil {
			distinct[s.ID] = s
		}
	}
	for _, r := range table() {
		if r.scope == "all" {
			continue
		}
		c, told := r.Caution, []string{}
		var keys []string
		for _, id := range slices.Sorted(maps.Keys(distinct)) {
			text, from, status := about(distinct[id], r)
			if text == "" {
				continue
			}
			told = append(told, distinct[id].CommonName+": "+text)
			keys = append(keys, from...)
			c.Status = string(wood.Worst(wood.Status(c.Status), status))
		}
		if len(told) == 0 {
			continue
		}
		c.Text = strings.Join(told, "; ") + ". " + c.Text
		slices.Sort(keys)
		for _, k := range slices.Compact(keys) {
			c.Source += "; " + source.Text(k)
		}
		out = append(out, c)
	}
	return out
}

// about is what a row of the table has to say of one wood, with the keys of the sources.
func about(s *wood.Species, r row) (text string, keys []string, status wood.Status) {
	notes := func(kind string) {
		var parts []string
		for _, n := range s.Notes {
			if n.Kind == kind {
				parts, keys, status = append(parts, n.Text), append(keys, n.Source), wood.Worst(status, n.Status)
			}
		}
		text = strings.Join(parts, "; ")
	}
	status = wood.Seen
	switch {
	case r.Topic == "allergens":
		notes("health")
	case r.Topic == "gluing":
		notes("gluing")
		switch {
		case strings.HasSuffix(text, "easily") || strings.HasPrefix(text, "good"):
			return "", nil, wood.Seen // no caution
		case text == "" && s.Bonding == "with-difficulty":
			text, keys = "bonds with difficulty", []string{"WH190-T10-1"}
		}
	case r.Topic == "trade" && s.Convention.Appendix != "":
		l := s.Convention
		text = "listed in Appendix " + l.Appendix + " of CITES since " + l.Since
		if l.Scope != "" {
			text += " (" + l.Scope + ")"
		}
		keys, status = []string{l.Source}, l.Status
	case r.scope == "open-pored" && s.Porosity == "ring-porous":
		text = "ring-porous"
	}
	return text, keys, status
}

func load() []row {
	var rows []row
	for _, r := range data.Table("cautions.csv", "topic", "scope", "text", "citation", "status", "short") {
		rows = append(rows, row{Caution: Caution{Topic: r.Get("topic"), Text: r.Get("text"), Source: r.Get("citation"), Status: r.Get("status")}, scope: r.Get("scope"), short: r.Get("short")})
	}
	return rows
}
