package advice

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/edit"
)

// borders proposes what can be done about a border.
func (a *adviser) borders() []proposal {
	if len(a.b.Borders) == 0 {
		return nil
	}
	along := false
	for i := range a.b.Borders {
		along = along || a.b.Borders[i].Along
	}
	var out []proposal
	if along {
		blocks := a.blocksASide()
		up := func(t edit.Tree) {
			for _, br := range edit.List(t, "borders") {
				br["grain"] = "up"
				if br["corner"] != "mitre" {
					br["blocks"] = blocks
				}
			}
		}
		const text = "Make the border of end grain like the field, in blocks, instead of long grain along the edge"
		out = append(out, proposal{name: "border-up", text: text + ".", cost: Cost{Text: "the border shows end grain"}, make: up},
			proposal{name: "border-up-turned", text: text + ", and cut its blocks with the rings a quarter turn round.", cost: Cost{Text: "the border shows end grain"},
				make: func(t edit.Tree) {
					up(t)
					turnBorders(t)
				}})
	}
	for _, f := range []float64{0.5, 0.25} {
		widths := make([]string, len(a.b.Borders))
		for i := range a.b.Borders {
			widths[i] = fmt.Sprintf("%.3g", a.b.Borders[i].Width*f)
		}
		out = append(out, proposal{name: "narrower-border", text: fmt.Sprintf("Make the border narrower: %s mm wide.", strings.Join(widths, " and ")),
			cost: Cost{Text: "a narrower border"},
			make: func(t edit.Tree) {
				for _, br := range edit.List(t, "borders") {
					edit.Scale(br, "width", f)
				}
			}})
	}
	off := func(t edit.Tree) { delete(t, "borders") }
	out = append(out, proposal{name: "no-border", text: "Leave the border off.", cost: Cost{Text: "no border"}, make: off})
	if along {
		out = append(out, proposal{name: "float-border", text: "Do not glue the border to the field: let it float, held at the middle of each side only.",
			cost: Cost{Text: "a border that is not glued"}, make: off,
			note: "The border is left out of the sum. What holds it (a groove, slots, a sliding dovetail) must let the field move past it and is not checked here."})
	}
	if len(a.b.Borders) > 1 {
		out = append(out, proposal{name: "fewer-borders", text: "Leave the outermost border off.", cost: Cost{Text: "one border fewer"},
			make: func(t edit.Tree) {
				if all, ok := t["borders"].([]any); ok {
					t["borders"] = all[:len(all)-1]
				}
			}})
	}
	return out
}

// turnBorders gives the borders stocks of their own whose rings lie a quarter
// turn round. Those with a pith stay, and those for which no key is free.
func turnBorders(t edit.Tree) {
	all, _ := t["stock"].(edit.Tree)
	made := map[string]bool{}
	for _, br := range edit.List(t, "borders") {
		key, _ := br["stock"].(string)
		own, _ := all[key].(edit.Tree)
		ring, isNumber := own["ring_angle"].(json.Number)
		v, err := ring.Float64()
		if !isNumber || err != nil || own["pith"] != nil {
			continue
		}
		name := key + "-turned"
		if _, taken := all[name]; len([]rune(name)) > longestKey || taken && !made[name] {
			continue
		}
		turned := maps.Clone(own)
		turned["ring_angle"] = math.Remainder(v+90, 360)
		all[name], made[name] = turned, true
		br["stock"] = name
	}
}

// longestKey is how many letters package layout takes for a key.
const longestKey = 32

// blocksASide is how many blocks a border of end grain takes so that they are
// about as long as the blocks of the field.
func (a *adviser) blocksASide() int {
	area, n := 0.0, 0
	for i := range a.b.Pieces {
		if a.b.Pieces[i].Border < 0 {
			area += a.b.Pieces[i].Area
			n++
		}
	}
	side := math.Max(a.b.Width, a.b.Height)
	return min(1000, max(1, int(math.Round(side/math.Sqrt(area/float64(n))))))
}
