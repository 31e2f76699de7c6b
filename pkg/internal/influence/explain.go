package influence

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Air is the air at the top face at one time; false where something else meets it.
func (c *LoadHistory) Air(i int) (moisture.Room, bool) {
	hours := c.Times[i]
	for _, p := range c.phases[:c.phase[i]] {
		hours -= p.Hours
	}
	return c.phases[c.phase[i]].Top.Air(hours)
}

// Left is the share of the elastic stress that is left in the state, a fraction.
func (e *EndState) Left() float64 { return e.left }

// Stiffening is the factor on the stress of the whole board for wood that stiffens
// as it dries, when every kind is at its own moisture [% MC].
func (p *Parts) Stiffening(mc []float64) float64 { return p.stiffening(mc) }

// Rate is the strain of a piece along L, R and T for one % MC.
func (p *Parts) Rate(piece int) [3]float64 { return p.unit[piece] }

// Change is the change of bound water [% MC] of a kind from gluing to a moisture.
func (p *Parts) Change(kind int, mc float64) float64 { return p.Kinds[kind].change(mc) }

// KindTraction is the tractions that one kind brings to a stretch of a joint, MPa for one
// % MC of its mean and for one % MC per mm of its slope.
type KindTraction struct{ Mean, Slope MeanTraction }

// KindTractions gives for every kind what it brings to a stretch of a joint at a level
// (−1 bottom face, 0 middle, 1 top face).
func (m *Model) KindTractions(j, interval, level int) []KindTraction {
	jm := &m.Joints[j]
	z := m.heightOf(j, level)
	out := make([]KindTraction, len(m.Kinds))
	for k := range out {
		at := interval*len(m.Kinds) + k
		out[k].Mean = jm.Membrane[at]
		if jm.Warp != nil {
			out[k].Mean.N += z * jm.Warp[at].N
			out[k].Mean.T += z * jm.Warp[at].T
		}
		if jm.Bending != nil {
			out[k].Slope = MeanTraction{N: z * jm.Bending[at].N, T: z * jm.Bending[at].T}
		}
	}
	return out
}

// RestTractions gives for every rest between two glue-ups what it locked in on a stretch of
// a joint at a level, MPa, and the number of the stage after which it came.
func (m *Model) RestTractions(j, interval, level int) (pulls []MeanTraction, stage []int) {
	jm := &m.Joints[j]
	z := m.heightOf(j, level)
	for k := range m.spells {
		at := interval*len(m.spells) + k
		p := jm.Locked[at]
		if jm.LockedWarp != nil {
			p.N += z * jm.LockedWarp[at].N
			p.T += z * jm.LockedWarp[at].T
		}
		pulls, stage = append(pulls, p), append(stage, m.past.spells[k].stage)
	}
	return pulls, stage
}

// LineOf is the number of the glue line on which a joint lies, and its place among
// the joints of that line.
func (m *Model) LineOf(j int) (line, place int) {
	for i, lm := range m.Lines {
		for k, lj := range lm.Line.Joints {
			if lj.Joint == j {
				return i, k
			}
		}
	}
	return -1, -1
}

// Whole is what a whole joint carries at one moment, in the middle of the thickness.
type Whole struct {
	Shear   [2]float64 // MPa, mean over the first and the second half of the joint, along the line
	Normal  float64    // MPa, mean over the joint
	Release float64    // N/mm (kJ/m²) set free by opening all of it
	Sliding float64    // share of that energy which sliding sets free
}

// OverJoint adds up what a whole joint carries under a load. The error is that of the
// stiffness of the crack faces or of their contact, or the context's.
func (m *Model) OverJoint(ctx context.Context, j int, l *Load) (w Whole, err error) {
	line, place := m.LineOf(j)
	lm := m.Lines[line]
	from := lm.Line.Joints[place].At
	to := from + m.Board.Joints[j].Length
	st := m.stateOf(lm, l)
	mid, half := (from+to)/2, (to-from)/2
	for i, of := range lm.Crack.Joint {
		if lm.jointOf(of) != place {
			continue
		}
		a, b := lm.Crack.Place[2*i], lm.Crack.Place[2*i+2]
		first := max(0, min(1, (mid-a)/(b-a))) // share of the side in the first half
		for k, v := range st.Membrane {
			t := v * lm.Crack.Membrane[k].SideT[i]
			w.Shear[0] += first * t / half
			w.Shear[1] += (1 - first) * t / half
			w.Normal += v * lm.Crack.Membrane[k].SideN[i] / (2 * half)
		}
		if st.Own != nil {
			w.Normal += st.Own.SideN[i] / (2 * half)
		}
	}
	w.Release, w.Sliding, err = lm.Crack.Release(ctx, st, from, to)
	return w, err
}

// ToughnessOn is the mean over a stretch of a line [mm along it] of what its joints
// take to open, N/mm.
func (m *Model) ToughnessOn(l *LineMoment, from, to float64) fracture.Toughness {
	lm := l.lm
	mean := fracture.Toughness{Exponent: lm.Crack.Tough[0].Exponent}
	for i, of := range lm.Crack.Joint {
		a, b := lm.Crack.Place[2*i], lm.Crack.Place[2*i+2]
		share := (min(to, b) - max(from, a)) / (to - from)
		if share > 0 {
			mean.Open += share * lm.Crack.Tough[of].Open
			mean.Slide += share * lm.Crack.Tough[of].Slide
		}
	}
	return mean
}

// ToughnessOf is that of the weaker side of a joint, N/mm.
func (m *Model) ToughnessOf(j int) fracture.Toughness {
	line, place := m.LineOf(j)
	return m.Lines[line].Crack.Tough[place]
}
