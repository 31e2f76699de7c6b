package influence

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// LineModel is one glue line ready to be judged.
type LineModel struct {
	Line  layout.Line
	Crack *fracture.Line
	lips  *plate.CrackFaces
	ends  [2]*lineEnd // at the rim of the board; nil where it ends within
	weak  []lesser    // stretches that bear less, with numbers of their own, behind all joints

	weakEnds bool // some of them are ends of long grain
}

// lineModel prepares a glue line: its places and the toughness of the weaker side
// of every joint. The stiffness of its crack faces is left until it is asked for.
func (m *Model) lineModel(l layout.Line) *LineModel {
	lm := &LineModel{Line: l}
	lm.lips = m.Plate.CrackFaces(&lm.Line)
	lm.Crack = &fracture.Line{Place: lm.lips.Place, Joint: lm.lips.Joint, Back: lm.lips.Back, Shut: lm.lips.Shut, Thickness: m.Board.Thickness,
		Stiffness: func(ctx context.Context) (*mat.SymDense, error) { return lm.lips.Stiffness(ctx, &lm.Line) },
		Membrane:  make([]fracture.Load, len(m.Kinds))}
	for _, lj := range l.Joints {
		jt := &m.Board.Joints[lj.Joint]
		lm.Crack.Tough = append(lm.Crack.Tough, toughness(&m.Sides[jt.A], &m.Sides[jt.B]))
	}
	if m.Bends {
		n := len(m.Kinds)
		if m.Warps {
			n *= 2
		}
		lm.Crack.Bending = make([]fracture.Load, n)
	}
	return lm
}

// load takes the forces on the joints for one per cent of some kinds, the first
// with the number from: per joint and kind.
func (lm *LineModel) load(m *Model, mode plate.Mode, from int, forces [][][]plate.Traction) {
	to := lm.Crack.Membrane
	switch mode {
	case plate.Bending:
		to = lm.Crack.Bending
	case plate.Warp:
		to = lm.Crack.Bending[len(m.Kinds):]
	}
	joints := make([][]plate.Traction, len(lm.Line.Joints))
	for i := range forces[lm.Line.Joints[0].Joint] {
		for k, lj := range lm.Line.Joints {
			joints[k] = forces[lj.Joint][i]
		}
		f := lm.lips.Load(&lm.Line, joints)
		to[from+i] = fracture.Load{N: f.N, T: f.T, SideN: f.SideN, SideT: f.SideT}
	}
}

// joulesPerNewton is one N/mm in J/m².
const joulesPerNewton = 1000

// toughness is that of the weaker side, N/mm.
func toughness(a, b *joint.Side) fracture.Toughness {
	s := a.Species
	if b.Species.FractureEnergy(0).V < s.FractureEnergy(0).V {
		s = b.Species
	}
	return fracture.Toughness{Open: s.FractureEnergy(0).V / joulesPerNewton, Slide: s.FractureEnergy(1).V / joulesPerNewton, Exponent: s.MixExponent()}
}

// stateOf turns a load into what a line needs.
func (m *Model) stateOf(lm *LineModel, l *Load) *fracture.State {
	st := m.casesAt(lm, l)
	if m.Bends && (m.Warps || l.uneven() || l.Slope != nil && l.wet != [2]float64{}) {
		h := m.Board.Thickness / 2
		z := h - min(joint.AveragingLength().V, h)/2
		st.Height = []float64{-z, 0, z}
	}
	st.Own = l.rimLoad(lm)
	// The faces bear what the middle bears unless they are wet.
	middle := m.criteriaOf(lm, l, 0)
	for v := range st.Height {
		level := v - len(st.Height)/2
		if level == 0 || l.wet[(level+1)/2] == 0 {
			st.Criteria = append(st.Criteria, middle)
			continue
		}
		st.Criteria = append(st.Criteria, m.criteriaOf(lm, l, level))
	}
	return st
}

// casesAt are the amounts of a line's cases under a load.
func (m *Model) casesAt(lm *LineModel, l *Load) *fracture.State {
	st := &fracture.State{Membrane: m.casesOf(l), Height: []float64{0}}
	if m.Bends {
		st.Bending = make([]float64, len(lm.Crack.Bending))
		if l.uneven() {
			copy(st.Bending, l.Slope)
		}
		if m.Warps {
			copy(st.Bending[len(m.Kinds):], st.Membrane)
		}
	}
	return st
}

// uneven says that a face is wetter than the other.
func (l *Load) uneven() bool {
	return slices.ContainsFunc(l.Slope, func(s float64) bool { return math.Abs(s) > alikeFaces })
}

// criteriaOf is what the parts of every joint of a line bear at a level, those on the
// left of the line first.
func (m *Model) criteriaOf(lm *LineModel, l *Load, level int) [][fracture.Parts]joint.Criterion {
	out := make([][fracture.Parts]joint.Criterion, len(lm.Line.Joints), len(lm.Line.Joints)+len(lm.weak))
	for i, lj := range lm.Line.Joints {
		jm := &m.Joints[lj.Joint]
		out[i] = jm.Capacity.Parts(m.Scale(jm, l, level))
		if lj.Reversed {
			out[i][0], out[i][1], out[i][2], out[i][3] = out[i][3], out[i][2], out[i][1], out[i][0]
		}
	}
	for _, w := range lm.weak {
		out = append(out, weakened(out[w.joint], w.share))
	}
	return out
}
