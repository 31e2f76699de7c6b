package risk

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/joint"
)

// limit is the limit state of one joint at one moment, 1 − u: the mean traction
// over the governing window as linear functionals of every piece's free strain.
type limit struct {
	s     *scatter
	joint int
	d     influence.Critical
	load  *influence.Load
	kept  influence.Kept
	z     float64              // mm, height of the governing level
	bent  bool                 // a gradient of moisture bends the board
	mem   [2][]plate.Influence // normal, shear; per piece
	bend  [2][]plate.Influence // nil without bending
	rest  [2][]float64         // per piece: influence of the amount beyond that of the even strain (curved and slanting rings)
	restB [2][]float64
	own   []reliability.Variable
	law   joint.Law // of the part that governs, at the moment's moisture
}

// own is the number of variables of one joint alone: factors on its tension and
// shear strength, which follow the shared ones.
const own = 2

// ownVariables gives them for the part of a joint that the sides named hold: the scatter
// between pieces, and that of a strength estimated from a relation about its line.
func ownVariables(of ...joint.Side) []reliability.Variable {
	tension, shear := variation.Of("tension_perp"), variation.Of("shear_parallel")
	for _, s := range of {
		sliding := "shear_parallel"
		if math.Abs(s.Frame.L[2]) > math.Sqrt2/2 { // fibres stand up: they roll
			sliding = "rolling_shear"
		}
		tension, shear = math.Max(tension, s.Species.StrengthScatter("tension_perp")), math.Max(shear, s.Species.StrengthScatter(sliding))
	}
	return []reliability.Variable{{Law: reliability.Lognormal, Mean: 1, SD: tension}, {Law: reliability.Lognormal, Mean: 1, SD: shear}}
}

// limits prepares the limit states of joints: two adjoint solves each, and two
// more for each way of bending where a face governs.
func (m Board) limits(s *scatter, at []influence.Moment) ([]*limit, error) {
	out := make([]*limit, len(at))
	var mem, bend, warp []plate.Weights
	for i, g := range at {
		jm := &m.Joints[g.Joint]
		lim := jm.Capacity.At(m.Scale(jm, g.Load, g.D.Level))
		j := lim.Judge(g.D.N, g.D.T)
		l := &limit{s: s, joint: g.Joint, d: g.D, load: g.Load, kept: g.Load.Kept, law: j.Law}
		a, b := m.Sides[m.Board.Joints[g.Joint].A], m.Sides[m.Board.Joints[g.Joint].B]
		switch j.Part {
		case joint.WoodA:
			l.own = ownVariables(a)
		case joint.WoodB:
			l.own = ownVariables(b)
		default: // a bond is as strong as the wood it holds to
			l.own = ownVariables(a, b)
		}
		var pair [2]plate.Weights
		for c := range pair {
			pair[c] = plate.Weights{Trace: jm.Trace, Node: make([]plate.Traction, len(jm.Trace.S))}
		}
		for n, w := range jm.Windows[g.D.Window].Weight {
			pair[0].Node[n].N, pair[1].Node[n].T = w, w
		}
		mem = append(mem, pair[:]...)
		if g.D.Level != 0 {
			h := m.Board.Thickness / 2
			l.z = float64(g.D.Level) * (h - math.Min(jm.Capacity.Length, h)/2)
			if m.Bends && g.Load.Slope != nil {
				bend = append(bend, pair[:]...)
				l.bent = true
			}
			if m.Warps {
				warp = append(warp, pair[:]...)
			}
		}
		out[i] = l
	}
	in, err := m.Plate.Influences(plate.Membrane, mem)
	if err != nil {
		return nil, err
	}
	var inB, inW [][]plate.Influence
	if len(bend) > 0 {
		if inB, err = m.Plate.Influences(plate.Bending, bend); err != nil {
			return nil, err
		}
	}
	if len(warp) > 0 {
		if inW, err = m.Plate.Influences(plate.Warp, warp); err != nil {
			return nil, err
		}
	}
	for i, l := range out {
		for c := range l.mem {
			l.mem[c] = in[2*i+c]
			l.rest[c] = m.beyond(l.mem[c])
			if l.bent {
				l.bend[c] = inB[0]
				l.restB[c] = m.beyond(inB[0])
				inB = inB[1:]
			}
			if l.z != 0 && m.Warps {
				for k := range l.rest[c] {
					l.rest[c][k] += l.z * inW[0][k].Amount
				}
				inW = inW[1:]
			}
		}
	}
	return out, nil
}

