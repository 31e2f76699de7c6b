package derive

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Find gives the joint of an id on a board that was judged, or the worst joint of the
// piece of that id; −1 where there is none. known are all ids that it looked at.
func Find(m *influence.Model, j *influence.Judged, id string) (joint int, known []string) {
	best, most := -1, -1.0
	for k := range m.Board.Joints {
		jt := &m.Board.Joints[k]
		if jt.ID == id {
			return k, nil
		}
		known = append(known, jt.ID)
		if m.Board.Pieces[jt.A].ID != id && m.Board.Pieces[jt.B].ID != id {
			continue
		}
		if u := j.Joints[k].D.U; best < 0 || verdict.Worse(u, most) {
			best, most = k, u
		}
	}
	for i := range m.Board.Pieces {
		known = append(known, m.Board.Pieces[i].ID)
	}
	return best, known
}

// joint is what is known of the joint that is derived.
type joint struct {
	base
	index    int
	at       *influence.Moment
	line     *influence.LineMoment
	n, t     [2]float64
	side     [2]int    // pieces A and B
	extent   [2]Number // mm, how deep they reach across the joint
	strain   [2]Number // along the joint
	modulus  [2]Number
	mismatch Number
}

// Joint derives one joint at its own worst moment, down to the word of its figure.
// Errors: those of the solver.
func Joint(ctx context.Context, m *influence.Model, j *influence.Judged, index int, f Figure) (*Derivation, error) {
	at := j.Joints[index]
	at.Joint = index // of one that nothing stresses nothing is known
	var line *influence.LineMoment
	if n, _ := m.LineOf(index); n < len(j.Lines) {
		line = &j.Lines[n]
	}
	for _, own := range [2]*influence.LineMoment{at.D.Crack, at.D.Bound} { // that of its line, or of a path that turns into it
		if own != nil {
			line = own
		}
	}
	return jointAt(ctx, m, j, &at, line, f)
}

// Line derives the joint that bears most of the crack of a glue line, at the moment of
// that crack. Errors: those of the solver.
func Line(ctx context.Context, m *influence.Model, j *influence.Judged, line *influence.LineMoment, f Figure) (*Derivation, error) {
	at := m.MomentOf(line)
	return jointAt(ctx, m, j, &at, line, f)
}

func jointAt(ctx context.Context, m *influence.Model, j *influence.Judged, at *influence.Moment, line *influence.LineMoment, f Figure) (*Derivation, error) {
	d := jointOf(newBase(m, j, m.Board.Joints[at.Joint].ID, at.State, at.Hour), at)
	if at.Load == nil {
		d.d.Text = "Nothing that was considered stresses " + d.d.Of + "."
		return d.done()
	}
	d.d.Text = d.between()
	hand := d.pulls(d.remembered(at.Load, d.members()))
	d.stress()
	if line == nil || line.Load == nil {
		return d.done() // judged by stress alone
	}
	u, err := d.criterion(ctx, line, hand)
	if err != nil {
		return nil, err
	}
	d.chance(u, f)
	return d.done()
}

// jointOf is the joint of a moment, before anything of it is derived.
func jointOf(b base, at *influence.Moment) *joint {
	jt := &b.m.Board.Joints[at.Joint]
	d := &joint{base: b, index: at.Joint, at: at, side: [2]int{jt.A, jt.B}}
	d.n, d.t = influence.Normal(jt)
	return d
}

// between tells which joint it is, between what, and when.
func (d *joint) between() string {
	return fmt.Sprintf("%s between %s and %s, %s.", d.m.Board.Joints[d.index].ID, d.called(d.side[0]), d.called(d.side[1]), d.moment())
}

// members are the two pieces.
func (d *joint) members() []member {
	out := make([]member, len(sides))
	for s, letter := range sides {
		out[s] = d.piece(d.side[s], letter)
	}
	return out
}

// pulls goes from what stress remembers of the two pieces to the sum by hand.
func (d *joint) pulls(changes []Number) hand {
	for s, letter := range sides {
		d.strain[s], d.modulus[s] = d.alone(d.side[s], letter, d.t, "the joint", changes[s])
	}
	d.mismatch = d.reckon("mismatch along the joint", "Δ = ε_B − ε_A", "1", nil, d.strain[0], d.strain[1])
	return d.byHand()
}

// sides go with the two letters.
var sides = [2]string{"A", "B"}
