package derive

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Shares of L²/D that a slab takes which only its wood holds back, both faces in the air:
// for half of its change and for nine tenths (Crank 1975, Eq. 4.18).
const halfWay, nineTenths = 0.0492, 0.2120

// Responses derives how long every kind of piece takes to half and to nine tenths of a
// change of air. By hand the wood and its faces hold back one after the other, which is
// exact where one of them does it alone (Crank 1975, Eqs 4.18 and 4.53). Errors: those of
// the moisture.
func Responses(ctx context.Context, m *influence.Model, f Figure) (*Derivation, error) {
	list, err := m.Responses(ctx)
	if err != nil {
		return nil, err
	}
	d := newBase(m, nil, f.Of, "", 0)
	d.d.Text = "How fast the pieces follow a sudden change of air on both faces."
	src := []string{"CRANK75"}
	for i := range list {
		r := &list[i]
		s, err := m.SlabOf(r)
		if err != nil {
			return nil, err
		}
		d.part = r.Kind
		from := given("RH_1", s.Dry, "%", "humidity before, at 20 °C")
		to := given("RH_2", s.Damp, "%", "humidity after")
		l := given("L", s.Thickness, "mm", "thickness of the board")
		diffusion := d.solved("how fast water goes through the wood", "D", "mm²/h", s.Diffusion, []string{"SIAU84", "SKAAR58"}, "at the moisture half-way", from, to)
		emission := d.solved("how fast a face takes it up", "S", "mm/h", s.Emission, []string{"ISO6946", "WH190-T16-3"}, "still air and the finish, mean of both faces, at the humidity half-way", from, to)
		for _, o := range []struct {
			name, symbol string
			hours, wood  float64
			left         float64
		}{{"half of the change", "t_50", r.Half, halfWay, 0.5}, {"nine tenths of the change", "t_90", r.Ninety, nineTenths, 0.1}} {
			c, k := given("c", o.wood, "1", "of a sheet that the wood alone holds back"), given("k", -math.Log(o.left), "1", "of one that its faces alone hold back: the logarithm of what is left")
			hand := d.reckon("by hand: hours until "+o.name, "h"+o.symbol[1:]+" = c·L^2/D + k·L/(2·S)", "h", src, l, diffusion, emission, c, k)
			if math.IsInf(o.hours, 1) {
				continue // longer than is followed
			}
			d.solved("hours until "+o.name, o.symbol, "h", o.hours, src, "diffusion through the thickness, followed in time; the diffusivity goes with moisture", from, to, l, hand)
			d.d.Compare = append(d.d.Compare, Comparison{What: r.Kind + ": hours until " + o.name, Hand: hand.Value, Solver: o.hours, Unit: "h",
				Why: "by hand wood and faces hold back one after the other, and the wood is as at the moisture half-way"})
		}
	}
	return d.done()
}
