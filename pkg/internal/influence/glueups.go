package influence

import (
	"context"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// GlueUp is one stage of a board that is glued in stages, and what it does to it.
type GlueUp struct {
	*layout.Stage
	Moisture []float64 // % MC per piece of Stage.Pieces when it is glued
	Share    float64   // of the worst place's load: what moved from this glue-up to the next, of the last what moved since; they sum to 1
	Spell    int       // number of the rest that follows it, −1 where nothing moves in it
	Slope    float64   // of the worst place's load over the critical one, by the share that is left of that rest's stress
	Stress   float64   // worst stress over strength of the joints there were when it had rested, had nothing eased; 0 of the last
	Joint    int       // where that is, −1 for nowhere
}

// GlueUps tells the stages in order; none of a board glued in one go.
func (m *Model) GlueUps(j *Judged) []GlueUp {
	var out []GlueUp
	for k := range m.Board.Stages {
		g := GlueUp{Stage: &m.Board.Stages[k], Joint: -1, Spell: -1}
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
	for k, slope := range m.lockedSlopes(j) {
		g := &out[m.past.spells[k].stage]
		g.Spell, g.Slope = k, slope
		if slope != 0 {
			g.Share = j.Worst.Load.Locked[k] * slope / j.Worst.D.U
		}
		last.Share -= g.Share
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

// lockedSlopes is how the worst place's load over the critical one goes with the share that
// is left of what each rest between glue-ups brought: of degree one in the amounts.
func (m *Model) lockedSlopes(j *Judged) []float64 {
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
	for k := range out {
		out[k] = at.Result.ByMembrane[n+k]
		if m.Warps && at.Heights > 1 {
			out[k] += at.Result.ByBending[2*n+k]
		}
	}
	return out
}

// Once is a board at the worst moment of all, had it been glued in one go.
type Once struct {
	Line  LineMoment // the worst glue line then; without a load where nothing opens one
	Rests []Moved
}

// Moved is what a rest between two glue-ups adds to what the board's wood has moved by,
// had all been glued before it.
type Moved struct {
	After int       // number of the stage after which it comes
	Share float64   // of its stress that is left
	Bound []float64 // % MC of bound water per kind
}

// AtOnce is the load over the critical one (dimensionless) of the worst glue line at the worst moment, had
// the board been glued in one go, every piece at the moisture at which it was first
// glued: all that moved since strains the whole board. 0 where no glue line governs, or
// without stages. The error is that of the context or of the crack faces.
func (m *Model) AtOnce(ctx context.Context, j *Judged) (float64, error) {
	o, err := m.GluedAtOnce(ctx, j)
	if o == nil || err != nil {
		return 0, err
	}
	return o.Line.Result.V, nil
}

// GluedAtOnce is what stands behind AtOnce; nil where no glue line governs, or without
// stages. Errors: those of AtOnce.
func (m *Model) GluedAtOnce(ctx context.Context, j *Judged) (*Once, error) {
	l := j.Worst.Load
	if len(m.past.spells) == 0 || l == nil || j.Worst.Joint < 0 {
		return nil, nil
	}
	o, once := &Once{}, *l
	once.Mean, once.Locked = slices.Clone(l.Mean), make([]float64, len(l.Locked))
	for n, share := range l.Locked {
		s := &m.past.spells[n]
		r := Moved{After: s.stage, Share: share, Bound: make([]float64, len(m.Kinds))}
		for k := range m.Kinds {
			i := slices.Index(m.KindOf, k)
			r.Bound[k] = m.Kinds[k].Species.BoundWater(s.to[i]) - m.Kinds[k].Species.BoundWater(s.from[i])
			once.Mean[k] += share * r.Bound[k]
		}
		o.Rests = append(o.Rests, r)
	}
	var err error
	o.Line, err = m.newLineSweep().over(ctx, []*Load{&once}, j.Worst.State, []float64{j.Worst.Hour}, true)
	return o, err
}