// beyond gives what a piece's amount does beyond an even strain equal to that at
// its centre: nothing for straight rings. For curved rings it is held while the
// scatter acts on the even part, and so is what slanting rings do to bend the
// board under an even change.
func (m Board) beyond(in []plate.Influence) []float64 {
	out := make([]float64, len(in))
	for i := range in {
		if m.Wood[i].At != nil {
			out[i] = in[i].Amount - inner(&in[i].Strain, &m.Wood[i].Unit)
		}
	}
	return out
}

func inner(a, b *[3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// tractions gives normal and shear traction for units of every piece.
func (l *limit) tractions(units []strain, x []float64) (out [2]float64) {
	m := l.s.m
	for i := range units {
		k := m.KindOf[i]
		amount := l.amount(i, x)
		for c := range out {
			out[c] += (inner(&l.mem[c][i].Strain, &units[i].unit) + l.rest[c][i]) * amount
			if l.bent {
				out[c] += l.z * (inner(&l.bend[c][i].Strain, &units[i].unit) + l.restB[c][i]) * l.load.Slope[k]
			}
		}
	}
	return out
}

// amount is the % MC that strains a piece, relative to its gluing moisture.
func (l *limit) amount(i int, x []float64) float64 {
	return l.load.Mean[l.s.m.KindOf[i]] - l.kept.Glued*x[l.s.first(i)+2] + l.kept.Air*x[varAir]
}

// utilisation is u for tractions, the stiffness factor, and the two factors on
// the strengths; with its slopes by all five.
func (l *limit) utilisation(n, t, stiff, ft, fv float64) (u float64, by [5]float64) {
	law := l.law.Scaled(ft, fv)
	j := law.Judge(stiff*n, stiff*t)
	return j.U, [5]float64{stiff * j.ByN, stiff * j.ByT, j.U / stiff, j.ByTension / ft, j.ByShear / fv}
}

// state is the reliability.LimitState of the joint over shared and own variables.
func (l *limit) state(x, grad []float64) float64 {
	s := l.s
	n := len(s.vars)
	units := make([]strain, len(s.wood))
	for i := range units {
		s.strainOf(i, x, grad != nil, &units[i])
	}
	f := l.tractions(units, x)
	u, by := l.utilisation(f[0], f[1], x[varStiffness], x[n], x[n+1])
	if grad == nil {
		return 1 - u
	}
	grad[varStiffness], grad[n], grad[n+1] = -by[2], -by[3], -by[4]
	l.slopes(units, x, -by[0], -by[1], grad)
	return 1 - u
}

// slopes adds the slopes of cn·N + ct·T by every shared variable but stiffness.
func (l *limit) slopes(units []strain, x []float64, cn, ct float64, grad []float64) {
	s := l.s
	for i := range units {
		un := &units[i]
		at, w := s.first(i), varWoods+2*s.wood[i]
		amount := l.amount(i, x)
		var pull [3]float64 // influence of the piece's strain per % MC
		per := cn*l.rest[0][i] + ct*l.rest[1][i]
		for k := range pull {
			q := cn*l.mem[0][i].Strain[k] + ct*l.mem[1][i].Strain[k]
			per += q * un.unit[k]
			pull[k] = q * amount
			if l.bent {
				pull[k] += l.z * (cn*l.bend[0][i].Strain[k] + ct*l.bend[1][i].Strain[k]) * l.load.Slope[s.m.KindOf[i]]
			}
		}
		r, t := inner(&pull, &un.byR), inner(&pull, &un.byT)
		grad[w] += r * x[at]
		grad[at] += r * x[w]
		grad[w+1] += t * x[at+1]
		grad[at+1] += t * x[w+1]
		grad[at+2] += inner(&pull, &un.byMC) - l.kept.Glued*per
		grad[at+3] += inner(&pull, &un.byDeg)
		grad[varAir] += l.kept.Air * per
	}
}
