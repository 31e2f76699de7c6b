package report

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// modes sets the ways in which a board fails side by side.
func modes(p *page, r *check.Report, s Style) {
	var rows [][]string
	for i := range r.Modes {
		o := &r.Modes[i]
		if o.Figure == nil {
			rows = append(rows, []string{o.Name, "not judged", "", "", "", ""})
			continue
		}
		word, where := string(o.Verdict), o.Joint+o.Piece
		if !o.Counts {
			word = "(" + word + ")"
		}
		if o.Gap > 0.05 {
			where = s.gap(o.Gap) + " gap"
		}
		rows = append(rows, []string{o.Name, word, percent(*o.Figure), rangeOf(o), where, o.State})
	}
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.line("Ways to fail (the worst gives the word; what is in brackets is told only)")
	p.table([]string{"", "verdict", "of limit", "nine in ten", "where", "when"}, []bool{false, false, true, true, false, false}, rows)
	others(p, r, s)
}

// others tells of the ways other than a crack under load that come near their limit,
// why and what would help.
func others(p *page, r *check.Report, s Style) {
	for i := range r.Modes {
		o := &r.Modes[i]
		if o.Figure == nil || !o.Counts || o.Verdict == check.Holds || o.Mode == check.LineOpens || o.Mode == check.Splits {
			continue
		}
		text := o.Why
		if o.Mode == check.OutOfFlat {
			text += fmt.Sprintf(" It stands %s off a flat top, and a corner rocks by %s.", s.gap(o.Gap), s.gap(o.Rocks))
			if o.Back != nil && *o.Back {
				text += " It comes flat again as it dries."
			}
		}
		p.item(shortNames[o.Mode], text+" What helps: "+o.Helps+".")
	}
}

// shortNames stand before a line.
var shortNames = map[string]string{check.WoodChecks: "checks", check.EndOpens: "ends", check.OutOfFlat: "flat", check.GlueGives: "glue"}

// rangeOf is the range of a figure, where it has one.
func rangeOf(o *check.Mode) string {
	if o.Low == nil || verdict.Percent(*o.Low) == verdict.Percent(*o.High) {
		return ""
	}
	return fmt.Sprintf("%d–%d %%", verdict.Percent(*o.Low), verdict.Percent(*o.High))
}
