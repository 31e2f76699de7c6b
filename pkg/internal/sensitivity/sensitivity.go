// Package sensitivity tells how much each weak input moves the worst utilisation
// of a judged board.
package sensitivity

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// noFinish is the key of bare wood.
const noFinish = "none"

const (
	LeastEffect = 0.005 // inputs that change the worst utilisation by less are not listed
	mostWeighed = 12    // joints, and pieces, among which the worst is looked for anew when an input changes
)

// weighing holds the worst places of a report, to be judged again with an input
// changed. Nothing is factorised again: loads and strengths are scaled.
type weighing struct {
	m      *influence.Model
	j      *influence.Judged
	quick  bool
	joints []influence.Moment
	wood   *influence.Load   // of the wood that governs, nil when a joint does
	inside *influence.WoodOf // the pieces it stresses hardest
	u      float64

	ended func() error // the error of the context
	err   error        // the first that was seen: from then on nothing is worked out
}

// Input is one input that is estimated or from memory.
type Input struct {
	What   string
	Status wood.Status
	Source string
	Effect float64 // relative change of the worst utilisation
}

// Inputs lists the weak inputs of a judged board, the most influential first,
// and the range of the worst utilisation when each is off as far as its effect
// says (dimensionless), all independent of each other. quick leaves out the
// finish, for which an exposure has to be followed again.
func Inputs(ctx context.Context, m *influence.Model, j *influence.Judged, quick bool) (found []Input, low, high float64, err error) {
	g := newWeighing(m, j, quick, ctx.Err)
	down, up := 0.0, 0.0
	add := func(what string, status wood.Status, source string, a, b float64) {
		lo, hi := math.Min(a, b), math.Max(a, b)
		if effect := (hi - lo) / 2 / g.u; effect >= LeastEffect {
			found = append(found, Input{what, status, source, effect})
			d, u := math.Max(0, g.u-lo), math.Max(0, hi-g.u)
			down, up = down+d*d, up+u*u
		}
	}
	g.woods(add)
	g.length(add)
	g.bond(add)
	g.stiffness(add)
	if err := g.surroundings(ctx, add); err != nil {
		return nil, 0, 0, err
	}
	if g.err != nil {
		return nil, 0, 0, g.err
	}
	sort.SliceStable(found, func(a, b int) bool { return verdict.Worse(found[a].Effect, found[b].Effect) })
	// Tractions cannot turn round, however far off the inputs are.
	return found, math.Max(0, g.u-math.Sqrt(down)), g.u + math.Sqrt(up), nil
}

// adder takes an input with the worst utilisation at both its ends.
type adder func(what string, status wood.Status, source string, low, high float64)

func newWeighing(m *influence.Model, j *influence.Judged, quick bool, ended func() error) *weighing {
	g := &weighing{m: m, j: j, quick: quick, ended: ended}
	for _, i := range hardest(len(j.Joints), func(i int) float64 { return j.Joints[i].D.U }) {
		if j.Joints[i].Load != nil {
			g.joints = append(g.joints, j.Joints[i])
		}
	}
	if j.Worst.Joint < 0 {
		g.wood = j.Worst.Load
		inside := m.InsideOf(j, g.wood)
		g.inside = m.WoodOf(hardest(len(inside), func(i int) float64 { return inside[i].U }))
	}
	g.u = g.worst(func(_ int, l *influence.Load) *influence.Load { return l })
	return g
}

// hardest lists the few of n places at which most is asked, the first of equals first.
func hardest(n int, u func(i int) float64) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return verdict.Worse(u(order[a]), u(order[b])) })
	return order[:min(mostWeighed, n)]
}

// worst judges the worst places again; change gets the number of the joint among
// those weighed, −1 for the wood.
func (g *weighing) worst(change func(i int, l *influence.Load) *influence.Load) float64 {
	u := 0.0
	if g.err == nil {
		g.err = g.ended()
	}
	if g.err != nil {
		return u
	}
	for i, at := range g.joints {
		u = math.Max(u, g.m.Worst(at.Joint, change(i, at.Load)).U)
	}
	if g.wood != nil {
		u = math.Max(u, g.inside.Worst(change(-1, g.wood)))
	}
	return u
}

// both judges with a factor below and one above 1.
func (g *weighing) both(low, high float64, change func(f float64, i int, l *influence.Load) *influence.Load) (a, b float64) {
	a = g.worst(func(i int, l *influence.Load) *influence.Load { return change(low, i, l) })
	return a, g.worst(func(i int, l *influence.Load) *influence.Load { return change(high, i, l) })
}

