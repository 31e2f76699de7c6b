package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/window"
)

// Brief writes the answer to one board on a page: what happens, where, why, what
// to do about it, how to keep the board, what it does not survive, what to mind, and
// how sure it all is. Every figure of strength is per cent of what the place bears.
// What happens is written before helps is asked for what to do, which takes longer.
// Board tells the rest. The error is the writer's, or that of helps.
func Brief(w io.Writer, r *check.Report, s Style, helps func() (*advice.Advice, window.HumidityWindow, error)) error {
	var p page
	top(&p, r)
	p.line("")
	if o := other(r); o != nil {
		placeOf(&p, r, o, s)
	} else {
		place(&p, r, s)
	}
	others(&p, r, s, other(r))
	if err := p.to(w); err != nil {
		return err
	}
	p = page{}
	a, air, err := helps()
	if err != nil {
		return err
	}
	if a != nil { // not of a board whose rings are to be looked at first
		toDo(&p, r, a)
	}
	care := airWords(air)
	if other(r) != nil {
		care += " That is of cracks alone."
	}
	p.item("care", care)
	mishaps(&p, r)
	if n := len(r.GlueUp); n > 0 {
		text := r.GlueUp[0].Text
		if n > 1 {
			text += fmt.Sprintf(" And %d more.", n-1)
		}
		p.item("glue-up", text)
	}
	var topics []string
	for _, c := range r.Safety {
		topics = append(topics, c.Topic)
	}
	p.item("mind", safety.Short(topics...))
	p.item("how sure", sure(r))
	p.line("")
	p.line("More: tanrad check --long, tanrad advise, tanrad improve, tanrad windows.")
	return p.to(w)
}

// top is the word, the sentence and what is asked about the input.
func top(p *page, r *check.Report) {
	name := ""
	if r.Name != "" {
		name = "  " + r.Name
	}
	p.line("%s%s", strings.ToUpper(string(r.Verdict)), name)
	for _, l := range wrap(r.Headline, width) {
		p.line("%s", l)
	}
	notices(p, r.Notices)
	if r.Rings != nil {
		p.line("")
		p.item("rings", r.Rings.Text)
	}
}

// place tells where it gives, how and why.
func place(p *page, r *check.Report, s Style) {
	w := r.Worst
	if w == nil {
		return
	}
	where := w.Where + wood(r, w.Piece)
	for i := range r.Joints {
		if j := &r.Joints[i]; j.ID == w.Joint {
			where += fmt.Sprintf(" (%s on %s)", woodOf(r, j.A), woodOf(r, j.B))
		}
	}
	if w.Level != "" && w.Level != "through" {
		where += ", " + w.Level
	}
	p.item("where", fmt.Sprintf("%s; %s from the left and %s from the bottom; %s in tables", where, s.size(w.Place[0]), s.size(w.Place[1]), w.Joint+w.Piece))
	p.item("how", w.How+"; first to give is "+plainly(w.Weakest))
	p.item("why", w.Why)
}

// plainly puts the one way to give that no maker has a word for in others.
func plainly(weakest string) string {
	return strings.Replace(weakest, "rolling shear", "where fibres roll over each other", 1)
}

// toDo tells the best changes with what they come to; where another way than a crack
// gives the word and no change helps, what helps against that.
func toDo(p *page, r *check.Report, a *advice.Advice) {
	moves := slices.Concat(a.Moves, a.Design)
	switch {
	case a.Now.Verdict == check.Holds:
		return
	case len(moves) == 0 && other(r) != nil:
		p.item("to do", sentence(other(r).Helps))
	case len(a.Skipped) > 0 && len(moves) == 0:
		p.item("to do", "Not worked out here for so large a board: tanrad advise tries single changes.")
	case len(moves) == 0:
		p.item("to do", "Of the quick changes none helps: tanrad advise tries more.")
	}
	name := "to do"
	for i := range moves {
		m := &moves[i]
		if first := &moves[0]; i > 0 && m.Index >= first.Index && strings.HasPrefix(m.Text, strings.TrimSuffix(first.Text, ".")) {
			continue // the same and more, for no less
		}
		p.item(name, fmt.Sprintf("%s Then %s: %s.", m.Text, whole(m.Percent()), m.Verdict))
		name = "or"
	}
}

// airWords is the care line.
func airWords(h window.HumidityWindow) string {
	if h.None {
		return "No air keeps it below doubtful once it has settled."
	}
	return fmt.Sprintf("Once settled over a season it holds or is tight %s (20 °C).", between(h))
}

// between tells the air of a window.
func between(h window.HumidityWindow) string {
	switch {
	case h.None:
		return "in no air at all"
	case h.OpenLow && h.OpenHigh:
		return "in any air"
	case h.OpenLow:
		return fmt.Sprintf("up to %.0f %% humidity", h.High)
	case h.OpenHigh:
		return fmt.Sprintf("from %.0f %% humidity", h.Low)
	}
	return fmt.Sprintf("between %.0f and %.0f %% humidity", h.Low, h.High)
}

// mishaps tells in a line what the board does not survive, the worst first.
func mishaps(p *page, r *check.Report) {
	var list []check.Exposure
	for _, e := range r.Exposures {
		if e.Mishap {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b check.Exposure) int { return cmp.Compare(b.Index, a.Index) })
	var parts []string
	for _, word := range []struct {
		is    check.Verdict
		words string
	}{{check.Fails, "Does not survive"}, {check.Doubtful, "Doubtful"}, {check.Tight, "Tight"}, {check.Holds, "Survives"}} {
		var names []string
		for _, e := range list {
			if e.Verdict != word.is {
				continue
			}
			told := strings.ReplaceAll(e.Name, "-", " ")
			if e.Verdict != check.Holds { // what it survives needs no figure: every way has limits of its own
				told += " (" + how(&e) + whole(e.Percent()) + ")"
			}
			names = append(names, told)
		}
		if len(names) > 0 {
			parts = append(parts, word.words+": "+strings.Join(names, ", ")+".")
		}
	}
	p.item("mishaps", strings.Join(parts, " "))
}

// how is what a mishap does to a board, where it is no opening.
func how(e *check.Exposure) string {
	switch {
	case e.Never != "":
		return "never, "
	case e.Verdict == check.Holds:
		return ""
	}
	switch e.Mode {
	case check.OutOfFlat:
		return "not flat, "
	case check.WoodChecks:
		return "checks, "
	case check.GlueGives:
		return "the glue, "
	}
	return ""
}

// sure tells in a line how far to trust the figure; --long says what the range is of.
func sure(r *check.Report) string {
	var parts []string
	if c := r.Chance; c != nil && c.Board != nil {
		parts = append(parts, "Model's chance that it gives: "+check.Odds(*c.Board))
		if c.Measured != nil && check.Odds(*c.Measured) != check.Odds(*c.Board) {
			parts = append(parts, "with the moisture at gluing measured, "+check.Odds(*c.Measured))
		}
	} else if c != nil {
		parts = append(parts, "No chance: a rule of the glue gives the word")
	}
	if o := r.Governing(); o != nil {
		if text := rangeOf(o); text != "" {
			parts = append(parts, "nine boards in ten come to "+text)
		}
	}
	if len(r.Exposures) > 0 {
		parts = append(parts, "years of washing left out")
	}
	return strings.Join(parts, "; ")
}
