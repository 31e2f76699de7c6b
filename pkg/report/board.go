package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
)

// Board writes the answer to one board: the verdict, the worst joint, when, how
// and why, the change of size, the states, a table of joints, what the answer
// leans on, and what to mind in the shop. The error is the writer's.
func Board(w io.Writer, r *check.Report, s Style) error {
	var p page
	name := ""
	if r.Name != "" {
		name = "  " + r.Name
	}
	p.line("%s%s", strings.ToUpper(string(r.Verdict)), name)
	for _, l := range wrap(r.Headline, width) {
		p.line("%s", l)
	}
	p.line("")
	worst(&p, r)
	causes(&p, r)
	size(&p, r, s)
	states(&p, r, s)
	joints(&p, r, s)
	honesty(&p, r)
	cautions(&p, r)
	return p.to(w)
}

func worst(p *page, r *check.Report) {
	if r.Worst == nil {
		return
	}
	worst := r.Worst
	where := "joint " + worst.Joint
	if worst.Joint == "" {
		where = "inside piece " + worst.Piece
	}
	if worst.Level != "" {
		where += ", " + worst.Level
	}
	p.item("where", fmt.Sprintf("%s, at %.0f, %.0f mm from the lower left", where, worst.Place[0], worst.Place[1]))
	p.item("when", worst.When)
	how := worst.How
	if worst.Joint != "" {
		how += fmt.Sprintf(": %.2f MPa %s the joint and %.2f MPa along it", math.Abs(worst.Normal), pulls(worst.Normal), math.Abs(worst.Shear))
	}
	p.item("how", how)
	p.item("gives", worst.Weakest)
	p.item("why", worst.Why)
}

func pulls(normal float64) string {
	if normal < 0 {
		return "pressing on"
	}
	return "opening"
}

func causes(p *page, r *check.Report) {
	const most = 4
	for _, kind := range []string{"piece", "wood", "mechanism"} {
		var parts []string
		for _, c := range r.Causes {
			if c.Kind == kind && len(parts) < most && math.Abs(c.Share) >= 0.05 {
				parts = append(parts, percent(c.Share)+" "+c.Name)
			}
		}
		p.item("by "+kind, strings.Join(parts, ", "))
	}
	if c := r.Checking; c != nil {
		p.item("checking", fmt.Sprintf("%s: %s of %s, in %s. %s", c.Verdict, c.Level, c.Piece, c.Exposure, c.Text))
	}
	if r.Chance != nil {
		p.item("chance", r.Chance.Text)
	}
}

func size(p *page, r *check.Report, s Style) {
	p.item("size", fmt.Sprintf("%s × %s × %s when glued; width %s to %s, height %s to %s",
		s.size(r.Width), s.size(r.Height), s.size(r.Thickness),
		s.change(r.Size.WidthMin-r.Width), s.change(r.Size.WidthMax-r.Width),
		s.change(r.Size.HeightMin-r.Height), s.change(r.Size.HeightMax-r.Height)))
}

func states(p *page, r *check.Report, s Style) {
	p.line("")
	p.line("States and events")
	var rows [][]string
	for _, st := range r.States {
		rows = append(rows, []string{st.Name, string(st.Verdict), percent(st.Utilisation), moistures(st.Moisture), s.change(st.Width), s.change(st.Height), ""})
	}
	for _, e := range r.Exposures {
		rows = append(rows, []string{e.Name, string(e.Verdict), percent(e.Utilisation), "", "", "", "cup " + s.change(e.Cup)})
	}
	p.table([]string{"", "verdict", "of bearing", "% MC", "width", "height", ""}, []bool{false, false, true, true, true, true, false}, rows)
}

// moistures tells the range of a state's moistures.
func moistures(m map[string]float64) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range m {
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	switch {
	case len(m) == 0:
		return ""
	case hi-lo < 0.05:
		return fmt.Sprintf("%.1f", hi)
	}
	return fmt.Sprintf("%.1f–%.1f", lo, hi)
}

func joints(p *page, r *check.Report, s Style) {
	most := s.Joints
	if most == 0 {
		most = 10
	}
	worst := slices.Clone(r.Joints)
	slices.SortStableFunc(worst, func(a, b check.Joint) int {
		switch {
		case a.Utilisation > b.Utilisation:
			return -1
		case a.Utilisation < b.Utilisation:
			return 1
		}
		return 0
	})
	p.line("")
	count := map[check.Verdict]int{}
	for _, j := range worst {
		count[j.Verdict]++
	}
	p.line("Joints: %d (%d hold, %d tight, %d doubtful, %d fail), worst first", len(worst),
		count[check.Holds], count[check.Tight], count[check.Doubtful], count[check.Fails])
	if most > 0 && len(worst) > most {
		worst = worst[:most]
	}
	var rows [][]string
	for _, j := range worst {
		rows = append(rows, []string{j.ID, string(j.Verdict), percent(j.Utilisation), j.How,
			fmt.Sprintf("%.2f", tidy(j.Normal, 2)), fmt.Sprintf("%.2f", tidy(math.Abs(j.Shear), 2)), j.State})
	}
	p.table([]string{"joint", "verdict", "of bearing", "how", "opening", "sliding", "state"},
		[]bool{false, false, true, false, true, true, false}, rows)
}

func honesty(p *page, r *check.Report) {
	const most = 5
	n := r.Notes
	if len(n.Estimated)+len(n.Assumptions)+len(n.NotModelled) == 0 {
		return
	}
	p.line("")
	p.line("How sure")
	if n.High > 0 {
		p.bullet(fmt.Sprintf("with the weak inputs at their ends the worst place reaches %s to %s", percent(n.Low), percent(n.High)))
	}
	for i, e := range n.Estimated {
		if i == most {
			p.bullet(fmt.Sprintf("and %d more inputs that are estimated or from memory", len(n.Estimated)-most))
			break
		}
		p.bullet(fmt.Sprintf("%s is %s", e.What, statusWords(e.Status)))
	}
	for _, a := range n.Assumptions {
		p.bullet(a)
	}
	for _, a := range n.NotModelled {
		p.bullet("not modelled: " + a)
	}
}

func statusWords(status string) string {
	if status == "memory" {
		return "from memory of its source"
	}
	return status
}

func cautions(p *page, r *check.Report) {
	if len(r.Safety) == 0 {
		return
	}
	p.line("")
	p.line("Mind in the shop (local rules come first)")
	for _, c := range r.Safety {
		p.bullet(c.Text)
	}
}
