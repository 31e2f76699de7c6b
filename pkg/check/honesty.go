package check

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/wood"
)

// noFinish is the key of bare wood.
const noFinish = "none"

const (
	leastEffect = 0.005 // inputs that change the worst utilisation by less are not listed
	mostWeighed = 12    // joints among which the worst is looked for anew when an input changes
)

// weighing holds the worst places of a report, to be judged again with an input
// changed. Nothing is factorised again: loads and strengths are scaled.
type weighing struct {
	m      *Model
	joints []governing
	kept   []kept
	hours  []float64
	wood   *load // of the wood that governs, nil when a joint does
	u      float64
}

// honesty says what the answer leans on: the weak inputs by how much they move
// the worst utilisation, what was taken for granted, and what was left out.
func (m *Model) honesty(ctx context.Context, c Conditions, w *work) (Honesty, error) {
	h := Honesty{Estimated: []Input{}, Assumptions: m.assumptions(c), NotModelled: slices.Clone(notModelled)}
	if w.r.Worst == nil {
		return h, nil
	}
	g, err := m.weighing(c, w)
	if err != nil {
		return h, err
	}
	down, up := 0.0, 0.0
	add := func(what string, status wood.Status, source string, a, b float64) {
		lo, hi := math.Min(a, b), math.Max(a, b)
		if effect := (hi - lo) / 2 / g.u; effect >= leastEffect {
			h.Estimated = append(h.Estimated, Input{What: what, Status: string(status), Source: source, Effect: effect})
			d, u := math.Max(0, g.u-lo), math.Max(0, hi-g.u)
			down, up = down+d*d, up+u*u
		}
	}
	g.woods(add)
	g.length(add)
	g.bond(add)
	g.stiffness(add)
	if err := g.surroundings(ctx, c, w, add); err != nil {
		return h, err
	}
	sort.SliceStable(h.Estimated, func(a, b int) bool { return h.Estimated[a].Effect > h.Estimated[b].Effect })
	// Tractions cannot turn round, however far off the inputs are.
	h.Low, h.High = math.Max(0, g.u-math.Sqrt(down)), g.u+math.Sqrt(up)
	return h, nil
}

// adder takes an input with the worst utilisation at both its ends.
type adder func(what string, status wood.Status, source string, low, high float64)

func (m *Model) weighing(c Conditions, w *work) (*weighing, error) {
	g := &weighing{m: m}
	for _, at := range w.joints {
		if at.load != nil {
			g.joints = append(g.joints, at)
		}
	}
	sort.SliceStable(g.joints, func(a, b int) bool { return g.joints[a].d.u > g.joints[b].d.u })
	g.joints = g.joints[:min(mostWeighed, len(g.joints))]
	for _, at := range g.joints {
		r := &w.r.Joints[at.joint]
		k, err := m.keptAt(c, r.State, r.Hour)
		if err != nil {
			return nil, err
		}
		g.kept, g.hours = append(g.kept, k), append(g.hours, r.Hour)
	}
	if w.worst.joint < 0 {
		g.wood = w.worst.load
	}
	g.u = g.worst(func(_ int, l *load) *load { return l })
	return g, nil
}

// worst judges the worst places again; change gets the number of the joint among
// those weighed, −1 for the wood.
func (g *weighing) worst(change func(i int, l *load) *load) float64 {
	u := 0.0
	for i, at := range g.joints {
		u = math.Max(u, g.m.worst(at.joint, change(i, at.load)).u)
	}
	if g.wood != nil {
		_, in := g.m.inside(change(-1, g.wood))
		u = math.Max(u, in.u)
	}
	return u
}

// both judges with a factor below and one above 1.
func (g *weighing) both(low, high float64, change func(f float64, i int, l *load) *load) (a, b float64) {
	a = g.worst(func(i int, l *load) *load { return change(low, i, l) })
	return a, g.worst(func(i int, l *load) *load { return change(high, i, l) })
}

func weak(s wood.Status) bool { return s == wood.Memory || s == wood.Estimated }

