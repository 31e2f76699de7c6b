package report

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
)

// stages tells the glue-ups of a board in the order of time, and what each leaves in it.
func stages(p *page, r *check.Report) {
	if len(r.Stages) == 0 {
		return
	}
	p.line("")
	p.line("Glued in stages (what moves after a glue-up strains what is glued by then, and stays)")
	var rows [][]string
	for _, st := range r.Stages {
		after, stress := "", ""
		if st.Days > 0 {
			after = fmt.Sprintf("%g days", st.Days)
		}
		if st.Joint != "" {
			stress = fmt.Sprintf("%s of strength at %s", percent(st.Stress), st.Joint)
		}
		rows = append(rows, []string{st.Name, after, moistures(st.Moisture), percent(st.Share), stress})
	}
	p.table([]string{"", "after", "% MC", "of the worst place", "until the next glue-up"}, []bool{false, true, true, true, false}, rows)
	if r.AtOnce > 0 {
		p.note(fmt.Sprintf("Glued all at once, its pieces as moist as each was, the worst glue line would be at %s then.", percent(r.AtOnce)))
	}
}
