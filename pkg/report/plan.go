package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/plan"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Plan tells how a board is made, section by section in the order of the work.
func Plan(w io.Writer, v *plan.Plan, s Style) error {
	var p page
	s.Inches = s.Inches || v.Units == "in"
	name := v.Name
	if name == "" {
		name = "Board"
	}
	p.line("%s  %s × %s × %s", name, s.size(v.Width), s.size(v.Height), s.size(v.Thickness))
	p.item("Verdict", v.Headline)
	p.item("Mind", v.Warning)
	p.item("Shop", fmt.Sprintf("%.0f %% humidity, %.0f °C: wood settles at %.1f %% (%s).", v.Shop.Humidity, v.Shop.Temperature, v.Shop.Balance, v.Shop.From))
	p.item("In all", v.Calendar.Text)
	stockText(&p, v, s)
	cutText(&p, v, s)
	glueText(&p, v, s)
	flatText(&p, v, s)
	surfaceText(&p, v)
	careText(&p, &v.Card)
	calendarText(&p, v)
	if len(v.Notes) > 0 {
		heading(&p, "Notes")
		for _, n := range v.Notes {
			p.bullet(n)
		}
	}
	figuresText(&p, v)
	p.line("")
	p.line("Mind")
	for _, c := range v.Cautions {
		p.bullet(c.Text)
	}
	p.bullet(safety.Defer)
	return p.to(w)
}

func heading(p *page, text string) {
	p.line("")
	p.line("%s", text)
}

func stockText(p *page, v *plan.Plan, s Style) {
	k := &v.Stock
	heading(p, "1  Stock on arrival")
	p.item("Target", fmt.Sprintf("%.1f %% MC: at home it goes from %.1f to %.1f %%. %s", k.Target, k.Low, k.High, k.Advice))
	p.item("Measure", fmt.Sprintf("%s for each wood: %s.", quantity.Count(k.Points, "place"), k.Where))
	if math.Abs(k.Warmth) >= 0.05 {
		p.item("Correct", fmt.Sprintf("at this temperature a resistance meter shows %+.1f %%, which is taken off again.", k.Warmth))
	}
	var rows [][]string
	for _, a := range k.Woods {
		reading := "–"
		if a.Reading != nil {
			reading = fmt.Sprintf("%.1f %%", *a.Reading)
		}
		rows = append(rows, []string{a.Stock + "  " + a.Species, fmt.Sprintf("%.1f %%", a.Arrival), s.size(a.Thickness), quantity.Days(a.Plank), quantity.Days(a.Ripped), reading})
	}
	p.table([]string{"wood", "arrives", "thick", "days, plank", "days, ripped", "meter at target"}, []bool{false, true, true, true, true, true}, rows)
	if k.Weigh != "" {
		p.item("Weigh", k.Weigh)
	}
	p.item("Refuse", k.Refuse)
	p.item("Gluing", k.AtGluing)
}

func cutText(p *page, v *plan.Plan, s Style) {
	c := &v.CutList
	heading(p, "2  Cut list")
	var rows [][]string
	for _, t := range c.Sticks {
		rows = append(rows, []string{t.ID, fmt.Sprint(t.Count), t.Stock + "  " + t.Species, s.size(t.Width), s.size(t.Thickness), s.size(t.Length), s.size(t.RoughWidth) + " × " + s.size(t.RoughThickness) + " × " + s.size(t.RoughLength)})
	}
	p.table([]string{"stick", "n", "wood", "wide", "thick", "long", "rough"}, []bool{false, true, false, true, true, true, true}, rows)
	for _, t := range c.Sticks {
		p.note(fmt.Sprintf("%s: rings %s. For %s.", t.ID, t.Rings, t.For))
	}
	for _, n := range c.Panels {
		p.item("Panel "+n.Name, fmt.Sprintf("%s, %s wide, %s thick, %s long; %s of %s with a kerf of %s, %s.", quantity.Count(n.Sticks, "stick"), s.size(n.Width), s.size(n.Thickness), s.size(n.Length), quantity.Count(n.Slices, "slice"), s.size(c.Slice), s.size(c.Kerf), turnedOf(n.Turned, n.Slices)))
	}
	rows = nil
	for _, t := range c.Woods {
		cost := ""
		if t.Cost != nil {
			cost = fmt.Sprintf("%.2f", *t.Cost)
		}
		rows = append(rows, []string{t.Stock + "  " + t.Species, fmt.Sprintf("%.2f l", t.Finished), fmt.Sprintf("%.2f l", t.Rough), fmt.Sprintf("%.2f l", t.Buy), fmt.Sprintf("%.2f", t.BuyFeet), percent(t.Yield), cost})
	}
	p.table([]string{"wood", "in the board", "rough", "buy", "board feet", "yield", "cost"}, []bool{false, true, true, true, true, true, true}, rows)
	for _, o := range c.Offcuts {
		p.note(fmt.Sprintf("Left over: %d × %s of %s, %s.", o.Count, s.size(o.Length), o.From, o.Text))
	}
}

// turnedOf tells how many of some slices are laid otherwise.
func turnedOf(turned, of int) string {
	switch turned {
	case 0:
		return "none turned"
	case of:
		return "all turned"
	}
	return fmt.Sprintf("%d of them turned", turned)
}

