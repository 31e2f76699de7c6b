package remedy

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// tree is a board file as nested JSON.
type tree = map[string]any

// edited reads the board that comes of a change to the file of b, which is
// written out first when it was not read from one. The file keeps its shape:
// grids stay grids. Errors: the faults of a board that cannot be.
func edited(b *layout.Board, change func(tree)) (*layout.Board, json.RawMessage, error) {
	src := b.Source
	if len(src) == 0 {
		var err error
		if src, err = layout.Write(b); err != nil {
			return nil, nil, err
		}
	}
	d := json.NewDecoder(bytes.NewReader(src))
	d.UseNumber() // lengths keep their digits
	var t tree
	if err := d.Decode(&t); err != nil {
		return nil, nil, err
	}
	change(t)
	out, err := json.MarshalIndent(t, "", "  ")
	if err != nil {
		return nil, nil, err
	}
	c, err := layout.Read(out)
	return c, out, err
}

// list gives the objects of a list of the file.
func list(t tree, key string) []tree {
	var out []tree
	items, _ := t[key].([]any)
	for _, v := range items {
		if m, ok := v.(tree); ok {
			out = append(out, m)
		}
	}
	return out
}

// stocks gives the stocks of the file.
func stocks(t tree) []tree {
	var out []tree
	m, _ := t["stock"].(tree)
	for _, v := range m {
		if s, ok := v.(tree); ok {
			out = append(out, s)
		}
	}
	return out
}

// scale multiplies a length of the file and rounds it to a hundredth of its unit.
func scale(t tree, key string, by float64) {
	n, ok := t[key].(json.Number)
	if !ok {
		return
	}
	if v, err := n.Float64(); err == nil {
		t[key] = math.Round(v*by*100) / 100
	}
}
