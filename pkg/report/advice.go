package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/window"
)

// mostTurns is how many turned blocks a text names.
const mostTurns = 60

// Improvement tells what a search found: the verdicts first, then what to do.
func Improvement(w io.Writer, r *arrange.Result) error {
	var p page
	p.item("Before", figure(r.Before))
	p.item("After", figure(r.After))
	luck(&p, &r.After)
	switch {
	case r.Changed == 0 && len(r.Swaps) == 0:
		p.item("To do", "Nothing found that helps: the board stays as it is.")
	case r.Changed > 0:
		parts := arrange.StepSorts(r.Steps)
		if len(r.Turns) > 0 {
			parts = append(parts, sorts(r.Turns)+" to turn")
		}
		p.item("To do", strings.Join(parts, "; ")+".")
	}
	if len(r.Glued) > 0 {
		p.item("Stays", "glued already: "+strings.Join(r.Glued, ", ")+".")
	}
	for _, s := range r.Swaps {
		p.bullet(fmt.Sprintf("use %s instead of %s", s.To, s.From))
	}
	for i := range r.Steps {
		p.bullet(r.Steps[i].Text() + until(&r.Steps[i]))
	}
	for i, t := range r.Turns {
		if i == mostTurns {
			p.bullet(fmt.Sprintf("and %d more: see the new board file", len(r.Turns)-i))
			break
		}
		from := ""
		if t.Piece != "" {
			from = "take " + t.Piece + ", "
		}
		p.bullet(fmt.Sprintf("%s: %s%s (rings at %g° become %g°)", t.Place, from, t.How, t.Was, t.Ring))
	}
	end := ""
	if r.End != arrange.EndDone {
		end = fmt.Sprintf(" Ended early (%s): this is the best so far.", r.End)
	}
	p.item("Looked at", strings.Join(r.LookedAt, ", ")+", before and after, as a check does.")
	by := ""
	if r.Surrogate != "" {
		by = " by " + r.Surrogate
	}
	p.item("Searched", fmt.Sprintf("%d arrangements estimated, %d solved exactly%s.%s", r.Trials, r.Solved, by, end))
	if r.Changed > 0 {
		mind(&p, r.Cautions)
	}
	return p.to(w)
}

// until tells the glue-up before which something is done.
func until(s *arrange.Step) string {
	switch panel, ok := strings.CutPrefix(s.Before, "panel."); {
	case s.Kind == arrange.SwapSticks && ok:
		return ", before panel " + panel + " is glued"
	case s.Kind == arrange.TurnSlice || s.Kind == arrange.SwapSlices:
		return ", when the rows are glued"
	}
	return ""
}

// figure tells a verdict with its place.
func figure(f check.Figure) string {
	text := fmt.Sprintf("%s: %s of what it bears", f.Verdict, whole(f.Percent()))
	if !f.ByWorst() {
		return fmt.Sprintf("%s: %s, %s of what %s; cracks %s.", f.Verdict, check.ModeName(f.Mode), whole(f.Percent()), limit(f.Mode), percent(f.Utilisation))
	}
	if f.Worst != "" {
		text += fmt.Sprintf(", at %s (%s)", f.Worst, f.State)
	}
	return text + "."
}

// luck tells of a board whose rings nobody has looked at how it may come out.
func luck(p *page, f *check.Figure) {
	if f.Rings != nil {
		p.item("Rings", f.Rings.Text)
	}
}

// sorts counts what is turned, sort by sort.
func sorts(turns []arrange.Turn) string {
	var parts []string
	for _, s := range arrange.Sorts(turns) {
		parts = append(parts, s.Text)
	}
	return strings.Join(parts, " and ")
}

// atTheMachine are the topics that go with turning, planing and cutting blocks; a
// check tells the others too.
var atTheMachine = []string{"dust", "machines", "end grain"}

// mind reminds of what hurts people in the shop.
func mind(p *page, list []safety.Caution) {
	p.line("")
	p.line("Mind in the shop")
	for _, c := range list {
		if slices.Contains(atTheMachine, c.Topic) {
			p.bullet(c.Text)
		}
	}
	p.bullet(safety.Defer)
}

