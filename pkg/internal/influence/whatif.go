package influence

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// Uniform is one uniform end state as a load on every piece, for searches that
// work with influences of their own. Of a board glued in stages it counts from the last
// glue-up, without the stress that earlier rests left: where blocks turn in a field that
// rested, a search ranks by the larger part.
type Uniform struct {
	Name           string
	Load           []float64 // % MC per piece from gluing, as stress remembers it (relaxed when it comes with the season)
	Tension, Shear []float64 // per piece, strength at the end moisture over strength at gluing
}

// Uniforms lists the uniform end states of the conditions. Errors: those of an
// unknown climate or an impossible moisture.
func (p *Parts) Uniforms(d *Demand) ([]Uniform, error) {
	ends, err := p.EndStates(d)
	if err != nil {
		return nil, err
	}
	out := make([]Uniform, len(ends))
	for s := range ends {
		_, l := p.LoadOf(&ends[s])
		u := Uniform{Name: ends[s].Name}
		for i := range p.Board.Pieces {
			now := p.strengthOf(l, i)
			u.Load = append(u.Load, p.Of(l.Mean, i))
			u.Tension = append(u.Tension, now.Tension)
			u.Shear = append(u.Shear, now.Shear)
		}
		out[s] = u
	}
	return out, nil
}

// UniformWorst is the worst of the uniform end states and nothing else.
type UniformWorst struct {
	Utilisation float64
	Joints      []float64 // worst stress over strength of every joint
	Pieces      []float64 // worst stress over strength of the wood of every piece
}

// WorstUniform judges the uniform end states by stress over strength: the quick
// figure of a search, above which the load over the critical one cannot lie.
func (m *Model) WorstUniform(ctx context.Context, d *Demand) (UniformWorst, error) {
	w := UniformWorst{Joints: make([]float64, len(m.Joints)), Pieces: make([]float64, len(m.Board.Pieces))}
	ends, err := m.EndStates(d)
	if err != nil {
		return w, err
	}
	for i := range ends {
		if err := ctx.Err(); err != nil {
			return w, err
		}
		v := m.judge(ends[i], false)
		for j := range v.joints {
			w.Joints[j] = max(w.Joints[j], v.joints[j].U)
			w.Utilisation = max(w.Utilisation, v.joints[j].U)
		}
		w.Utilisation = max(w.Utilisation, v.Wood.U)
		for p := range v.inside {
			u := v.inside[p].U
			w.Pieces[p] = max(w.Pieces[p], u)
		}
	}
	return w, nil
}

// Glue gives a joint's trace and the stretches over which its traction is
// averaged.
func (m *Model) Glue(j int) (*plate.Trace, []joint.Interval) {
	return m.Joints[j].Trace, m.Joints[j].Intervals
}

// Constants is what every piece of a board brings to a search: stiffness and
// swelling in board axes, its side of a joint, and the uniform loads it meets.
type Constants struct {
	Wood     []plate.Wood
	Sides    []joint.Side
	Uniforms []Uniform
	Bond     func(mcA, mcB float64) float64 // factor on the bond of wood glued at these % MC
}

// ConstantsOf works these out without meshing or solving anything. Errors:
// those of woods that cannot be used, and of Uniforms.
func ConstantsOf(ctx context.Context, b *layout.Board, d *Demand) (*Constants, error) {
	p, err := translate(ctx, b, nil)
	if err != nil {
		return nil, err
	}
	glue, err := adhesive.Find(b.Glue)
	if err != nil {
		return nil, fault.At(err, "/glue")
	}
	out := &Constants{Wood: p.Wood, Sides: p.Sides, Bond: glue.GluedAt}
	if out.Uniforms, err = p.Uniforms(d); err != nil {
		return nil, err
	}
	return out, nil
}

// Patch is a square of wood over which stress is averaged: the weighted mean of
// the stress of some elements.
type Patch struct {
	Elements []int32
	Weight   []float64 // sum to 1
}

// Patches lists the squares at which the wood of a piece is judged; see inside.
func (m *Model) Patches(piece int) []Patch {
	out := make([]Patch, len(m.patches[piece]))
	for k, p := range m.patches[piece] {
		els := make([]int32, len(p.els))
		for q, e := range p.els {
			els[q] = m.Mesh.ByPiece[piece][e]
		}
		out[k] = Patch{els, p.weight}
	}
	return out
}

// WorstEven is the worst utilisation with every piece at one moisture [% MC]:
// settled in the air of a home, so that stress has relaxed, or suddenly when home
// is nil. Errors: the context's.
func (m *Model) WorstEven(ctx context.Context, mc float64, home *moisture.Climate) (float64, error) {
	e := EndState{left: 1, Moisture: m.same(max(0, mc))}
	if home != nil {
		year := leftOfTheYear(home)
		e.left = m.leftAt(&year, mc)
	}
	return m.worstAt(ctx, e)
}