func glueText(p *page, v *plan.Plan, s Style) {
	g := &v.GlueUps
	heading(p, "3  Glue-ups in order")
	if len(g.GlueUps) == 0 {
		p.item("Glue", "Nothing is glued.")
		return
	}
	p.item("Glue", fmt.Sprintf("%s, %.0f g in all, %.0f g/m²; wood at %g to %g %% MC; open %.0f min, clamped %.0f min, %.0f h until worked, in this shop.", g.Glue, math.Ceil(g.Total), g.Spread, g.MCLow, g.MCHigh, math.Floor(g.Open), math.Ceil(g.Clamped), math.Ceil(g.Cure)))
	for _, c := range g.Cautions {
		p.item("Mind", c)
	}
	for _, u := range g.GlueUps {
		text := fmt.Sprintf("%s, %.0f g: %s. %.1f MPa for %s, %.1f kN: %s behind stiff cauls (%d without, no more than %s apart), jaws %s.", quantity.Count(u.Joints, "joint"), math.Ceil(u.Grams), u.Text, u.Pressure, u.Softest, u.Force, quantity.Count(u.Clamps, "clamp"), u.Bare, s.size(u.Apart), s.size(u.Reach))
		if u.Times > 1 {
			text = fmt.Sprintf("%d times. ", u.Times) + text
		}
		if u.Wait > g.Cure {
			text += fmt.Sprintf(" Wait %s for %s.", span(u.Wait), u.WaitFor)
		}
		p.line("- %s", u.Name)
		p.note(text)
	}
}

func flatText(p *page, v *plan.Plan, s Style) {
	f := &v.Flattening
	heading(p, "4  Flattening")
	p.item("Leave", fmt.Sprintf("%s in all: cup %s, bow %s, twist %s, saw %s, slip %s, clean-up %s.", s.size(f.Leave), s.size(f.Cup), s.size(f.Bow), s.size(f.Twist), s.size(f.Saw), s.size(f.Slip), s.size(f.Clean)))
	for _, b := range f.Stages {
		p.note(fmt.Sprintf("%s: cup %s, bow %s, twist %s", b.Name, s.change(b.Cup), s.change(b.Bow), s.change(b.Twist)))
	}
	p.item("Thinnest", f.Thinnest+".")
	p.item("Mind", f.Safety)
}

func surfaceText(p *page, v *plan.Plan) {
	u := &v.Surface
	heading(p, "5  Surface")
	grits := ""
	for i, g := range u.Grits {
		if i > 0 {
			grits += ", "
		}
		grits += fmt.Sprint(g)
	}
	p.item("Grits", grits+".")
	finish := u.Finish + "."
	if u.Coats > 0 {
		finish = fmt.Sprintf("%s, %s, %.0f h between.", u.Finish, quantity.Count(u.Coats, "coat"), u.Between)
	}
	if u.Drink != nil {
		finish += fmt.Sprintf(" The first coat takes %.0f g and up to %s to draw in.", math.Ceil(u.Grams), span(*u.Drink/60))
	}
	if u.Cure > 0 {
		finish += fmt.Sprintf(" %s before food.", quantity.Count(int(math.Ceil(u.Cure)), "day"))
	}
	p.item("Finish", finish)
	for _, t := range u.Text {
		p.bullet(t)
	}
}

func careText(p *page, c *plan.Card) {
	heading(p, "6  Care card")
	p.item("Air", c.Air)
	for _, n := range c.Never {
		why := string(n.Verdict)
		if n.Bends && n.Verdict == verdict.Holds {
			why = "it warps"
		}
		p.item("Mind", n.Text+" ("+why+")")
	}
	for _, l := range []struct{ name, text string }{{"Daily", c.Daily}, {"Oil", c.Oil}, {"Cupped", c.Cups}, {"Hairline", c.Hairline}, {"Woods", c.Allergens}, {"Food", c.Food}} {
		p.item(l.name, l.text)
	}
}

func calendarText(p *page, v *plan.Plan) {
	heading(p, "7  Calendar")
	var rows [][]string
	for _, t := range v.Calendar.Tasks {
		mark := ""
		switch {
		case t.Longest:
			mark = "decides"
		case t.Critical:
			mark = "critical"
		case t.Slack > 0:
			mark = fmt.Sprintf("%g spare", t.Slack)
		}
		rows = append(rows, []string{fmt.Sprintf("%g", t.Start), fmt.Sprintf("%g", t.Days), t.What, mark})
	}
	p.table([]string{"day", "days", "", ""}, []bool{true, true, false, false}, rows)
}

// figuresText lists what went in and where it comes from, each figure once, those of
// one source together.
func figuresText(p *page, v *plan.Plan) {
	heading(p, "What went in")
	told := map[string]bool{}
	var sources []string
	by := map[string][]string{}
	for _, f := range v.Figures() {
		if told[f.Key] {
			continue
		}
		told[f.Key] = true
		text := fmt.Sprintf("%s%s%g", strings.ReplaceAll(f.Key, "-", " "), joined, f.Value)
		if f.Unit != "1" {
			text += joined + strings.ReplaceAll(f.Unit, " ", joined)
		}
		if by[f.Source] == nil {
			sources = append(sources, f.Source)
		}
		by[f.Source] = append(by[f.Source], text)
	}
	for _, s := range sources {
		p.bullet(strings.TrimSuffix(s, ".") + ": " + strings.Join(by[s], ", ") + ".")
	}
}
