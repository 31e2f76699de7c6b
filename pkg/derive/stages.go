package derive

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// AtOnce derives what the worst glue line would ask at the board's worst moment, had all
// been glued in one go, every piece as moist as it was when it was first glued. Errors:
// those of the solver.
func AtOnce(ctx context.Context, m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	o, err := m.GluedAtOnce(ctx, j)
	if err != nil {
		return nil, err
	}
	if o == nil || o.Line.Load == nil {
		return Nothing(f, "Not glued in stages that differ, or no glue line gives the word of the board."), nil
	}
	at := m.MomentOf(&o.Line)
	d := jointOf(newBase(m, j, f.Of, at.State, at.Hour), &at)
	d.d.Text = "Had all been glued at once: " + d.between()
	members := d.members()
	changes := d.remembered(j.Worst.Load, members)
	for i, s := range members {
		text, in, is := "M_"+s.letter+" = μ_"+s.letter, []Number{changes[i]}, changes[i].Value
		for n, r := range o.Rests {
			k, w := fmt.Sprintf("k_%d", n+1), fmt.Sprintf("w_%s%d", s.letter, n+1)
			text += " + " + k + "·" + w
			after := m.Board.Stages[r.After].Name
			bound := d.has(r.Bound, s)
			in = append(in, given(k, r.Share, "1", "share of its stress that is left of the rest after "+after), given(w, bound, "% MC", "bound water that it took up in that rest, or gave off"))
			is += r.Share * bound
		}
		changes[i] = d.holds("the change that stress would remember of "+s.letter+", glued with all the others", text, "% MC", is, nil, "", in...)
	}
	hand := d.pulls(changes)
	d.stress()
	if _, err := d.criterion(ctx, &o.Line, hand); err != nil {
		return nil, err
	}
	return d.done()
}

// Stages derives what every rest between two glue-ups gives to the load of the worst
// place, and the stress when it has ended.
func Stages(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	ups, l := m.GlueUps(j), j.Worst.Load
	if len(ups) == 0 || l == nil {
		return Nothing(f, "The board is glued in one go, or nothing stresses it."), nil
	}
	w := newBase(m, j, f.Of, j.Worst.State, j.Worst.Hour)
	w.d.Text = fmt.Sprintf("What moved between the glue-ups, and what of it is left, %s.", w.moment())
	v := given("v", j.Worst.D.U, "1", "of the worst place; "+opensWith("worst", j.Worst.State))
	last := "a = 1"
	var shares []Number
	for i := range ups {
		up := &ups[i]
		if up.Spell < 0 {
			continue
		}
		w.part = "after " + up.Name
		k, sym := fmt.Sprintf("k_%d", up.Spell+1), fmt.Sprintf("a_%d", up.Spell+1)
		slope := given("s_v", up.Slope, "1", "solved: what all of it, still there, would add to v")
		share := w.holds("share of the worst place's load that the rest brought", sym+" = "+k+"·s_v/v", "1", up.Share, nil, "",
			given(k, l.Locked[up.Spell], "1", "share of its stress that is left"), slope, v)
		shares = append(shares, share)
		last += " − " + sym
		w.rested(up)
	}
	w.part = "after " + ups[len(ups)-1].Name
	w.holds("share of the worst place's load since then", last, "1", ups[len(ups)-1].Share, nil, "", shares...)
	return w.done()
}

// rested derives the worst joint when a rest has ended, nothing eased.
func (b *base) rested(up *influence.GlueUp) {
	if up.Joint < 0 {
		return
	}
	at := influence.Moment{Joint: up.Joint, Load: b.m.Rested(up.Spell), State: b.state, Hour: b.hour}
	d := jointOf(*b, &at)
	d.stress()
	*b = d.base
}