// WorstShift is the worst utilisation with every piece changed by d [% MC] from
// its moisture at gluing; slow says that the change took a season. Errors: the
// context's.
func (m *Model) WorstShift(ctx context.Context, d float64, slow bool) (float64, error) {
	return m.worstAt(ctx, m.shifted(d, slow))
}

// worstAt is the load over the one at which the worst crack runs in an end state:
// stress over strength there, times what the two are to each other when the whole
// board dries, or swells, by crackSteps, in a straight line between them. Where all pieces
// change alike that is exact but for what moisture does to the strengths, since both are of
// degree one.
func (m *Model) worstAt(ctx context.Context, e EndState) (float64, error) {
	v := m.judge(e, false)
	u := v.Wood.U
	for j := range v.joints {
		u = max(u, v.joints[j].U)
	}
	change := 0.0
	for k := range m.Kinds {
		change += m.Kinds[k].share * (e.Moisture[k] - m.Kinds[k].Start)
	}
	share, err := m.crackShare(ctx, 0, change < 0)
	if beyond := (math.Abs(change) - crackSteps[0]) / (crackSteps[1] - crackSteps[0]); beyond > 0 && err == nil {
		var far float64
		far, err = m.crackShare(ctx, 1, change < 0)
		share += min(1, beyond) * (far - share)
	}
	return u * share, err
}

// crackSteps are the changes [% MC] at which crackShare is taken.
var crackSteps = [2]float64{3, 7}

// crackShare is the load over the critical one, over stress over strength, when the
// whole board changes by one of crackSteps; worked out once for each sense.
func (m *Model) crackShare(ctx context.Context, step int, drying bool) (float64, error) {
	m.shares.Lock()
	defer m.shares.Unlock()
	k, d := 0, crackSteps[step]
	if drying {
		k, d = 1, -d
	}
	if m.share[step][k] == 0 {
		e := m.shifted(d, false)
		all, err := m.judgeEnds(ctx, []EndState{e}, false)
		if err != nil {
			return 0, err
		}
		u := all.States[0].Wood.U
		for j := range all.States[0].joints {
			u = max(u, all.States[0].joints[j].U)
		}
		m.share[step][k] = 1
		if v := all.Worst.D.U; u > Quiet && v > 0 {
			m.share[step][k] = min(1, v/u)
		}
	}
	return m.share[step][k], nil
}

func (m *Model) shifted(d float64, slow bool) EndState {
	e := EndState{left: 1, Moisture: make([]float64, len(m.Kinds))}
	if slow {
		e.left = relax.Seasonal(d, relax.Typical)
	}
	for k := range m.Kinds {
		e.Moisture[k] = max(0, m.Kinds[k].Start+d)
	}
	return e
}

// Even is a board judged with every piece at one moisture: its joints and the wood
// of its pieces at their worst.
type Even struct {
	Joints []Critical
	Wood   []WoodDemand
	Load   *Load
	Left   float64 // share of the elastic stress that is left: 1 for a sudden change
}

// EvenAt judges the board with every piece at one moisture [% MC]; slow says that
// the change took a season, so that stress has relaxed. Errors: the context's.
func (m *Model) EvenAt(ctx context.Context, mc float64, slow bool) (Even, error) {
	e := EndState{left: 1, Moisture: m.same(max(0, mc))}
	if slow {
		change := 0.0
		for k := range m.Kinds {
			change += m.Kinds[k].share * math.Abs(e.Moisture[k]-m.Kinds[k].Start)
		}
		e.left = relax.Seasonal(change, relax.Typical)
	}
	all, err := m.judgeEnds(ctx, []EndState{e}, false)
	if err != nil {
		return Even{}, err
	}
	stress := all.States[0].Load
	out := Even{Wood: m.woodAt(stress), Load: stress, Left: e.left}
	for i := range out.Wood {
		out.Wood[i].U = all.Pieces[i].U
	}
	for j := range m.Joints {
		d := all.Joints[j].D
		if all.Joints[j].Load == nil {
			d = m.Worst(j, stress)
		}
		out.Joints = append(out.Joints, d)
	}
	return out, nil
}

// WorstLine is the load over the critical one (dimensionless) of the worst glue line under
// any of some loads, and the joint that bears most of it, −1 for none. The wood beside the
// lines and cracks that turn are not looked at. Errors: the context's.
func (m *Model) WorstLine(ctx context.Context, loads ...*Load) (v float64, joint int, err error) {
	worst, err := m.newLineSweep().over(ctx, loads, "", make([]float64, len(loads)), true)
	if err != nil || worst.Line < 0 {
		return 0, -1, err
	}
	return worst.Result.V, m.JointOf(&worst), nil
}

// KeptApart is how many moistures at gluing of one wood and grain are kinds of their own;
// of more a piece is a blend of two.
func KeptApart() int { return mostAlike }
