package report

import (
	"fmt"
	"strings"

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
		rows = append(rows, []string{o.Name, word, whole(o.Percent()), rangeOf(o), where, o.State})
	}
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.line("Ways to fail (the worst gives the word; what is in brackets is told only)")
	p.table([]string{"", "verdict", "of limit", "nine in ten", "where", "when"}, []bool{false, false, true, true, false, false}, rows)
	others(p, r, s, nil)
}

// other is the way that gives the word where the worst joint or piece does not, else nil.
func other(r *check.Report) *check.Mode {
	if r.ByWorst() {
		return nil
	}
	return r.Governing()
}

// placeOf tells where a board gives, how and why, where that is not a crack under load.
func placeOf(p *page, r *check.Report, o *check.Mode, s Style) {
	var where []string
	if o.Where != "" {
		where = append(where, o.Where+wood(r, o.Piece))
	}
	if o.Place != nil {
		where = append(where, fmt.Sprintf("%s from the left and %s from the bottom", s.size(o.Place[0]), s.size(o.Place[1])))
	}
	if id := o.Joint + o.Piece; id != "" {
		where = append(where, id+" in tables")
	}
	if o.Mode == check.OutOfFlat {
		where = append(where, "the whole board")
	}
	p.item("where", strings.Join(where, "; "))
	how := fmt.Sprintf("%s, %s of what %s", o.Name, whole(o.Percent()), limit(o.Mode))
	beyond := o.Beyond != "" && (*o.Figure < verdict.FromFails || o.When == "")
	if beyond {
		how = "outside what the model answers for, whatever is asked of it"
	}
	if o.When != "" && !beyond {
		how += ", " + o.When
	}
	p.item("how", how)
	if why := reason(o, s); !strings.Contains(r.Headline, why) {
		p.item("why", why)
	}
}

// limit says what a figure of a way is held against.
func limit(mode string) string {
	switch mode {
	case check.OutOfFlat:
		return "is let pass"
	case check.GlueGives:
		return "its class is tested for"
	case check.WoodChecks:
		return "may stay without counting"
	}
	return "it bears"
}

// reason is why a way comes near its limit, and how a bent board stands.
func reason(o *check.Mode, s Style) string {
	text := o.Why
	if o.Mode == check.OutOfFlat {
		text += fmt.Sprintf(" It stands %s off a flat top, and a corner rocks by %s.", s.gap(o.Gap), s.gap(o.Rocks))
		if o.Back != nil && *o.Back {
			text += " It comes flat again as it dries."
		}
	}
	return text
}

// sentence makes one of a list of what helps.
func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

// others tells of the ways other than a crack under load that come near their limit,
// why and what would help; not of one that is told already; and of what does not count
// for the word.
func others(p *page, r *check.Report, s Style, told *check.Mode) {
	for i := range r.Modes {
		o := &r.Modes[i]
		if o.Face != nil && o.Face.Depth > 0 && o != told {
			p.item("faces", o.Face.Text)
		}
		if o.Figure != nil && !o.Counts && *o.Figure > 0 {
			p.item(shortNames[o.Mode], strings.TrimSuffix(o.Why, ".")+"; not counted.")
			continue
		}
		if o == told || o.Figure == nil || !o.Counts || o.Verdict == check.Holds || check.IsCrack(o.Mode) {
			continue
		}
		p.item(shortNames[o.Mode], reason(o, s)+" What helps: "+o.Helps+".")
	}
}

// shortNames stand before a line.
var shortNames = map[string]string{check.WoodChecks: "checks", check.EndOpens: "ends", check.OutOfFlat: "flat", check.GlueGives: "glue"}

// rangeOf is the range of a figure, where it has one.
func rangeOf(o *check.Mode) string {
	if o.Low == nil || o.Scale().Percent(*o.Low) == o.Scale().Percent(*o.High) {
		return ""
	}
	return fmt.Sprintf("%d–%d %%", o.Scale().Percent(*o.Low), o.Scale().Percent(*o.High))
}
