package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Crushing derives the hardest pressure on any joint over what crushes the softer wood
// beside it.
func Crushing(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	if j.Press.Joint < 0 {
		return Nothing(f, "No joint is pressed."), nil
	}
	at := &j.Press
	d := jointOf(newBase(m, j, f.Of, at.State, at.Hour), at)
	d.d.Text = "Pressure on " + d.between()
	d.remembered(at.Load, d.members())
	p := m.PressedMost(d.index, at.Load)
	n := d.opening(fmt.Sprintf("on the stretch pressed hardest, %.3g to %.3g mm along it", p.From, p.To), at.Load, &p.Stretch)
	var crush [2]Number
	for s, letter := range sides {
		var printed []Number
		if v, ok := m.Sides[d.side[s]].Strength.Values["compression_perp"]; ok {
			printed = append(printed, looked("f_p"+letter, v, "MPa at 12 % MC"))
		}
		crush[s] = d.bears("pressure across the grain that crushes "+d.called(d.side[s]), "f_c"+letter, p.Crush[s], printed)
	}
	u := max(0, at.D.Press)
	d.holds("pressure over what crushes the softer side", "u_c = max(0, −N)/min(f_cA, f_cB)", "1", u, nil,
		"told beside the verdict; "+wordOf(u, "u_c"), n, crush[0], crush[1])
	return d.done()
}
