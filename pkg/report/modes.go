package report

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// modes sets the ways in which a board fails side by side, and tells of those that
// come near their limit why and what would help.
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
		rows = append(rows, []string{o.Name, word, percent(*o.Figure), between(o), where, o.State})
	}
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.line("Ways to fail (the worst gives the word; what is in brackets is told only)")
	p.table([]string{"", "verdict", "of limit", "nine in ten", "where", "when"}, []bool{false, false, true, true, false, false}, rows)
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
var shortNames = map[string]string{check.EndOpens: "ends", check.OutOfFlat: "flat", check.GlueGives: "glue"}

// between is the range of a figure, where it has one.
func between(o *check.Mode) string {
	if o.Low == nil || verdict.Percent(*o.Low) == verdict.Percent(*o.High) {
		return ""
	}
	return fmt.Sprintf("%d–%d %%", verdict.Percent(*o.Low), verdict.Percent(*o.High))
}