// Weak tells whether a value is estimated or from memory.
func Weak(s wood.Status) bool { return s == wood.Memory || s == wood.Estimated }

// Span gives the factors (dimensionless) at both ends of a value: its own range where it has
// one, else a coefficient of variation.
func Span(v wood.Value, cov float64) (low, high float64) {
	if v.Lo > 0 && v.Hi > v.Lo && v.V > 0 {
		return v.Lo / v.V, v.Hi / v.V
	}
	return 1 - cov, 1 + cov
}

// surroundings weighs climate, relaxation and finish.
func (g *weighing) surroundings(ctx context.Context, add adder) error {
	home := g.j.Setting.Home
	if Weak(home.Status) {
		from := ""
		if len(home.Sources) > 0 {
			from = home.Sources[len(home.Sources)-1]
		}
		a, b := g.both(-variation.Ours().Settled, variation.Ours().Settled, func(f float64, i int, l *influence.Load) *influence.Load {
			out := *l
			out.Mean = slices.Clone(l.Mean)
			for k := range out.Mean {
				out.Mean[k] += f * l.Residual.Air
			}
			return &out
		})
		add(fmt.Sprintf("climate “%s”, by %g %% moisture of the wood", home.Name, variation.Ours().Settled), home.Status, from, a, b)
	}
	ratio := func(v relax.Variant, i int, l *influence.Load) float64 {
		k := l.Residual
		hour := g.j.Worst.Hour
		if i >= 0 {
			hour = g.joints[i].Hour
		}
		switch {
		case hour == 0 && k.Glued == 1, k == influence.Residual{}:
			return 1 // sudden: no time to relax
		case hour == 0:
			return relax.Seasonal(l.Change, v) / relax.Seasonal(l.Change, relax.Typical)
		}
		// by time alone, and what the change of moisture adds in a season
		still := relax.Factor(hour, v) / relax.Factor(hour, relax.Typical)
		return still * relax.Seasonal(l.Change, v) / relax.Seasonal(0, v) * relax.Seasonal(0, relax.Typical) / relax.Seasonal(l.Change, relax.Typical)
	}
	all := func(int) bool { return true }
	at := func(v relax.Variant) float64 {
		return g.worst(func(i int, l *influence.Load) *influence.Load { return l.Scaled(all, ratio(v, i, l)) })
	}
	add("how far stress relaxes across the grain", wood.Estimated, "TANRAD-EST", at(relax.Low), at(relax.High))
	return g.finish(ctx, add)
}

// finish weighs the finish when an exposure governs: the published figures are
// for side grain, so on end grain it may do anything between nothing and what
// is taken. The exposure is followed again with bare wood.
func (g *weighing) finish(ctx context.Context, add adder) error {
	m := g.m
	key := m.Board.Finish
	if key == "" || key == noFinish || g.wood != nil || len(g.joints) == 0 || g.quick {
		return nil
	}
	f, err := moisture.FindFinish(key)
	if err != nil {
		return err
	}
	bare, err := g.bareWorst(ctx)
	if err != nil || bare == 0 {
		return err
	}
	// Half way to bare wood, either way.
	d := math.Abs(bare-g.u) / 2
	add("finish “"+f.Name+"” on end grain: measured on side grain only; half the difference to bare wood", wood.Estimated, f.Source, math.Max(0, g.u-d), g.u+d)
	return nil
}

// bareWorst follows the exposure that governs again with no finish and judges the
// worst joints through it; 0 when an end state governs.
func (g *weighing) bareWorst(ctx context.Context) (float64, error) {
	m := g.m
	if g.j.History < 0 {
		return 0, nil
	}
	other, board := *m, *m.Board
	board.Finish, board.FinishBottom = noFinish, noFinish
	other.Board = &board
	co, err := other.Follow(ctx, g.j.Histories[g.j.History].LoadHistory.Event, g.j.Setting)
	if err != nil {
		return 0, err
	}
	u, mc := 0.0, make([]float64, len(m.Kinds))
	for i := range co.Times {
		for k := range mc {
			mc[k] = co.Mean[k][i]
		}
		l := m.At(co, co.Stress, i, m.Strengths(mc))
		for _, j := range g.joints {
			u = math.Max(u, m.Worst(j.Joint, l).U)
		}
	}
	return u, nil
}
