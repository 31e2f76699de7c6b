package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/pair"
)

// Pair writes the answer to a pair of woods. The error is the writer's.
func Pair(w io.Writer, r *pair.Result, s Style) error {
	var p page
	p.line("%s  %s and %s", strings.ToUpper(string(r.Verdict)), strings.ToLower(r.A.CommonName), strings.ToLower(r.B.CommonName))
	for _, l := range wrap(r.Headline, width) {
		p.line("%s", l)
	}
	notices(&p, r.Notices)
	p.line("")
	for _, reason := range r.Reasons {
		p.bullet(reason.Text)
	}
	p.line("")
	var rows [][]string
	for _, c := range r.Checks {
		rows = append(rows, []string{c.Text, string(c.Verdict), fmt.Sprintf("%d %%", r.Words.Percent(c.Utilisation)), against(c.Tension, c.TensionCapacity), against(c.Shear, c.ShearCapacity)})
	}
	p.table([]string{"check", "verdict", "of what it bears", "pull of MPa", "shear of MPa"}, []bool{false, false, true, true, true}, rows)
	for _, c := range r.Pressed {
		p.item("pressed", fmt.Sprintf("%s: %.2f of %.2f MPa, an estimate", c.Text, c.Stress, c.Capacity))
	}
	p.line("")
	for _, side := range []struct {
		name string
		pair.Side
	}{{"a", r.A}, {"b", r.B}} {
		p.item(side.name, fmt.Sprintf("%s, rings at %.0f°, grain %s, %.1f to %.1f %% MC; wants %+.2f mm a metre along the joint, %+.2f across; T/R %.1f, %.0f kg/m³%s",
			side.CommonName, side.RingAngle, side.Grain, side.From, side.To, tidy(1000*side.Along, 2), tidy(1000*side.Normal, 2), side.TRRatio, side.Density, glues(side.Bonding)))
	}
	p.item("free pair", fmt.Sprintf("bows %s in its plane", s.change(r.Bow.Rise)))
	derivation(&p, r.Derivation)
	p.line("")
	for _, a := range r.Assumptions {
		p.bullet(a)
	}
	if len(r.Estimated) > 0 {
		p.bullet("weak inputs: " + strings.Join(r.Estimated, ", "))
	}
	return p.to(w)
}

// notices asks about what is possible but hardly meant.
func notices(p *page, list notice.List) {
	const asked, most = "Is this right?", 4
	for i, n := range list {
		if more := len(list) - most; i == most && more > 1 { // twelve months with one slip are one slip
			p.line("%s And %d more places like these: --json tells them all.", asked, more)
			return
		}
		text := strings.TrimSpace(strings.TrimSuffix(n.Text, asked))
		for _, l := range wrap(asked+" "+n.Pointer+": "+text, width) {
			p.line("%s", l)
		}
	}
}

// against writes a stress and what bears it, MPa.
func against(stress, capacity float64) string {
	if stress == 0 || capacity == 0 {
		return "–"
	}
	return fmt.Sprintf("%.2f of %.2f", stress, capacity)
}

func glues(class string) string {
	if class == "" {
		return ""
	}
	return ", bonds " + strings.ReplaceAll(class, "-", " ")
}

// Movement writes the free change of one piece. The error is the writer's.
func Movement(w io.Writer, r movement.Result, s Style) error {
	var p page
	p.line("%s  %s of %s, rings at %.0f°", s.change(r.Change), r.Dimension, r.Species, r.RingAngle)
	notices(&p, r.Notices)
	p.line("")
	p.item("from", fmt.Sprintf("%s at %.1f %% MC", s.size(r.Size), r.FromMC))
	p.item("to", fmt.Sprintf("%s at %.1f %% MC (%+.2f %%)", s.size(r.NewSize), r.ToMC, tidy(r.Percent, 2)))
	if r.Skew != 0 {
		p.item("section", fmt.Sprintf("leans by %.2f mm in 100 mm", tidy(100*r.Skew, 2)))
	}
	for _, warning := range r.Warnings {
		p.item("mind", warning)
	}
	derivation(&p, r.Derivation)
	return p.to(w)
}

// derivation writes the steps, one formula a line with its numbers below.
func derivation(p *page, steps []movement.Step) {
	if len(steps) == 0 {
		return
	}
	p.line("")
	p.line("How it comes about")
	for _, step := range steps {
		p.bullet(fmt.Sprintf("%s: %s = %s = %.6g %s", step.Name, step.Result.Symbol, formula(step), step.Result.Value, step.Result.Unit))
		var parts []string
		for _, in := range step.Inputs {
			parts = append(parts, strings.TrimSuffix(fmt.Sprintf("%s = %.6g %s", in.Symbol, in.Value, in.Unit), " 1"))
		}
		for _, l := range wrap("with "+strings.Join(parts, ", "), width-4) {
			p.line("    %s", l)
		}
	}
}

// formula is the right-hand side of a step's formula.
func formula(step movement.Step) string {
	return strings.TrimPrefix(step.Formula, step.Result.Symbol+" = ")
}