// Advice tells what would help, the most helpful first.
func Advice(w io.Writer, a *advice.Advice) error {
	var p page
	p.item("Now", figure(a.Now)+" Looked at: "+strings.Join(a.LookedAt, ", ")+".")
	luck(&p, &a.Now)
	changes(&p, a.Moves)
	if len(a.Moves) == 0 {
		p.item("To do", "Nothing found that takes away a twentieth or more.")
	}
	if len(a.Design) > 0 {
		heading(&p, "Another board: what would help beyond the build of the file")
		changes(&p, a.Design)
		p.line("")
	}
	if len(a.Tried) > 0 {
		p.item("no gain", strings.ReplaceAll(strings.Join(a.Tried, ", "), "-", " ")+": worked out, and less than a twentieth better or worse.")
	}
	p.item("Searched", "ranked by "+a.Ranked+".")
	for _, s := range a.Skipped {
		p.item("left out", s+".")
	}
	if len(a.Moves)+len(a.Design) > 0 {
		mind(&p, a.Cautions)
	}
	return p.to(w)
}

// changes tells single changes, each with what it comes to.
func changes(p *page, list []advice.Candidate) {
	for i := range list {
		m := &list[i]
		text := fmt.Sprintf("%s. %s Costs: %s.", m.Verdict, m.Text, m.Cost.Text)
		if m.Note != "" {
			text += " " + m.Note
		}
		p.item(whole(m.Percent()), text)
	}
}

// Windows tells a care card.
func Windows(w io.Writer, v *window.Windows, s Style) error {
	var p page
	s.Inches = s.Inches || v.Units == "in"
	p.item("Now", figure(v.Now)+" Looked at: "+strings.Join(v.LookedAt, ", ")+".")
	luck(&p, &v.Now)
	speed := map[bool]string{false: "within days", true: "over a season"}
	word := func(below float64) string {
		if below <= verdict.FromTight {
			return string(verdict.Holds)
		}
		return string(verdict.Holds) + " or is " + string(verdict.Tight)
	}
	for _, h := range v.Humidity {
		p.item("Air", fmt.Sprintf("Settled, it %s %s at 20 °C when the air changes %s.", word(h.Below), between(h), speed[h.Season]))
	}
	for _, c := range v.Shifts {
		p.item("Moisture", fmt.Sprintf("Settled, it %s when all wood changes by %.1f to +%.1f %% MC from gluing, %s.", word(c.Below), tidy(c.Drying, 1), tidy(c.Wetting, 1), speed[c.Season]))
	}
	words := func(below float64) string {
		if below <= verdict.FromTight {
			return "hold"
		}
		return "hold or are tight"
	}
	evened := map[bool]string{false: "once that has evened out within days", true: "over a season in their home"}
	for _, c := range v.Spread {
		p.item("Glue-up", fmt.Sprintf("Sticks, or single blocks, may be anywhere within %.1f %% MC of each other when glued (within %.1f when damp and dry ones take turns), and nineteen boards in twenty %s, %s; %s decides.", c.Spread, c.Alternating, words(c.Below), evened[c.Season], c.Worst))
	}
	sized := func(name, what string, z *window.SizeWindow) {
		switch {
		case z == nil:
		case z.Largest == 0:
			p.item(name, "No "+what+" of this construction stays below doubtful under all that was looked at.")
		case z.Next == 0:
			p.item(name, fmt.Sprintf("Any %s up to %s, the largest tried, stays below doubtful under all that was looked at.", what, s.size(z.Largest)))
		default:
			p.item(name, fmt.Sprintf("A %s up to %s stays below doubtful under all that was looked at; %s does not.", what, s.size(z.Largest), s.size(z.Next)))
		}
	}
	sized("Border", "border", v.Border)
	sized("Field", "field", v.Field)
	p.item("Note", strings.Join(v.Notes, " "))
	for _, t := range v.Skipped {
		p.item("left out", t+".")
	}
	return p.to(w)
}
