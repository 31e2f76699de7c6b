package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Bond derives what an exposure asks of the glue itself: hours in water and heat, each
// over what its class is tested for.
func Bond(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, f.State, 0)
	h, _ := d.history()
	if h == nil {
		return d.done()
	}
	a := &m.Adhesive
	class := func(symbol string, v float64, unit, note string) Number {
		return Number{Symbol: symbol, Value: v, Unit: unit, Source: a.Source, Status: a.Status, Note: note}
	}
	d.d.Text = fmt.Sprintf("What the exposure %s asks of the glue, %s.", f.State, a.Name)
	wet := given("t_w", h.Bond.Wet, "h", "the longest that water stands on a face")
	hot := given("T_h", h.Bond.Hot, "°C", "the hottest air at a face")
	iw := d.reckon("time in water over that of its test", "i_w = t_w/t_s", "1", []string{"EN204"}, wet, class("t_s", a.Soak, "h", "in cold water that the class is tested for"))
	ih := d.reckon("heat over what softens it", "i_h = max(0, T_h − T_0)/(T_s − T_0)", "1", []string{"SOFTENING", "PVASOFT"}, hot,
		given("T_0", influence.HeatFrom(), "°C", "a hot room, from which heat is counted: data/adhesive_judgements.csv"), class("T_s", a.Heat, "°C", "at which the bond begins to soften, or to which its class is tested"))
	i := Number{}
	if h.Bond.By == influence.ByNever {
		i = d.holds("what no glue of any class is tested for", "i = max(i_w, i_h, 1)", "1", f.Value, []string{"TANRAD-EST"}, h.LoadHistory.Shown.Never, iw, ih)
	} else {
		i = d.holds("the larger of the two", "i = max(i_w, i_h)", "1", f.Value, nil, "", iw, ih)
	}
	d.chance(i, f)
	return d.done()
}
