package influence

import (
	"github.com/tanrad/tanrad/pkg/verdict"
)

// StretchAt is what makes up the mean traction on a stretch of a joint under a load, at a
// level (−1 bottom face, 0 middle, 1 top face).
func (m *Model) StretchAt(j, interval, level int, l *Load) Stretch {
	of := Stretch{Kinds: m.KindTractions(j, interval, level), Even: true}
	of.Rests, of.After = m.RestTractions(j, interval, level)
	of.sum(l)
	return of
}

// sum adds up the tractions of a stretch under a load.
func (s *Stretch) sum(l *Load) {
	for k := range s.Rests {
		s.N += s.Rests[k].N * l.Locked[k]
		s.T += s.Rests[k].T * l.Locked[k]
	}
	for k := range s.Kinds {
		q := &s.Kinds[k]
		s.N, s.T = s.N+q.Mean.N*l.Mean[k], s.T+q.Mean.T*l.Mean[k]
		if l.Slope != nil {
			s.N, s.T = s.N+q.Slope.N*l.Slope[k], s.T+q.Slope.T*l.Slope[k]
		}
	}
}

// Pressed is the stretch of a joint that is pressed hardest.
type Pressed struct {
	Stretch
	From, To float64    // mm along the joint
	Crush    [2]float64 // MPa that crush the wood of A and of B, at its moisture
}

// PressedMost finds the stretch and level of a joint that a load presses hardest.
func (m *Model) PressedMost(j int, l *Load) (out Pressed) {
	jm := &m.Joints[j]
	out.Crush[0], out.Crush[1] = m.crushes(jm, l)
	levels := []int{0}
	if l.Slope != nil && jm.Bending != nil || jm.Warp != nil {
		levels = []int{0, -1, 1}
	}
	for w := range jm.Intervals {
		for _, level := range levels {
			if s := m.StretchAt(j, w, level, l); out.Kinds == nil || s.N < out.N {
				out.Stretch, out.From, out.To = s, jm.Intervals[w].From, jm.Intervals[w].To
			}
		}
	}
	return out
}

// Unrelaxed is what an exposure would ask of the board if no stress eased with time.
type Unrelaxed struct {
	Joint, Time int     // where and when most; −1 where no joint is stressed
	Load        *Load   // then
	Stress      float64 // stress over strength there
	Relaxed     float64 // the most of any joint, and of any line at the rim, with what has eased
}

// UnrelaxedOf finds the joint and time at which an exposure would ask most if no stress
// eased with time.
func (m *Model) UnrelaxedOf(h *ExposureResult) Unrelaxed {
	c := h.LoadHistory
	out := Unrelaxed{Joint: -1, Relaxed: h.most}
	for i := range c.Times {
		l := m.elasticAt(c, i, m.Strengths(c.Moistures(i)))
		for j := range m.Joints {
			if u := m.Worst(j, l).U; u > out.Stress {
				out.Joint, out.Time, out.Load, out.Stress = j, i, l, u
			}
		}
	}
	return out
}

// elasticAt is the load at one time of a history if no stress had eased: what moisture
// alone would do, stiffened as the wood dries.
func (m *Model) elasticAt(c *LoadHistory, i int, scale []KindScale) *Load {
	return m.At(c, c.Elastic, i, scale).Scaled(func(int) bool { return true }, c.stiff[i])
}

// Stiff is the factor on all stress at one time of a history, for wood that stiffens as
// it dries.
func (c *LoadHistory) Stiff(i int) float64 { return c.stiff[i] }

// Rested is the load at the end of a rest between two glue-ups, all that moved until then
// still there, at the strengths of gluing.
func (m *Model) Rested(spell int) *Load {
	l := &Load{Mean: make([]float64, len(m.Kinds)), Locked: make([]float64, len(m.spells))}
	for k := 0; k <= spell; k++ {
		l.Locked[k] = 1
	}
	return l
}

// restedWorst is the worst stress over strength at the end of a spell.
func (m *Model) restedWorst(spell int) (u float64, joint int) {
	l := m.Rested(spell)
	joint = -1
	for j := range m.Joints {
		if d := m.Worst(j, l); verdict.Worse(d.U, max(u, Quiet)) {
			u, joint = d.U, j
		}
	}
	return u, joint
}
