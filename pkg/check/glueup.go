package check

import (
	"fmt"
	"math"
	"strings"
)

// Moisture differences between neighbours at gluing, % MC: what the handbook
// allows within one glued member (Wood Handbook, FPL-GTR-190, chapter 13: five
// points), and what careful shops keep to (common practice, no source).
const (
	memberSpread = 5
	shopSpread   = 2.5
)

// glueUp says what to mind when the glue is spread.
func (m *Model) glueUp() []Caution {
	out := []Caution{}
	worst, at := 0.0, -1
	for j := range m.board.Joints {
		jt := &m.board.Joints[j]
		if d := math.Abs(m.board.Pieces[jt.A].Moisture - m.board.Pieces[jt.B].Moisture); d > worst {
			worst, at = d, j
		}
	}
	switch {
	case worst > memberSpread:
		out = append(out, Caution{"moisture", fmt.Sprintf("The pieces at %s differ by %.1f %% MC; at most 5 is allowed within one glued member.", m.board.Joints[at].ID, worst), "Wood Handbook, FPL-GTR-190, chapter 13"})
	case worst > shopSpread:
		out = append(out, Caution{"moisture", fmt.Sprintf("The pieces at %s differ by %.1f %% MC; careful shops keep neighbours within 2 to 3.", m.board.Joints[at].ID, worst), "common practice, no source"})
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range m.board.Pieces {
		low, high = math.Min(low, m.board.Pieces[i].Moisture), math.Max(high, m.board.Pieces[i].Moisture)
	}
	if low < m.glue.MCLow || high > m.glue.MCHigh {
		out = append(out, Caution{"moisture", fmt.Sprintf("%s wants wood at %g to %g %% MC; this glue-up has %.1f to %.1f. Bonds outside that are counted at 80 %%.", m.glue.Name, m.glue.MCLow, m.glue.MCHigh, low, high), "common practice, no source; the maker's sheet rules"})
	}
	if c := m.glue.WaterClass; c == "D1" || c == "D2" || m.glue.WetOverDry < 0.15 {
		out = append(out, Caution{"glue", m.glue.Name + " softens when it stays wet: for a kitchen board choose water class D3 or better (EN 204).", "common practice, no source"})
	}
	var hard []string
	seen := map[string]bool{}
	for k := range m.kinds {
		s := m.kinds[k].species
		if s.Bonding == "with-difficulty" && !seen[s.ID] {
			seen[s.ID] = true
			hard = append(hard, strings.ToLower(s.CommonName))
		}
	}
	if len(hard) > 0 {
		out = append(out, Caution{"wood", "Hard to glue: " + strings.Join(hard, ", ") + ". Plane just before gluing, choose the glue with care, and try a scrap joint first.", "Wood Handbook, FPL-GTR-190, Table 10-1"})
	}
	return out
}