// span gives the factors at both ends of a value: its own range where it has
// one, else a coefficient of variation.
func span(v wood.Value, cov float64) (low, high float64) {
	if v.Lo > 0 && v.Hi > v.Lo && v.V > 0 {
		return v.Lo / v.V, v.Hi / v.V
	}
	return 1 - cov, 1 + cov
}

// surroundings weighs climate, relaxation and finish.
func (g *weighing) surroundings(ctx context.Context, c Conditions, w *work, add adder) error {
	m := g.m
	home, err := climateOf(m.board, c)
	if err != nil {
		return err
	}
	of := func(i int) kept {
		if i < 0 {
			return g.woodKept(c, w)
		}
		return g.kept[i]
	}
	if weak(home.Status) {
		from := ""
		if len(home.Sources) > 0 {
			from = home.Sources[len(home.Sources)-1]
		}
		a, b := g.both(-airSpread, airSpread, func(f float64, i int, l *load) *load {
			out := *l
			out.mean = slices.Clone(l.mean)
			for k := range out.mean {
				out.mean[k] += f * of(i).air
			}
			return &out
		})
		add(fmt.Sprintf("climate “%s”, by %g %% moisture of the wood", home.Name, airSpread), home.Status, from, a, b)
	}
	ratio := func(v relax.Variant, i int) float64 {
		hour := w.r.Worst.Hour
		if i >= 0 {
			hour = g.hours[i]
		}
		switch {
		case hour == 0 && of(i).glued == 1, of(i) == kept{}:
			return 1 // sudden: no time to relax
		case hour == 0:
			hour = relax.Season()
		}
		return relax.Factor(hour, v) / relax.Factor(hour, relax.Typical)
	}
	all := func(int) bool { return true }
	at := func(v relax.Variant) float64 {
		return g.worst(func(i int, l *load) *load { return l.moved(all, ratio(v, i)) })
	}
	add("how far stress relaxes across the grain", wood.Estimated, "TANRAD-EST", at(relax.Low), at(relax.High))
	return g.finish(ctx, c, w, add)
}

func (g *weighing) woodKept(c Conditions, w *work) kept {
	k, err := g.m.keptAt(c, w.r.Worst.State, w.r.Worst.Hour)
	if err != nil {
		return kept{}
	}
	return k
}

// finish weighs the finish when an exposure governs: the published figures are
// for side grain, so on end grain it may do anything between nothing and what
// is taken. The exposure is followed again with bare wood.
func (g *weighing) finish(ctx context.Context, c Conditions, w *work, add adder) error {
	m := g.m
	key := m.board.Finish
	if key == "" || key == noFinish || g.wood != nil || len(g.joints) == 0 || c.NoChance {
		return nil
	}
	f, err := moisture.FindFinish(key)
	if err != nil {
		return err
	}
	bare, err := g.bareWorst(ctx, c, w.r.Worst.State)
	if err != nil || bare == 0 {
		return err
	}
	// Half way to bare wood, either way.
	d := math.Abs(bare-g.u) / 2
	add("finish “"+f.Name+"” on end grain: measured on side grain only; half the difference to bare wood", wood.Estimated, f.Source, math.Max(0, g.u-d), g.u+d)
	return nil
}

// bareWorst follows one exposure again with no finish and judges the worst
// joints through it; 0 when there is no exposure of that name.
func (g *weighing) bareWorst(ctx context.Context, c Conditions, state string) (float64, error) {
	m := g.m
	events, err := m.events(c)
	if err != nil {
		return 0, err
	}
	at := slices.IndexFunc(events, func(e moisture.Event) bool { return e.Name == state })
	if at < 0 {
		return 0, nil
	}
	in, err := m.setting(c)
	if err != nil {
		return 0, err
	}
	other, board := *m, *m.board
	board.Finish = noFinish
	other.board = &board
	co, err := other.follow(ctx, events[at], in)
	if err != nil {
		return 0, err
	}
	u, mc := 0.0, make([]float64, len(m.kinds))
	for i := range co.times {
		for k := range mc {
			mc[k] = co.mean[k][i]
		}
		l := m.at(co.stress, i, m.strengths(mc))
		for _, j := range g.joints {
			u = math.Max(u, m.worst(j.joint, l).u)
		}
	}
	return u, nil
}
