package advice

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// borders proposes what can be done about the borders that are not glued on yet.
func (a *adviser) borders() []proposal {
	on, n := a.bordersOn(), len(a.b.Borders)
	switch {
	case n == 0:
		return nil
	case on == n:
		a.skip("Another border, or none", a.tooLate())
		return nil
	}
	what, those := "the border", "The border"
	if on > 0 {
		what = fmt.Sprintf("border %d", on+1)
		switch {
		case n == on+2:
			what = fmt.Sprintf("borders %d and %d", on+1, n)
		case n > on+2:
			what = fmt.Sprintf("borders %d to %d", on+1, n)
		}
		those = strings.ToUpper(what[:1]) + what[1:]
	}
	along := slices.ContainsFunc(a.b.Borders[on:], func(b layout.Border) bool { return b.Along })
	var out []proposal
	if along {
		blocks := a.blocksASide()
		up := func(f *layout.File) {
			for i := on; i < len(f.Borders); i++ {
				f.CutBorder(i, blocks)
			}
		}
		text := "Make " + what + " of end grain like the field, in blocks, instead of long grain along the edge"
		cost := Cost{Text: "the border shows end grain"}
		out = append(out, proposal{name: "border-up", effort: 2, text: text + ".", cost: cost, make: up},
			proposal{name: "border-up-turned", effort: 2, text: text + ", and cut its blocks with the rings a quarter turn round.", cost: cost,
				make: func(f *layout.File) {
					up(f)
					turnBorders(f, on)
				}})
	}
	for _, by := range []float64{0.5, 0.25} {
		if p, ok := a.narrower(on, by); ok {
			out = append(out, p)
		}
	}
	off := func(f *layout.File) { f.KeepBorders(on) }
	out = append(out, proposal{name: "no-border", effort: 3, text: "Leave " + what + " off.", cost: Cost{Text: "no border"}, make: off})
	if along {
		out = append(out, proposal{name: "float-border", effort: 3, text: "Do not glue " + what + " to the field: let it float, held at the middle of each side only.",
			cost: Cost{Text: "a border that is not glued"}, make: off,
			note: those + " is left out of the sum. What holds it (a groove, slots, a sliding dovetail) must let the field move past it and is not checked here."})
	}
	if n > on+1 {
		out = append(out, proposal{name: "fewer-borders", effort: 2, text: "Leave the outermost border off.", cost: Cost{Text: "one border fewer"},
			make: func(f *layout.File) { f.KeepBorders(len(f.Borders) - 1) }})
	}
	return out
}

// narrower makes the borders from one on narrower by a factor; not ok where none can be.
func (a *adviser) narrower(on int, by float64) (proposal, bool) {
	widths, told := make([]float64, len(a.b.Borders)), []string{}
	trial := a.f.Clone()
	for i := on; i < len(widths); i++ {
		widths[i] = a.measure(a.b.Borders[i].Width * by)
		text := a.length(widths[i])
		if on > 0 || len(widths) > 1 {
			text = fmt.Sprintf("border %d to %s", i+1, text)
		}
		if trial.SetBorderWidth(i, widths[i]) { // not one whose panel gives rows or another border too
			told = append(told, text)
		}
	}
	set := func(f *layout.File) {
		for i := on; i < len(f.Borders); i++ {
			f.SetBorderWidth(i, widths[i])
		}
	}
	text := "Make the border narrower: " + strings.Join(told, " and ")
	if len(widths) == 1 {
		text += " wide"
	}
	return proposal{name: "narrower-border", effort: 1, text: text + ".",
		cost: Cost{Text: "a narrower border"}, make: set}, len(told) > 0
}

// turnBorders gives the borders from one on stocks of their own whose rings lie a quarter
// turn round. Those with a pith stay, and those for which no key is free.
func turnBorders(f *layout.File, on int) {
	for i := on; i < len(f.Borders); i++ {
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
