package advice

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
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
		up := func(f *layout.File) {
			for i := range f.Borders {
				f.CutBorder(i, blocks)
			}
		}
		const text = "Make the border of end grain like the field, in blocks, instead of long grain along the edge"
		out = append(out, proposal{name: "border-up", effort: 2, text: text + ".", cost: Cost{Text: "the border shows end grain"}, make: up},
			proposal{name: "border-up-turned", effort: 2, text: text + ", and cut its blocks with the rings a quarter turn round.", cost: Cost{Text: "the border shows end grain"},
				make: func(f *layout.File) {
					up(f)
					turnBorders(f)
				}})
	}
	for _, by := range []float64{0.5, 0.25} {
		widths, told := make([]float64, len(a.b.Borders)), make([]string, len(a.b.Borders))
		for i := range a.b.Borders {
			widths[i] = a.measure(a.b.Borders[i].Width * by)
			told[i] = a.length(widths[i])
		}
		out = append(out, proposal{name: "narrower-border", effort: 1, text: fmt.Sprintf("Make the border narrower: %s wide.", strings.Join(told, " and ")),
			cost: Cost{Text: "a narrower border"},
			make: func(f *layout.File) {
				for i := range f.Borders {
					f.SetBorderWidth(i, widths[i])
				}
			}})
	}
	off := func(f *layout.File) { f.KeepBorders(0) }
	out = append(out, proposal{name: "no-border", effort: 3, text: "Leave the border off.", cost: Cost{Text: "no border"}, make: off})
	if along {
		out = append(out, proposal{name: "float-border", effort: 3, text: "Do not glue the border to the field: let it float, held at the middle of each side only.",
			cost: Cost{Text: "a border that is not glued"}, make: off,
			note: "The border is left out of the sum. What holds it (a groove, slots, a sliding dovetail) must let the field move past it and is not checked here."})
	}
	if len(a.b.Borders) > 1 {
		out = append(out, proposal{name: "fewer-borders", effort: 2, text: "Leave the outermost border off.", cost: Cost{Text: "one border fewer"},
			make: func(f *layout.File) { f.KeepBorders(len(f.Borders) - 1) }})
	}
	return out
}

// turnBorders gives the borders stocks of their own whose rings lie a quarter
// turn round. Those with a pith stay, and those for which no key is free.
func turnBorders(f *layout.File) {
	for i := range f.Borders {
		if turned, ok := f.QuarterTurned(f.Borders[i].Stock); ok {
			f.Borders[i].Stock = turned
		}
	}
}

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
