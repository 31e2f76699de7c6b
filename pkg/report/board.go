package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
)

// Board writes the answer to one board. A maker finds in the first lines what
// happens, where, when and why; below stand the causes, the seasons and events,
// the change of size, whether a crack would run, the joints, how likely and how
// sure it all is, and what to mind in the shop. The error is the writer's.
func Board(w io.Writer, r *check.Report, s Style) error {
	var p page
	top(&p, r)
	if o := other(r); o != nil {
		p.line("")
		placeOf(&p, r, o, s)
		if r.Worst != nil {
			p.line("")
			p.line("The worst joint or piece by what pulls there, at %s of what it bears", whole(r.Words.Percent(r.Utilisation)))
		}
	}
	worst(&p, r, s)
	modes(&p, r, s)
	causes(&p, r)
	stages(&p, r)
	states(&p, r, s)
	exposures(&p, r, s)
	size(&p, r, s)
	cracks(&p, r, s)
	joints(&p, r, s)
	chance(&p, r)
	limitations(&p, r)
	sanity(&p, r)
	cautions(&p, "At glue-up", r.GlueUp)
	cautions(&p, "Mind in the shop (local rules come first)", r.Safety)
	return p.to(w)
}

func worst(p *page, r *check.Report, s Style) {
	if r.Worst == nil {
		return
	}
	if other(r) == nil {
		p.line("")
	}
	worst := r.Worst
	where := "inside piece " + worst.Piece + wood(r, worst.Piece)
	for _, j := range r.Joints {
		if j.ID == worst.Joint {
			where = fmt.Sprintf("between %s%s and %s%s", j.A, wood(r, j.A), j.B, wood(r, j.B))
		}
	}
	if worst.Level != "" {
		where += ", " + worst.Level
	}
	p.item("where", fmt.Sprintf("%s; %s from the left and %s from the bottom of the board", where, s.size(worst.Place[0]), s.size(worst.Place[1])))
	p.item("when", worst.When)
	how := worst.How
	if worst.Joint != "" {
		how += fmt.Sprintf(": %.2f MPa %s the joint and %.2f MPa along it", math.Abs(worst.Normal), pulls(worst.Normal), math.Abs(worst.Shear))
	}
	if worst.Elastic > r.Utilisation*1.005 {
		how += fmt.Sprintf(". That is %s of what it bears; it would be %s if stress did not ease with time", whole(r.Words.Percent(r.Utilisation)), percent(worst.Elastic))
	}
	p.item("how", how)
	p.item("weakest", worst.Weakest)
	p.item("why", worst.Why)
}

// wood names the wood of a piece, in brackets.
func wood(r *check.Report, id string) string {
	if name := woodOf(r, id); name != "" {
		return " (" + name + ")"
	}
	return ""
}

// woodOf names the wood of a piece, "" where no piece has the id.
func woodOf(r *check.Report, id string) string {
	for i := range r.Pieces {
		if r.Pieces[i].ID == id {
			return strings.ReplaceAll(r.Pieces[i].Species, "-", " ")
		}
	}
	return ""
}

func pulls(normal float64) string {
	if normal < 0 {
		return "pressing on"
	}
	return "opening"
}

// causes shows what makes the stress at the worst place: mechanisms as bars, pieces and
// woods in a line each.
func causes(p *page, r *check.Report) {
	const most, least = 4, 0.05
	of := func(kind string) []check.Share {
		var out []check.Share
		for _, c := range r.Causes {
			if c.Kind == kind && len(out) < most && math.Abs(c.Share) >= least {
				out = append(out, c)
			}
		}
		return out
	}
	if len(r.Causes) == 0 {
		return
	}
	p.line("")
	p.line("Causes there (shares sum to 100 %%; what is negative eases it)")
	for _, c := range of("mechanism") {
		p.line("  %6s  %-16s  %s", percent(c.Share), bar(c.Share, 16), c.Name)
	}
	for _, kind := range []string{"piece", "wood"} {
		var parts []string
		for _, c := range of(kind) {
			parts = append(parts, percent(c.Share)+" "+c.Name)
		}
		p.item("  by "+kind, strings.Join(parts, ", "))
	}
}

// bar draws a share with at most n signs.
func bar(share float64, n int) string {
	sign := "#"
	if share < 0 {
		sign = "-"
	}
	return strings.Repeat(sign, min(n, int(math.Round(math.Abs(share)*float64(n)))))
}

func size(p *page, r *check.Report, s Style) {
	p.line("")
	p.line("Size")
	p.item("  glued", fmt.Sprintf("%s × %s × %s", s.size(r.Width), s.size(r.Height), s.size(r.Thickness)))
	p.item("  moves", fmt.Sprintf("width %s to %s, height %s to %s over all of the above",
		s.change(r.Size.WidthMin-r.Width), s.change(r.Size.WidthMax-r.Width),
		s.change(r.Size.HeightMin-r.Height), s.change(r.Size.HeightMax-r.Height)))
	w, h := r.Size.WidthMax-r.Width, r.Size.HeightMax-r.Height
	if w > 0 || h > 0 {
		p.item("  recess", fmt.Sprintf("in a tray or frame leave %s of width and %s of height free, fitted at the size when glued", s.gap(w), s.gap(h)))
	}
	for i := range r.Exposures {
		var parts []string
		for _, k := range r.Exposures[i].Responses {
			parts = append(parts, fmt.Sprintf("%s in %s half of the way, in %s nearly all (90 %%)", strings.ToLower(k.Kind), reply(k.Half, k), reply(k.Ninety, k)))
		}
		p.item("  follows", strings.Join(parts, "; "))
	}
}

// reply is a time of following the air in words.
func reply(hours *float64, k check.Reply) string {
	if hours == nil {
		return fmt.Sprintf("more than %g%syears", k.BeyondYears, joined)
	}
	return span(*hours)
}

func sanity(p *page, r *check.Report) {
	if c := r.Check; c != nil {
		p.bullet(fmt.Sprintf("one wood with rings alike has a known answer, no stress and free movement: found %.0e MPa, and sizes within %.0e of it", c.Stress, math.Max(c.Width, c.Height)))
	}
}

func cautions(p *page, title string, list []check.Caution) {
	if len(list) == 0 {
		return
	}
	p.line("")
	p.line("%s", title)
	for _, c := range list {
		p.bullet(c.Text)
	}
}
