// Package edit makes a board file with a change of one that is there.
package edit

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Tree is a board file as nested JSON.
type Tree = map[string]any

// Board reads the board that comes of a change to the file of b, which is
// written out first when it was not read from one. The file keeps its shape:
// grids stay grids. Errors: the faults of a board that cannot be.
func Board(b *layout.Board, change func(Tree)) (*layout.Board, json.RawMessage, error) {
	src := b.Source
	if len(src) == 0 {
		var err error
		if src, err = layout.Write(b); err != nil {
			return nil, nil, err
		}
	}
	d := json.NewDecoder(bytes.NewReader(src))
	d.UseNumber() // lengths keep their digits
	var t Tree
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

// List gives the objects of a list of the file.
func List(t Tree, key string) []Tree {
	var out []Tree
	items, _ := t[key].([]any)
	for _, v := range items {
		if m, ok := v.(Tree); ok {
			out = append(out, m)
		}
	}
	return out
}

// Stocks gives the stocks of the file.
func Stocks(t Tree) []Tree {
	var out []Tree
	m, _ := t["stock"].(Tree)
	for _, v := range m {
		if s, ok := v.(Tree); ok {
			out = append(out, s)
		}
	}
	return out
}

// Scale multiplies a length of the file by a factor and rounds it to a hundredth of its unit.
func Scale(t Tree, key string, by float64) {
	n, ok := t[key].(json.Number)
	if !ok {
		return
	}
	if v, err := n.Float64(); err == nil {
		t[key] = math.Round(v*by*100) / 100
	}
}
