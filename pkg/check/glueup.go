package check

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// glueUp says what to mind when the glue is spread.
func (m reporter) glueUp(j *influence.Judged) []Caution {
	out := []Caution{}
	worst, at := 0.0, -1
	low, high := math.Inf(1), math.Inf(-1)
	for i := range m.Board.Joints {
		a, b := m.GluedAt(i)
		if d := math.Abs(a - b); d > worst {
			worst, at = d, i
		}
		low, high = math.Min(low, math.Min(a, b)), math.Max(high, math.Max(a, b))
	}
	shop, member := adhesive.Spreads()
	switch {
	case worst > member:
		out = append(out, Caution{"moisture", fmt.Sprintf("The pieces at %s differ by %.1f %% MC; at most %g is allowed within one glued member.", m.Board.Joints[at].ID, worst, member), "Wood Handbook, FPL-GTR-190, chapter 13"})
	case worst > shop:
		out = append(out, Caution{"moisture", fmt.Sprintf("The pieces at %s differ by %.1f %% MC; careful shops keep neighbours within %g.", m.Board.Joints[at].ID, worst, shop), "common practice, no source"})
	}
	if low < m.Adhesive.MCLow || high > m.Adhesive.MCHigh {
		out = append(out, Caution{"moisture", fmt.Sprintf("%s wants wood at %g to %g %% MC; this glue-up has %s. Bonds outside that are counted at %.0f %%.", m.Adhesive.Name, m.Adhesive.MCLow, m.Adhesive.MCHigh, both(low, high), 100*adhesive.OutsideWindow()), "common practice, no source; the maker's sheet rules"})
	}
	if m.Adhesive.Softens() {
		out = append(out, Caution{"glue", m.Adhesive.Name + " softens when it stays wet: for a kitchen board choose water class D3 or better (EN 204).", "common practice, no source"})
	}
	var hard []string
	seen := map[string]bool{}
	for k := range m.Kinds {
		s := m.Kinds[k].Species
		if s.Bonding == "with-difficulty" && !seen[s.ID] {
			seen[s.ID] = true
			hard = append(hard, strings.ToLower(s.CommonName))
		}
	}
	if len(hard) > 0 {
		out = append(out, Caution{"wood", "Hard to glue: " + strings.Join(hard, ", ") + ". Plane just before gluing, choose the glue with care, and try a scrap joint first.", "Wood Handbook, FPL-GTR-190, Table 10-1"})
	}
	for _, g := range m.GlueUps(j) {
		if VerdictOf(g.Stress) == Fails {
			out = append(out, Caution{"rest", fmt.Sprintf("While %s rests, stress at %s reaches %.1f times what the wood bears: it may open before the next glue-up. Rest it shorter, or in air nearer to the moisture it was glued at.", g.Name, m.Board.Joints[g.Joint].ID, g.Stress), "worked out from the rest that the file tells"})
		}
	}
	return out
}

// cautions gives the reminders that go with the woods of a board.
func (m reporter) cautions() []Caution {
	var woods []*wood.Species
	for i := range m.Kinds {
		woods = append(woods, m.Kinds[i].Species)
	}
	out := []Caution{}
	for _, c := range safety.For(woods...) {
		out = append(out, Caution{Topic: c.Topic, Text: c.Text, Source: c.Source})
	}
	return out
}
