package influence

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// GlueUp is one stage of a board that is glued in stages, and what it does to it.
type GlueUp struct {
	*layout.Stage
	Moisture []float64 // % MC per piece of Stage.Pieces when it is glued
	Share    float64   // of the worst place's load: what moved from this glue-up to the next, of the last what moved since; they sum to 1
	Stress   float64   // worst stress over strength of the joints there were when it had rested, had nothing eased; 0 of the last
	Joint    int       // where that is, −1 for nowhere
}

// GlueUps tells the stages in order; none of a board glued in one go.
func (m *Model) GlueUps(j *Judged) []GlueUp {
	var out []GlueUp
	for k := range m.Board.Stages {
		g := GlueUp{Stage: &m.Board.Stages[k], Joint: -1}
		for _, i := range g.Pieces {
			g.Moisture = append(g.Moisture, m.past.at(k, i))
		}
		out = append(out, g)
	}
	if len(out) == 0 {
		return nil
	}
	last := &out[len(out)-1]
	last.Share = 1
	for k, share := range m.lockedShares(j) {
		g := &out[m.past.spells[k].stage]
		g.Share = share
		last.Share -= share
		g.Stress, g.Joint = m.restedWorst(k)
	}
	return out
}

// at gives the moisture [% MC] of a piece when a glue-up is made.
func (p *past) at(stage, piece int) float64 {
	mc := p.ready[piece]
	for k := len(p.spells) - 1; k >= 0 && p.spells[k].stage >= stage; k-- {
		mc = p.spells[k].from[piece]
	}
	return mc
}

// lockedShares is what the rests between glue-ups give to the worst place, by the
// slopes of its load over the critical one: that is of degree one in the amounts.
func (m *Model) lockedShares(j *Judged) []float64 {
	out := make([]float64, len(m.past.spells))
	l := j.Worst.Load
	var at *LineMoment
	switch {
	case l == nil || len(l.Locked) == 0:
		return out
	case j.Worst.Joint >= 0:
		at = j.Worst.D.Crack
	case len(j.Paths) > 0 && j.Paths[0].Load == l:
		at = &j.Paths[0].LineMoment
	}
	n := len(m.Kinds)
	if at == nil || at.Result.V == 0 {
		return out
	}
	for k, f := range l.Locked {
		slope := at.Result.ByMembrane[n+k]
		if m.Warps && at.Heights > 1 {
			slope += at.Result.ByBending[2*n+k]
		}
		out[k] = f * slope / at.Result.V
	}
	return out
}

// AtOnce is the load over the critical one (dimensionless) of the worst glue line at the worst moment, had
// the board been glued in one go, every piece at the moisture at which it was first
// glued: all that moved since strains the whole board. 0 where no glue line governs, or
// without stages. The error is that of the context or of the crack faces.
func (m *Model) AtOnce(ctx context.Context, j *Judged) (float64, error) {
	l := j.Worst.Load
	if len(m.past.spells) == 0 || l == nil || j.Worst.Joint < 0 {
		return 0, nil
	}
	once := *l
	once.Mean, once.Locked = slices.Clone(l.Mean), make([]float64, len(l.Locked))
	for k := range m.Kinds {
		i := slices.Index(m.KindOf, k)
		for n, share := range l.Locked {
			s := &m.past.spells[n]
			once.Mean[k] += share * (m.Kinds[k].Species.BoundWater(s.to[i]) - m.Kinds[k].Species.BoundWater(s.from[i]))
		}
	}
	worst, err := m.newLineSweep().over(ctx, []*Load{&once}, "", []float64{0}, true)
	return worst.Result.V, err
}

// restedWorst is the worst stress over strength at the end of a spell, all of it there
// still, at the strengths of gluing.
func (m *Model) restedWorst(spell int) (u float64, joint int) {
	l := &Load{Mean: make([]float64, len(m.Kinds)), Locked: make([]float64, len(m.spells))}
	for k := 0; k <= spell; k++ {
		l.Locked[k] = 1
	}
	joint = -1
	for j := range m.Joints {
		if d := m.Worst(j, l); verdict.Worse(d.U, math.Max(u, Quiet)) {
			u, joint = d.U, j
		}
	}
	return u, joint
}
