package check

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// partName names what gives, as a maker would: the wood of one side, or the bond.
func (m reporter) partName(j int, d *influence.Critical) string {
	jt := &m.Board.Joints[j]
	side := func(i int) string {
		pc := &m.Board.Pieces[i]
		return fmt.Sprintf("the wood of %s (%s), %s", pc.ID, strings.ToLower(m.Sides[i].Species.CommonName), d.Mode)
	}
	switch d.Part {
	case joint.WoodA:
		return side(jt.A)
	case joint.WoodB:
		return side(jt.B)
	}
	return "the glue bond between " + m.Board.Pieces[jt.A].ID + " and " + m.Board.Pieces[jt.B].ID + ", " + strings.TrimPrefix(d.Mode, "bond ")
}

// headline is the verdict in one sentence.
func headline(r *Report) string {
	if r.Worst == nil {
		return "Holds: nothing in this board is stressed by the changes considered."
	}
	w := r.Worst
	pct := verdict.Percent(r.Utilisation)
	where := w.Where
	if !strings.HasPrefix(where, "between") {
		where = "in " + where
	}
	at := fmt.Sprintf("%d %% of what it bears, %s, %s", pct, where, w.When)
	switch r.Verdict {
	case Holds:
		return "Holds: the worst place comes to " + at + "."
	case Tight:
		return "Tight: " + at + "."
	case Doubtful:
		return "Doubtful: " + at + "; ordinary scatter of wood can open it."
	}
	return "Fails: " + at + "."
}

// describe names a piece for a sentence: "black walnut block r3c4".
func (m reporter) describe(i int) string {
	pc := &m.Board.Pieces[i]
	name := strings.ToLower(m.Sides[i].Species.CommonName)
	if pc.Border >= 0 {
		if pc.Grain.Up {
			return fmt.Sprintf("the %s (end-grain %s)", pc.Part, name)
		}
		return fmt.Sprintf("the %s (long-grain %s)", pc.Part, name)
	}
	if pc.Grain.Up {
		return fmt.Sprintf("the %s block %s", name, pc.ID)
	}
	return fmt.Sprintf("the %s piece %s", name, pc.ID)
}

// percent prints a strain as a maker reads it.
func percent(e float64) string { return fmt.Sprintf("%+.2f %%", 100*e) }

// why says in a sentence what pulls at a joint: how far the two pieces would
// move freely, along the joint and across it.
func (m reporter) why(j int, mean []float64) string {
	jt := &m.Board.Joints[j]
	n, t := influence.Normal(jt)
	free := func(i int) (along, across float64) {
		f := mean[m.KindOf[i]]
		u := m.Wood[i].Unit
		at := func(d [2]float64) float64 {
			return f * (u[0]*d[0]*d[0] + u[1]*d[1]*d[1] + u[2]*d[0]*d[1])
		}
		return at(t), at(n)
	}
	aa, ac := free(jt.A)
	ba, bc := free(jt.B)
	a, b := m.describe(jt.A), m.describe(jt.B)
	change := "swells"
	if mean[m.KindOf[jt.A]]+mean[m.KindOf[jt.B]] < 0 {
		change = "shrinks"
	}
	pa, pb := &m.Board.Pieces[jt.A], &m.Board.Pieces[jt.B]
	reason := "their rings and woods differ"
	switch {
	case pa.Grain.Up != pb.Grain.Up:
		reason = "fibres hardly change in length, and end grain beside them does"
	case pa.Species == pb.Species && pa.RingAngle == pb.RingAngle:
		reason = "the pieces around them push them apart"
	case pa.Species == pb.Species:
		reason = "the rings are turned differently"
	case math.Abs(math.Remainder(pa.RingAngle-pb.RingAngle, 180)) < 1:
		reason = "the two woods move differently"
	}
	return fmt.Sprintf("The wood %s. Free of each other, %s would move %s along this joint and %s across it; %s would move %s and %s: %s.",
		change, a, percent(aa), percent(ac), b, percent(ba), percent(bc), reason)
}

func levelName(l int) string {
	switch l {
	case 1:
		return "top face"
	case -1:
		return "bottom face"
	}
	return "through"
}

// roundXY keeps places readable: a tenth of a micrometre is below any saw.
func roundXY(p layout.XY) layout.XY {
	return layout.XY{math.Round(p[0]*1e4) / 1e4, math.Round(p[1]*1e4) / 1e4}
}
