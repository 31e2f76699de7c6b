package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Flat derives how far a board lies out of flat in a settled state or, in an exposure,
// when it is worst: slopes of moisture, curvatures, rises over the limit of their lengths;
// then when it cups, bows and twists most, and when the exposure ends.
func Flat(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, f.State, 0)
	if st := d.settled(); st != nil {
		at := m.StandsAt(st.Swelling)
		d.d.Text = fmt.Sprintf("How far the board lies out of flat, %s.", d.moment())
		i := d.lies(st.Swelling, at.Gap, at.Rocks, f.Value)
		d.chance(i, f)
		return d.done()
	}
	h, _ := d.history()
	if h == nil {
		return d.done()
	}
	d.hour = h.Stands.Hour
	d.d.Text = fmt.Sprintf("How far the board lies out of flat, %s.", d.moment())
	at := func(time int) *influence.Load { return m.At(h.LoadHistory, h.LoadHistory.Shape, time, nil) }
	i := d.lies(at(h.Stands.Time), h.Stands.Gap, h.Stands.Rocks, f.Value)
	d.chance(i, f)
	told := map[float64]bool{d.hour: true}
	for _, o := range []struct {
		word string
		hour float64
	}{{"cups", h.Most.CupHour}, {"bows", h.Most.BowHour}, {"twists", h.Most.TwistHour}} {
		if told[o.hour] {
			continue
		}
		told[o.hour] = true
		d.hour = o.hour
		d.part = "when it " + o.word + " most, " + d.moment()
		_, time := d.history()
		l := at(time)
		_, _, _, index := m.Bent(l)
		d.rises(l, index)
	}
	last := len(h.LoadHistory.Times) - 1
	d.hour = h.LoadHistory.Times[last]
	d.part = "at the end, " + d.moment() + ", as if no wood had been crushed: boards were measured to come back"
	l := m.At(h.LoadHistory, h.LoadHistory.Elastic, last, nil)
	_, _, _, index := m.Bent(l)
	end := d.rises(l, index)
	d.holds("what has not come back", "i_e = min("+i.Symbol+"_0, "+i.Symbol+")", "1", h.Stands.End, nil, "", i.as(i.Symbol+"_0"), end.index)
	return d.done()
}

// lies derives how the board lies under a load that bends it.
func (b *base) lies(load *influence.Load, gap, rocks, index float64) Number {
	r := b.rises(load, index)
	b.solved("furthest off a flat top, in balance", "d", "mm", gap, []string{"TANRAD-EST"}, "solved: the bent lower face on the three places that it stands on", r.cup, r.bow, r.twist)
	b.solved("how far a corner travels when it is pressed", "d_r", "mm", rocks, []string{"TANRAD-EST"}, "solved: weight and hand together, half-way between middle and corner", r.cup, r.bow, r.twist)
	b.slab(load, r)
	return r.index
}

// rise is how far a load bends the board.
type rise struct {
	cup, bow, twist, index Number
	narrow                 Number
	across                 int // the axis of the narrow way
}

func (b *base) rises(load *influence.Load, index float64) (r rise) {
	m := b.m
	cup, bow, twist, _ := m.Bent(load)
	narrow, long := m.Board.Height, m.Board.Width
	r.across = 1
	if m.AcrossX() {
		narrow, long, r.across = long, narrow, 0
	}
	n, l := given("n", narrow, "mm", "the narrow way of the board"), given("l", long, "mm", "the long way")
	r.narrow = n
	members := b.kinds()
	changes := b.moves(load, members, b.air())
	var slopes []Number
	if load.Slope != nil && b.settled() == nil {
		for i, k := range members {
			slopes = append(slopes, b.solved("slope of moisture through "+k.called, "g_"+k.letter, "% MC/mm", load.Slope[k.kind], []string{"CRANK75", "BARROS26"},
				"positive: wetter above; of a free piece, with faces that were crushed or opened on the way", changes[i]))
		}
	}
	kc := b.curvature("across the board", "κ_c", r.across, load, changes, slopes)
	kb := b.curvature("along the board", "κ_b", 1-r.across, load, changes, slopes)
	kt := b.curvature("of the twist", "κ_t", 2, load, changes, slopes)
	r.cup = b.holds("cup: rise of the edges over the middle", "c = κ_c·n^2/8", "mm", cup, []string{"TIMOSHENKO25"}, "positive: edges up", kc, n)
	r.bow = b.holds("bow: the same along the board", "b = κ_b·l^2/8", "mm", bow, []string{"TIMOSHENKO25"}, "", kb, l)
	r.twist = b.holds("twist: one corner off the plane of the others", "w = κ_t·n·l", "mm", twist, nil, "", kt, n, l)
	r.index = b.holds("rise over the limit of its length", "i = max(abs(c)/n, abs(b)/l, abs(w)/√(n^2 + l^2))/f", "1", index, nil, "",
		r.cup, r.bow, r.twist, n, l, looked("f", influence.FlatLimit(), "mm/mm"))
	return r
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
func (b *base) slab(l *influence.Load, r rise) {
	if l.Slope == nil {
		return
	}
	most := 0
	for k := range b.m.Kinds {
		if b.m.Share(k) > b.m.Share(most) {
			most = k
		}
	}
	unit := b.m.MeanUnit(most)[r.across]
	hand := b.reckon("by hand: cup of a slab of "+b.m.Kinds[most].Name+" alone", "c_h = −β·g·n^2/8", "mm", []string{"TIMOSHENKO25"},
		given("β", unit, "1/% MC", "its strain across the board, mean of its pieces"), given("g", l.Slope[most], "% MC/mm", "its slope of moisture"), r.narrow)
	b.d.Compare = append(b.d.Compare, Comparison{What: "cup", Hand: hand.Value, Solver: r.cup.Value, Unit: "mm", Why: "by hand one wood bends by itself; on the board other woods, rings and grain bend with it"})
}
