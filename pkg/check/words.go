package check

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// partName names what gives, as a maker would: the wood of one side, or the bond.
func (m reporter) partName(j int, d *influence.Critical) string {
	jt := &m.Board.Joints[j]
	side := func(i int) string {
		return m.gives(i, d.Mode)
	}
	switch d.Part {
	case joint.WoodA:
		return side(jt.A)
	case joint.WoodB:
		return side(jt.B)
	}
	return "the glue bond " + at(m.Board.WhereJoint(j)) + ", " + strings.TrimPrefix(d.Mode, "bond ")
}

// gives says that the wood of a piece gives, and how.
func (m reporter) gives(piece int, mode string) string {
	return fmt.Sprintf("the wood of %s (%s), %s", m.Board.WherePiece(piece), strings.ToLower(m.Sides[piece].Species.CommonName), mode)
}

// headline is the verdict in one sentence.
func headline(r *Report) string {
	if o := r.Governing(); !r.ByWorst() {
		if r.Verdict != Holds {
			return modeHeadline(r, o)
		}
		if o.When == "" {
			return fmt.Sprintf("Holds: what comes nearest to its limit is that %s, at %d %%.", nearest[o.Mode], o.Percent())
		}
		return fmt.Sprintf("Holds: what comes nearest to its limit is that %s, at %d %%, %s.", nearest[o.Mode], o.Percent(), o.When)
	}
	if r.Worst == nil {
		return "Holds: nothing in this board is stressed by the changes considered."
	}
	w := r.Worst
	pct := r.Words.Percent(r.Utilisation)
	there := fmt.Sprintf("%d %% of what it bears, %s, %s", pct, at(w.Where), w.When)
	switch r.Verdict {
	case Holds:
		return "Holds: the worst place comes to " + there + "."
	case Tight:
		return "Tight: " + there + "."
	case Doubtful:
		return "Doubtful: " + there + "; ordinary scatter of wood can open it."
	}
	return "Fails: " + there + "."
}

// at puts a place into a sentence.
func at(where string) string {
	if strings.HasPrefix(where, "between") {
		return where
	}
	return "in " + where
}

// nearest says what would end a board.
var nearest = map[string]string{LineOpens: "a glue line opens", Splits: "the wood splits", EndOpens: "a glue line opens from its end", WoodChecks: "the wood checks", OutOfFlat: "it lies out of flat", GlueGives: "the glue gives way"}

// modeHeadline is the verdict of a board that fails otherwise than by a crack of a
// glue line or through the wood.
func modeHeadline(r *Report, o *Mode) string {
	word := strings.ToUpper(string(r.Verdict[:1])) + string(r.Verdict[1:])
	if o.Mode == GlueGives {
		return fmt.Sprintf("%s: the glue. %s", word, o.Why)
	}
	if o.Mode != OutOfFlat {
		return fmt.Sprintf("%s: %s %s. %s", word, o.Name, o.When, o.Why)
	}
	back := ""
	if o.Back != nil && *o.Back {
		back = "; it comes flat again"
	}
	if r.Verdict == Fails {
		return fmt.Sprintf("%s: lies out of flat by %.1f times what is let pass %s%s.", word, *o.Figure, o.When, back)
	}
	return fmt.Sprintf("%s: lies out of flat by %d %% of what is let pass %s%s.", word, o.Percent(), o.When, back)
}

// describe names a piece and its wood for a sentence: "block 4 of row 3 (black
// walnut)", "the top border (long-grain black walnut)".
func (m reporter) describe(i int) string {
	pc := &m.Board.Pieces[i]
	name := strings.ToLower(m.Sides[i].Species.CommonName)
	switch {
	case !pc.Grain.Up:
		name = "long-grain " + name
	case pc.Border >= 0:
		name = "end-grain " + name
	}
	return m.Board.WherePiece(i) + " (" + name + ")"
}

// moves tells a strain as a maker reads it: what a length gains. Per cent are kept
// for what a place bears.
func (m reporter) moves(e float64) string {
	if m.Board.Units == "in" {
		return fmt.Sprintf("%+.3f", 12*e)
	}
	return fmt.Sprintf("%+.1f", 1000*e)
}

// length tells a length [mm] in the units of the board's file, mm with so many digits after
// the point.
func (m reporter) length(mm float64, digits int) string {
	if m.Board.Units == "in" {
		return quantity.FormatInches(mm)
	}
	return fmt.Sprintf("%.*f mm", digits, mm)
}

// per is the unit of moves.
func (m reporter) per() string {
	if m.Board.Units == "in" {
		return "in a foot"
	}
	return "mm a metre"
}

// why says in a sentence what pulls at a joint: how far the two pieces would
// move freely, along the joint and across it.
func (m reporter) why(j int, mean []float64) string {
	jt := &m.Board.Joints[j]
	n, t := influence.Normal(jt)
	free := func(i int) (along, across float64) {
		f := m.Of(mean, i)
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
	if m.Of(mean, jt.A)+m.Of(mean, jt.B) < 0 {
		change = "shrinks"
	}
	pa, pb := &m.Board.Pieces[jt.A], &m.Board.Pieces[jt.B]
	reason := "their rings and woods differ"
	switch {
	case pa.Grain.Up != pb.Grain.Up:
		reason = "fibres hardly change in length, and end grain beside them does"
	case !pa.Grain.Up && math.Abs(math.Remainder(pa.Grain.Angle-pb.Grain.Angle, 180)) > 15:
		reason = "the fibres of one run across those of the other, and fibres hardly change in length"
	case pa.Species == pb.Species && pa.RingAngle == pb.RingAngle:
		reason = "the pieces around them push them apart"
	case pa.Species == pb.Species:
		reason = "the rings are turned differently"
	case math.Abs(math.Remainder(pa.RingAngle-pb.RingAngle, 180)) < 1:
		reason = "the two woods move differently"
	}
	return fmt.Sprintf("The wood %s. Free of each other, %s would move %s %s along this joint and %s across it; %s %s and %s: %s.",
		change, a, m.moves(aa), m.per(), m.moves(ac), b, m.moves(ba), m.moves(bc), reason)
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
