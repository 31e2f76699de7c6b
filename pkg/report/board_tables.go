package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/verdict"
)

func states(p *page, r *check.Report, s Style) {
	if len(r.States) == 0 {
		return
	}
	p.line("")
	p.line("Settled in the air of")
	var rows [][]string
	for _, st := range r.States {
		air := ""
		if st.Humidity > 0 {
			air = fmt.Sprintf("%.0f %% at %.0f °C", st.Humidity, st.Temperature)
		}
		rows = append(rows, []string{st.Name, air, string(st.Verdict), whole(r.Words.Percent(st.Utilisation)), percent(st.Elastic), moistures(st.Moisture), s.change(st.Width), s.change(st.Height)})
	}
	p.table([]string{"", "air", "verdict", "utilisation", "elastic", "% MC", "width", "height"}, []bool{false, false, false, true, true, true, true, true}, rows)
}

// exposures lists the histories with the shape the board takes meanwhile, and
// what happens inside the wood.
func exposures(p *page, r *check.Report, s Style) {
	if len(r.Exposures) == 0 {
		return
	}
	for _, part := range []struct {
		title  string
		mishap bool
	}{{"While it happens", false}, {"Mishaps (beside the verdict)", true}} {
		var rows [][]string
		for _, e := range r.Exposures {
			if e.Mishap != part.mishap {
				continue
			}
			after := ""
			if e.After != nil {
				after = span(*e.After)
			}
			rows = append(rows, []string{e.Name, string(e.Verdict), e.Mode, whole(e.Percent()), after, s.rise(e.Cup), s.rise(e.Bow), s.rise(e.Twist)})
		}
		if len(rows) == 0 {
			continue
		}
		p.line("")
		p.line("%s", part.title)
		p.table([]string{"", "verdict", "by", "of limit", "passed after", "cup", "bow", "twist"}, []bool{false, false, false, true, true, true, true, true}, rows)
	}
	p.note("By: line, end, split, check, flat or glue, the way to fail that comes nearest, and when it passes its limit. Elastic: if no stress went away with time. Cup and bow: edges over the middle, across and along; twist: one corner over the others.")
	if c := r.Crushing; c != nil && c.Verdict != check.Holds {
		p.item("pressed", fmt.Sprintf("%s Joint %s takes %s of it (%s).", c.Text, c.Joint, percent(c.Utilisation), c.State))
	}
	if e, text := r.Checked(); e != nil {
		c := &e.Checking
		beside := "; this stands beside the verdict, for a fine check is no open joint"
		if i := slices.IndexFunc(r.Modes, func(o check.Mode) bool { return o.Mode == check.WoodChecks }); i >= 0 && r.Modes[i].Counts {
			beside = ""
		}
		p.item("checks", fmt.Sprintf("%s Pulled to %s of its strength at worst (%s of %s, %s into %s)%s.",
			text, percent(c.Utilisation), c.Level, c.Piece, span(c.Hour), e.Name, beside))
	}
}

// cracks tells the worst glue lines and splits: a crack needs stress and energy over
// one and the same stretch.
func cracks(p *page, r *check.Report, s Style) {
	all := slices.Concat(r.Lines, r.Splits)
	slices.SortStableFunc(all, func(a, b check.Crack) int {
		return cmp.Compare(verdict.Rank(b.Utilisation), verdict.Rank(a.Utilisation))
	})
	var rows [][]string
	for _, c := range all {
		if len(rows) == mostCracks || c.Utilisation < verdict.FromTight/2 {
			break
		}
		on := slices.Concat(c.Joints, c.Pieces)
		where := on[0]
		if n := len(on); n > 1 {
			where += fmt.Sprintf(" +%d", n-1)
		}
		rows = append(rows, []string{where, whole(r.Words.Percent(c.Utilisation)), c.How, s.size(c.Size), fmt.Sprintf("%.0f", c.Release), fmt.Sprintf("%.0f", c.Needed), c.Governs, c.State})
	}
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.line("Would a crack start and run? (over one stretch of a whole glue line, or through the wood)")
	p.table([]string{"path", "of load", "how", "opens", "frees", "needs", "held by", "when"},
		[]bool{false, true, false, true, true, true, false, false}, rows)
	p.note("Frees and needs in J/m². Of load: 100 % starts and runs.")
}

// mostCracks is the number of paths that are listed.
const mostCracks = 8

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
	const tie = 1e6 // joints alike by symmetry differ by round-off, which must not order them
	slices.SortStableFunc(worst, func(a, b check.Joint) int {
		return cmp.Compare(math.Round(b.Utilisation*tie), math.Round(a.Utilisation*tie))
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
	if r.Worst == nil {
		return // a table of zeros
	}
	var rows [][]string
	for _, j := range worst {
		rows = append(rows, []string{j.ID, string(j.Verdict), whole(r.Words.Percent(j.Utilisation)), j.How,
			fmt.Sprintf("%.2f", tidy(j.Normal, 2)), fmt.Sprintf("%.2f", tidy(math.Abs(j.Shear), 2)), j.State})
	}
	p.table([]string{"joint", "verdict", "utilisation", "how", "opening", "sliding", "state"},
		[]bool{false, false, true, false, true, true, false}, rows)
	p.note("Opening and sliding in MPa, means over the averaging length.")
}

func chance(p *page, r *check.Report) {
	c := r.Chance
	if c == nil {
		return
	}
	p.line("")
	p.line("How likely")
	p.bullet(c.Text)
}

func limitations(p *page, r *check.Report) {
	const most = 5
	n := r.Limitations
	if len(n.Estimated)+len(n.Assumptions)+len(n.NotModelled) == 0 {
		return
	}
	p.line("")
	p.line("How sure")
	if n.High > 0 {
		p.bullet(fmt.Sprintf("with the weak inputs off by what is likely, the worst place lies between %s and %s of what it bears", percent(n.Low), percent(n.High)))
	}
	for i, e := range n.Estimated {
		if i == most {
			p.bullet(fmt.Sprintf("and %d more inputs that are estimated or from memory", len(n.Estimated)-most))
			break
		}
		p.bullet(statusWords(e.Status) + ": " + e.What + effect(e.Effect))
	}
	for _, a := range n.Assumptions {
		p.bullet(a)
	}
	for _, a := range n.NotModelled {
		p.bullet("not modelled: " + a)
	}
}

func effect(e float64) string {
	if math.Abs(e) < 0.005 {
		return ""
	}
	return fmt.Sprintf(" (± %.0f"+joined+"%% of the answer)", 100*math.Abs(e))
}

func statusWords(status string) string {
	if status == "memory" {
		return "from memory of its source"
	}
	return status
}
