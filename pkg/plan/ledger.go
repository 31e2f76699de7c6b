package plan

import (
	"cmp"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// Figure is one value that went into a section of the plan.
type Figure struct {
	Key    string  `json:"key"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"` // "1" without a unit
	What   string  `json:"what"`
	Source string  `json:"source"` // printed source in full, or "Common practice of the trade, no source."
	Status string  `json:"status"` // "seen", "derived", "memory", "estimated", "given"
}

// figures are the rows of data/shop.csv by key.
var figures = sync.OnceValue(func() map[string]Figure {
	out := map[string]Figure{}
	for key, r := range data.Keyed("shop.csv", "value", "unit", "source", "status", "note") {
		out[key] = Figure{key, r.Number("value"), r.Get("unit"), r.Get("note"), source.Text(r.Get("source")), r.Get("status")}
	}
	return out
})

// ledger keeps account of the figures a section uses.
type ledger struct {
	given map[string]float64 // what the shop says of itself, by key of data/shop.csv
	used  []Figure
}

// use gives the value of a row of data/shop.csv, or what the shop says instead, and
// notes that it went in. The unit is that of the row.
func (l *ledger) use(key string) float64 {
	f, known := figures()[key]
	if !known {
		panic("plan: data/shop.csv has no row " + key)
	}
	if v, told := l.given[key]; told {
		f.Value, f.Source, f.Status = v, "Told by the shop.", "given"
	}
	l.note(f)
	return f.Value
}

// note enters a figure from elsewhere, once.
func (l *ledger) note(f Figure) {
	if !slices.ContainsFunc(l.used, func(o Figure) bool { return o.Key == f.Key }) {
		l.used = append(l.used, f)
	}
}

// told lists what was used, by key.
func (l *ledger) told() []Figure {
	if l.used == nil {
		return []Figure{}
	}
	slices.SortFunc(l.used, func(a, b Figure) int { return cmp.Compare(a.Key, b.Key) })
	return l.used
}
