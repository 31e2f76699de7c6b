package influence

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/layout"
)

// armOf is the part of a line that one arm of a path that turns follows, in the path's
// sense: numbers of its sides and of its places, one more than twice as many.
type armOf struct {
	lm            *LineModel
	sides, places []int
}

func (m *Model) armOf(t *layout.Turn, k int) (a armOf) {
	a.lm = m.Lines[t.Of[k]]
	first, last := 0, len(a.lm.Line.Joints)-1
	if k == 1 && t.Reversed[k] {
		last -= t.Skipped
	} else if k == 1 {
		first = t.Skipped
	}
	for i, j := range a.lm.Crack.Joint {
		if j = a.lm.jointOf(j); j >= first && j <= last {
			a.sides = append(a.sides, i)
		}
	}
	for i := range 2*len(a.sides) + 1 {
		a.places = append(a.places, 2*a.sides[0]+i)
	}
	if t.Reversed[k] {
		slices.Reverse(a.sides)
		slices.Reverse(a.places)
	}
	return a
}

// unsolved is a path that turns with the stress of the lines it follows and without the
// stiffness of its lips: enough to bound it, and no solution of the board.
func (m *Model) unsolved(t *layout.Turn) *LineModel {
	arms := [2]armOf{m.armOf(t, 0), m.armOf(t, 1)}
	c := &fracture.Line{Thickness: m.Board.Thickness, Corner: len(arms[0].sides), Place: []float64{0}, Back: []float64{arms[0].lm.Crack.Back[arms[0].places[0]/2]}}
	lm := &LineModel{Line: t.Line, Crack: c}
	for k, a := range arms {
		of := a.lm.Crack
		for i, p := range a.places[1:] {
			c.Place = append(c.Place, c.Place[len(c.Place)-1]+math.Abs(of.Place[p]-of.Place[a.places[i]]))
		}
		for i, s := range a.sides {
			j := a.lm.jointOf(of.Joint[s])
			if t.Reversed[k] {
				j = len(a.lm.Line.Joints) - 1 - j
			}
			c.Joint = append(c.Joint, j+k*(t.Corner-t.Skipped))
			c.Back = append(c.Back, of.Back[a.places[2*i+2]/2])
		}
	}
	for _, lj := range t.Joints {
		jt := &m.Board.Joints[lj.Joint]
		c.Tough = append(c.Tough, toughness(&m.Sides[jt.A], &m.Sides[jt.B]))
	}
	end := [2]int{arms[0].places[0], arms[1].places[len(arms[1].places)-1]}
	for k, a := range arms {
		shut := a.lm.Crack.Shut[0]
		if end[k] > 0 {
			shut = a.lm.Crack.Shut[1]
		}
		c.Shut[k] = shut
	}
	cases := func(of func(*fracture.Line) []fracture.Load) []fracture.Load {
		one, two := of(arms[0].lm.Crack), of(arms[1].lm.Crack)
		out := make([]fracture.Load, len(one))
		for i := range out {
			out[i] = join(&arms, [2]*fracture.Load{&one[i], &two[i]})
		}
		return out
	}
	c.Membrane = cases(func(l *fracture.Line) []fracture.Load { return l.Membrane })
	c.Bending = cases(func(l *fracture.Line) []fracture.Load { return l.Bending })
	m.takeEnds(lm, t)
	m.starve(lm)
	return lm
}

// join puts what two arms bear one behind the other; the work of jumps is left out.
func join(arms *[2]armOf, of [2]*fracture.Load) (out fracture.Load) {
	for k, a := range arms {
		for _, s := range a.sides {
			out.SideN, out.SideT = append(out.SideN, of[k].SideN[s]), append(out.SideT, of[k].SideT[s])
		}
	}
	return out
}
