package advice

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/wood"
)

// glueUp proposes other moistures at gluing.
func (a *adviser) glueUp(ctx context.Context) []proposal {
	var out []proposal
	climate, err := a.cond.ClimateOf(a.b)
	if err != nil {
		a.skip("another moisture at gluing", err)
		return nil
	}
	at := func(name, text string, mc float64, cost string) {
		if len(a.glued) > 0 {
			a.skip(text, a.tooLate())
			return
		}
		mc = math.Round(mc*10) / 10
		off := 0.0
		for i := range a.b.Pieces {
			off = math.Max(off, math.Abs(a.b.Pieces[i].Moisture-mc))
		}
		if off < arrange.WorthWaiting {
			return
		}
		out = append(out, proposal{name: name, effort: 2, text: text, cost: Cost{Text: cost}, make: func(f *layout.File) { f.SetMoisture(mc) }})
	}
	_, _, low, high := climate.Extremes()
	mean := (low + high) / 2
	if h, err := moisture.Humidity(20, mean); err == nil {
		at("glue-at-mean", fmt.Sprintf("Bring all wood to %.1f %% moisture before gluing, the middle of what its home does to it (%.1f to %.1f %%): air of %.0f %% humidity at 20 °C.", mean, low, high, h),
			mean, "time to condition the wood")
	}
	shop := a.b.GlueUp
	if mc, err := shop.EMC(); err == nil {
		at("wait-in-shop", fmt.Sprintf("Leave all pieces on sticks in the shop (%.0f %% humidity, %.0f °C) %suntil they have settled at %.1f %%.", shop.Humidity, shop.Temperature, a.wait(ctx, shop, mc), mc),
			mc, "the wait")
	}
	return out
}

// wait tells how long the slowest kind of piece takes to come nine tenths of the
// way from its moisture to that of the shop.
func (a *adviser) wait(ctx context.Context, shop moisture.Room, mc float64) string {
	longest := 0.0
	type kind struct {
		species string
		up      bool
		mc      float64
	}
	done := map[kind]bool{}
	for i := range a.b.Pieces {
		p := &a.b.Pieces[i]
		k := kind{p.Species, p.Grain.Up, p.Moisture}
		if done[k] || math.Abs(p.Moisture-mc) < arrange.WorthWaiting {
			continue
		}
		done[k] = true
		s, err := wood.Find(p.Species)
		if err != nil {
			continue
		}
		from, err := moisture.Humidity(shop.Temperature, p.Moisture)
		if err != nil {
			continue
		}
		_, ninety, err := moisture.ResponseTimes(ctx, moisture.Column{Species: s, Along: p.Grain.Up, Thickness: a.b.Thickness}, from, shop.Humidity, shop.Temperature)
		if err == nil && !math.IsInf(ninety, 1) {
			longest = math.Max(longest, ninety)
		}
	}
	if longest == 0 {
		return ""
	}
	return fmt.Sprintf("for %s, ", quantity.Count(int(math.Ceil(longest/24)), "day"))
}

// use proposes what concerns thickness, faces and home.
func (a *adviser) use(events []moisture.Event) []proposal {
	var out []proposal
	for _, f := range []struct {
		name, word string
		effort     int
		by         float64
	}{{"thicker", "thicker", 2, 1.25}, {"thinner", "thinner", 1, 0.75}} {
		if f.by > 1 && a.sliced() {
			a.skip("Make the board thicker", a.tooLate())
			continue
		}
		h := a.measure(a.b.Thickness * f.by)
		out = append(out, proposal{name: f.name, effort: f.effort, same: true, text: fmt.Sprintf("Make the board %s: %s.", f.word, a.length(h)),
			cost: Cost{Text: fmt.Sprintf("%s by about a quarter", f.word)}, make: func(to *layout.File) { to.Thickness = to.MM(h) }})
	}
	if p, ok := a.feet(events); ok {
		out = append(out, p)
	}
	if f, ok := densest(); ok && f.Key != a.b.Finish {
		out = append(out, proposal{name: "denser-finish", effort: 2, solved: true, same: true, text: fmt.Sprintf("Seal both faces alike with %s, %s.", strings.ToLower(f.Name), quantity.Count(f.Coats, "coat")),
			cost: Cost{Text: "a film on the faces"}, note: "Knives cut a film; it suits a board for serving. The published figures were measured on side grain.",
			make: func(to *layout.File) { to.Finish = f.Key }})
	}
	return append(out, a.homes()...)
}

// feet keep air under the board: nothing lies flat on a counter any more. The
// file of the answer lists the exposures that are left.
func (a *adviser) feet(events []moisture.Event) (proposal, bool) {
	var left []moisture.Event
	helps := false
	for _, e := range events {
		if strings.HasPrefix(e.Name, "flat-on-") {
			helps = true
			continue
		}
		if lies(e) {
			helps = true
			e.Words = maps.Clone(e.Words)
			if e.Words == nil {
				e.Words = map[string]string{}
			}
			e.Words["rest"] = "standing"
		}
		left = append(left, e)
	}
	if helps && len(left) == 0 {
		a.skip("Give the board feet", "nothing but lying flat was asked for, and that would be gone")
	}
	if !helps || len(left) == 0 {
		return proposal{}, false
	}
	return proposal{name: "feet", effort: 1, solved: true, text: "Give the board feet, so that air reaches both faces.", exposures: true,
		cost: Cost{Text: "feet; one face for use"}, note: "The board file lists the exposures that are left: those of lying flat are not among them.",
		make: func(f *layout.File) { f.Exposures = left }}, true
}

// lies tells whether the board rests on its other face during an exposure.
func lies(e moisture.Event) bool {
	if w, ok := e.Words["rest"]; ok {
		return w == "lying"
	}
	x, err := moisture.FindExposure(e.Name)
	if err != nil {
		return false
	}
	return slices.ContainsFunc(x.Values, func(v moisture.ExposureValue) bool { return v.Name == "rest" && v.DefaultWord == "lying" })
}

// densest is the finish that keeps most moisture out over a fortnight.
func densest() (best moisture.Finish, ok bool) {
	for _, f := range moisture.Finishes() {
		if !ok || f.Effectiveness[2] > best.Effectiveness[2] {
			best, ok = f, true
		}
	}
	return best, ok
}

// mostHomes is how many other homes are worked out.
const mostHomes = 2

// homes proposes the climates that move the wood least from its moisture at gluing.
func (a *adviser) homes() []proposal {
	here, err := a.cond.ClimateOf(a.b)
	if err != nil {
		return nil
	}
	mc, area := 0.0, 0.0
	for i := range a.b.Pieces {
		mc += a.b.Pieces[i].Moisture * a.b.Pieces[i].Area
		area += a.b.Pieces[i].Area
	}
	mc /= area
	far := func(c moisture.Climate) float64 {
		_, _, low, high := c.Extremes()
		return math.Max(mc-low, high-mc)
	}
	var all []moisture.Climate
	for _, c := range moisture.Climates() {
		if c.Place != "" && c.Key != here.Key && far(c) < far(here) {
			all = append(all, c)
		}
	}
	sort.SliceStable(all, func(i, k int) bool { return far(all[i]) < far(all[k]) })
	var out []proposal
	for _, c := range all[:min(len(all), mostHomes)] {
		out = append(out, proposal{name: "other-home", effort: most, solved: true, home: true, cost: Cost{Text: "fewer buyers"},
			text: fmt.Sprintf("Sell it to another home: %s.", strings.ToLower(c.Name[:1])+c.Name[1:]), make: func(f *layout.File) { f.Home = layout.Home{Name: c.Key} }})
	}
	return out
}
