package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Flat derives how far a board lies out of flat in a settled state or when it is worst
// in an exposure: slopes of moisture, curvatures, rises over the limit of their lengths.
func Flat(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, f.State, 0)
	var load *influence.Load
	var gap, rocks float64
	if st := d.settled(); st != nil {
		load = st.Swelling
		at := m.StandsAt(load)
		gap, rocks = at.Gap, at.Rocks
	} else {
		h, _ := d.history()
		if h == nil {
			return d.done()
		}
		d.hour = h.Stands.Hour
		load = m.At(h.LoadHistory, h.LoadHistory.Shape, h.Stands.Time, nil)
		gap, rocks = h.Stands.Gap, h.Stands.Rocks
	}
	d.d.Text = fmt.Sprintf("How far the board lies out of flat, %s.", d.moment())
	cup, bow, twist, _ := m.Bent(load)
	narrow, long := m.Board.Height, m.Board.Width
	if m.AcrossX() {
		narrow, long = long, narrow
	}
	across := 1 // the axis of the narrow way
	if m.AcrossX() {
		across = 0
	}
	n, l := given("n", narrow, "mm", "the narrow way of the board"), given("l", long, "mm", "the long way")
	members := d.kinds()
	changes := d.moves(load, members, d.air())
	var slopes []Number
	if load.Slope != nil && d.settled() == nil {
		for i, k := range members {
			slopes = append(slopes, d.solved("slope of moisture through "+k.called, "g_"+k.letter, "% MC/mm", load.Slope[k.kind], []string{"CRANK75", "BARROS26"},
				"positive: wetter above; of a free piece, with faces that were crushed or opened on the way", changes[i]))
		}
	}
	kc := d.curvature("across the board", "κ_c", across, load, changes, slopes)
	kb := d.curvature("along the board", "κ_b", 1-across, load, changes, slopes)
	kt := d.curvature("of the twist", "κ_t", 2, load, changes, slopes)
	c := d.holds("cup: rise of the edges over the middle", "c = κ_c·n^2/8", "mm", cup, []string{"TIMOSHENKO25"}, "positive: edges up", kc, n)
	b := d.holds("bow: the same along the board", "b = κ_b·l^2/8", "mm", bow, []string{"TIMOSHENKO25"}, "", kb, l)
	w := d.holds("twist: one corner off the plane of the others", "w = κ_t·n·l", "mm", twist, nil, "", kt, n, l)
	d.solved("furthest off a flat top, in balance", "d", "mm", gap, []string{"TANRAD-EST"}, "solved: the bent lower face on the three places that it stands on", c, b, w)
	d.solved("how far a corner travels when it is pressed", "d_r", "mm", rocks, []string{"TANRAD-EST"}, "solved: weight and hand together, half-way between middle and corner", c, b, w)
	i := d.holds("rise over the limit of its length", "i = max(abs(c)/n, abs(b)/l, abs(w)/√(n^2 + l^2))/f", "1", f.Value, nil, "",
		c, b, w, n, l, looked("f", influence.FlatLimit(), "mm/mm"))
	d.chance(i, f)
	d.slab(across, load, n, cup)
	return d.done()
}

// curvature is the sum of what every kind brings to one curvature of the board.
func (b *base) curvature(what, symbol string, axis int, l *influence.Load, changes, slopes []Number) Number {
	curls := b.m.Curls()
	text, in, is := symbol+" = ", []Number{}, 0.0
	term := func(q, amount Number) {
		if len(in) > 0 {
			text += " + "
		}
		text += q.Symbol + "·" + amount.Symbol
		in = append(in, q, amount)
	}
	for k := range curls {
		slope := 0.0
		if l.Slope != nil {
			slope = l.Slope[k]
		}
		is += curls[k].Slope[axis]*slope + curls[k].Even[axis]*l.Mean[k]
	}
	rest := is
	for k := range changes {
		name := b.m.Kinds[k].Name
		if v := curls[k].Slope[axis]; k < len(slopes) && v != 0 && slopes[k].Value != 0 {
			term(given(fmt.Sprintf("B_%d", k+1), v, "1/(% MC)", "solved: what a slope of one % a mm through all "+name+" brings"), slopes[k])
			rest -= v * slopes[k].Value
		}
		if v := curls[k].Even[axis]; v != 0 && changes[k].Value != 0 {
			term(given(fmt.Sprintf("W_%d", k+1), v, "1/(mm·% MC)", "solved: what one % in all "+name+" brings, its rings curving through the thickness"), changes[k])
			rest -= v * changes[k].Value
		}
	}
	if len(changes) < len(curls) || len(in) == 0 {
		if len(in) > 0 {
			text += " + "
		} else {
			rest = is
		}
		text += "r"
		in = append(in, given("r", rest, "1/mm", "all other kinds of piece"))
	}
	return b.holds("curvature "+what, text, "1/mm", is, nil, "plate finite elements, one solution for each kind of piece", in...)
}

// slab puts beside the solver the sum by hand for a slab of the wood of which the board
// has most.
func (b *base) slab(axis int, l *influence.Load, n Number, cup float64) {
	if l.Slope == nil {
		return
	}
	most := 0
	for k := range b.m.Kinds {
		if b.m.Share(k) > b.m.Share(most) {
			most = k
		}
	}
	unit := b.m.MeanUnit(most)[axis]
	hand := b.reckon("by hand: cup of a slab of "+b.m.Kinds[most].Name+" alone", "c_h = −β·g·n^2/8", "mm", []string{"TIMOSHENKO25"},
		given("β", unit, "1/% MC", "its strain across the board, mean of its pieces"), given("g", l.Slope[most], "% MC/mm", "its slope of moisture"), n)
	b.d.Compare = append(b.d.Compare, Comparison{What: "cup", Hand: hand.Value, Solver: cup, Unit: "mm", Why: "by hand one wood bends by itself; on the board other woods, rings and grain bend with it"})
}
