package advice

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// worthWaiting is a difference of moisture that is worth an effort, % MC.
const worthWaiting = 0.2

// glueUp proposes other moistures at gluing.
func (a *adviser) glueUp(ctx context.Context) []proposal {
	var out []proposal
	climate, err := a.cond.ClimateOf(a.b)
	if err != nil {
		a.skip("another moisture at gluing", err)
		return nil
	}
	at := func(name, text string, mc float64, cost string) {
		mc = math.Round(mc*10) / 10
		off := 0.0
		for i := range a.b.Pieces {
			off = math.Max(off, math.Abs(a.b.Pieces[i].Moisture-mc))
		}
		if off < worthWaiting {
			return
		}
		out = append(out, proposal{name: name, text: text, cost: Cost{Text: cost}, make: func(f *layout.File) { f.SetMoisture(mc) }})
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
		if done[k] || math.Abs(p.Moisture-mc) < worthWaiting {
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
	return fmt.Sprintf("for %s, ", count(int(math.Ceil(longest/24)), "day"))
}

// use proposes what concerns thickness, faces and home.
func (a *adviser) use(r *check.Report) []proposal {
	var out []proposal
	for _, f := range []struct {
		name, word string
		by         float64
	}{{"thicker", "thicker", 1.25}, {"thinner", "thinner", 0.75}} {
		out = append(out, proposal{name: f.name, same: true, text: fmt.Sprintf("Make the board %s: %.3g mm.", f.word, a.b.Thickness*f.by),
			cost: Cost{Text: fmt.Sprintf("%s by a quarter", f.word)}, make: func(to *layout.File) { to.Thickness = scaled(to.Thickness, f.by) }})
	}
	if p, ok := a.feet(r); ok {
		out = append(out, p)
	}
	if f, ok := densest(); ok && f.Key != a.b.Finish {
		out = append(out, proposal{name: "denser-finish", same: true, text: fmt.Sprintf("Seal both faces alike with %s, %s.", strings.ToLower(f.Name), count(f.Coats, "coat")),
			cost: Cost{Text: "a film on the faces"}, note: "Knives cut a film; it suits a board for serving. The published figures were measured on side grain.",
			make: func(to *layout.File) { to.Finish = f.Key }})
	}
	return append(out, a.homes()...)
}

// feet keep air under the board: nothing lies flat on a counter any more.
func (a *adviser) feet(r *check.Report) (proposal, bool) {
	flat := false
	var events []moisture.Event // what is left of those of the conditions
	asked := a.cond.Events
	if len(asked) == 0 {
		asked = []moisture.Event{{Name: moisture.StandardSet}}
	}
	for _, ask := range asked {
		several, _ := ask.Several()
		for _, e := range several {
			if !strings.HasPrefix(e.Name, "flat-on-") {
				events = append(events, e)
			}
		}
	}
	for _, e := range r.Exposures {
		flat = flat || strings.HasPrefix(e.Event, "flat-on-")
	}
	lying := false
	for _, e := range a.b.Exposures {
		lying = lying || e.Words["rest"] == "lying"
	}
	if !flat && !lying {
		return proposal{}, false
	}
	p := proposal{name: "feet", text: "Give the board feet, so that air reaches both faces.", cost: Cost{Text: "feet; one face for use"}, make: func(*layout.File) {}}
	if len(a.b.Exposures) > 0 && len(a.cond.Events) == 0 {
		left := 0
		for _, e := range a.b.Exposures {
			if !strings.HasPrefix(e.Name, "flat-on-") {
				left++
			}
		}
		p.make = func(f *layout.File) {
			f.Exposures = slices.DeleteFunc(f.Exposures, func(e moisture.Event) bool { return strings.HasPrefix(e.Name, "flat-on-") })
			for _, e := range f.Exposures {
				if e.Words["rest"] == "lying" {
					e.Words["rest"] = "standing"
				}
			}
		}
		if left == 0 {
			c := a.cond
			c.NoHistories = true
			p.cond = &c
		}
		return p, true
	}
	c := a.cond
	c.Events, c.NoHistories = events, len(events) == 0
	p.cond = &c
	return p, true
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
		cond := a.cond
		cond.Climate = &c
		out = append(out, proposal{name: "other-home", cond: &cond, cost: Cost{Text: "fewer buyers"},
			text: fmt.Sprintf("Sell it to another home: %s.", strings.ToLower(c.Name[:1])+c.Name[1:]), make: func(f *layout.File) { f.Home = layout.Home{Name: c.Key} }})
	}
	return out
}
