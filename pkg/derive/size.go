package derive

import (
	"fmt"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Extreme is a moment at which the board is smallest or largest.
type Extreme struct {
	Name  string  // "largest width"
	Axis  int     // 0 width, 1 height
	State string  // end state or exposure
	Time  int     // index in the exposure
	Size  float64 // mm
}

// Sizes derives how large the board is at some moments: what every kind of piece moves
// by, and what that adds to the board. What is derived at one moment stands together.
func Sizes(m *influence.Model, j *influence.Judged, of string, at []Extreme) (*Derivation, error) {
	d := newBase(m, j, of, "", 0)
	d.d.Text = "The size of the board, and what brings it there."
	for i, e := range at {
		same := func(o Extreme) bool { return o.State == e.State && o.Time == e.Time }
		if slices.ContainsFunc(at[:i], same) {
			continue
		}
		d.state, d.hour = e.State, 0
		var load *influence.Load
		if st := d.settled(); st != nil {
			load = st.Swelling
		} else {
			h, _ := d.history()
			if h == nil {
				break
			}
			d.hour = h.LoadHistory.Times[e.Time]
			load = m.At(h.LoadHistory, h.LoadHistory.Shape, e.Time, nil)
		}
		d.part = d.moment()
		changes := d.moves(load, d.kinds(), d.air())
		for _, o := range at[i:] {
			if same(o) {
				d.size(&o, load, changes)
			}
		}
	}
	return d.done()
}

func (b *base) size(e *Extreme, l *influence.Load, changes []Number) {
	name, sym := [2]string{"width", "height"}[e.Axis], [2]string{"B", "H"}[e.Axis]
	glued := [2]float64{b.m.Board.Width, b.m.Board.Height}[e.Axis]
	per, more := b.m.Grows(l, e.Axis)
	text, in := "Δ"+sym+" = ", []Number{}
	is, rest := more, more
	for k, v := range per {
		is += v * l.Mean[k]
		if k >= len(changes) {
			rest += v * l.Mean[k]
			continue
		}
		if len(in) > 0 {
			text += " + "
		}
		c := given(fmt.Sprintf("s_%d", k+1), v, "mm/% MC", "solved: what one % in all "+b.m.Kinds[k].Name+" adds to the "+name)
		text += c.Symbol + "·" + changes[k].Symbol
		in = append(in, c, changes[k])
	}
	if rest != 0 {
		text += " + r"
		in = append(in, given("r", rest, "mm", "all other kinds of piece, and places that do not stand out furthest when glued"))
	}
	grows := b.holds("change of "+name, text, "mm", is, nil, "plane finite elements, one solution for each kind of piece; between the places that stand out furthest", in...)
	size := given(sym+"_0", glued, "mm", name+" when glued")
	b.holds(e.Name, sym+" = "+sym+"_0 + Δ"+sym, "mm", e.Size, nil, "", size, grows)
	mean := b.solved("mean over the area of what every piece would move by itself", "e_"+sym, "1", b.m.MeanStrain(l, e.Axis), []string{"TENSOR", "WH190-EQ13-3"}, "each by its own rings, along the "+name, changes...)
	hand := b.reckon("by hand: change of "+name+" of a board that moves like the mean of its pieces", "h_"+sym+" = "+sym+"_0·e_"+sym, "mm", nil, size, mean)
	b.d.Compare = append(b.d.Compare, Comparison{What: "change of " + name + ", " + b.moment(), Hand: hand.Value, Solver: is, Unit: "mm",
		Why: "by hand all pieces are as stiff as one another, and the sides stay straight"})
}
