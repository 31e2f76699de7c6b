package check

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/reliability"
)

const (
	mostForm    = 12   // joints whose design point is searched; each costs two adjoint solves
	leastForm   = 6    // of a large board, where a solve costs more
	formPieces  = 4000 // searches times pieces, between these two
	mostSampled = 64   // joints followed in a Monte Carlo run
)

// searched is how many design points are searched on a board of some pieces.
func searched(pieces int) int { return max(leastForm, min(mostForm, formPieces/pieces)) }

// likely is one joint with its chance.
type likely struct {
	*limit
	form reliability.Result
	p    float64
	beta float64 // of p: first order, corrected for the shape of the limit
	all  []reliability.Variable
}

// chance works out how likely the joints are to fail, each at its own worst
// moment: the worst by their design points, the rest by a stand-in with the
// largest scatter found among those. nil when the board has no joints.
func (m *Model) chance(ctx context.Context, c Conditions, w *work) (*Chance, error) {
	order, err := m.ranked(c, w)
	if err != nil || len(order) == 0 {
		return nil, err
	}
	s := m.newScatter()
	top := order[:min(searched(len(m.board.Pieces)), len(order))]
	found, err := m.likelies(ctx, c, w, s, top)
	if err != nil {
		return nil, err
	}
	if len(found) == 0 {
		return nil, nil
	}
	out := &Chance{}
	best := found[0]
	modes := make([]reliability.Mode, len(found))
	for i, l := range found {
		if l.p > best.p {
			best = l
		}
		modes[i] = reliability.Mode{Beta: l.beta, Alpha: l.form.Alpha[:len(s.vars)]}
	}
	out.Joint, out.WorstJoint, out.Beta, out.FirstOrder = m.board.Joints[best.joint].ID, best.p, best.beta, best.form.Probability
	out.BoardLow, out.BoardHigh = reliability.DitlevsenBounds(modes)
	out.BoardLow = math.Max(out.BoardLow, out.WorstJoint)
	// The others at most independent of these and of each other.
	most, middle := restOf(order[len(top):], found)
	_, rest := reliability.SimpleBounds(most)
	out.BoardHigh = math.Max(out.BoardLow, 1-(1-out.BoardHigh)*(1-rest))
	out.Correlation = reliability.Correlation(modes)
	var betas []float64
	for i := range modes {
		betas = append(betas, modes[i].Beta)
	}
	for _, p := range middle {
		betas = append(betas, reliability.BetaOf(p))
	}
	out.Board = math.Max(out.BoardLow, math.Min(out.BoardHigh, reliability.Alike(betas, out.Correlation)))
	out.Joints = len(found)
	out.Contribution = contributions(s, best)
	if c.Samples > 0 {
		if out.Sampled, err = m.sample(ctx, c, w, s, order, m.board.Joints[best.joint].ID); err != nil {
			return nil, err
		}
	}
	out.Text = chanceText(out, len(order))
	return out, nil
}

// ranked lists the joints at their worst moments, largest u first. When nothing
// is stressed it takes the first end state, in which scatter alone may act.
func (m *Model) ranked(c Conditions, w *work) ([]governing, error) {
	var out []governing
	for _, g := range w.joints {
		if g.load != nil {
			out = append(out, g)
		}
	}
	if len(out) == 0 {
		ends, err := m.endStates(c)
		if err != nil {
			return nil, err
		}
		_, l := m.loadOf(&ends[0])
		for j := range m.joints {
			out = append(out, governing{joint: j, load: l})
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].d.u > out[b].d.u })
	return out, nil
}

// limitsOf prepares the limit states of joints at their worst moments.
func (m *Model) limitsOf(c Conditions, w *work, s *scatter, at []governing) ([]*limit, error) {
	left := make([]kept, len(at))
	for i, g := range at {
		r := &w.r.Joints[g.joint]
		state := r.State
		if state == "" && len(w.r.States) > 0 {
			state = w.r.States[0].Name
		}
		var err error
		if left[i], err = m.keptAt(c, state, r.Hour); err != nil {
			return nil, err
		}
	}
	return m.limits(s, at, left)
}

// likelies searches the design points of joints.
func (m *Model) likelies(ctx context.Context, c Conditions, w *work, s *scatter, at []governing) ([]*likely, error) {
	limits, err := m.limitsOf(c, w, s, at)
	if err != nil {
		return nil, err
	}
	all := append(append([]reliability.Variable{}, s.vars...), ownVariables()...)
	var out []*likely
	for _, l := range limits {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if k := l.likely(all); k != nil {
			out = append(out, k)
		}
	}
	return out, nil
}

// likely searches the design point and corrects its index for the shape of the
// limit. nil when no strain can stress the joint.
func (l *limit) likely(all []reliability.Variable) *likely {
	k := &likely{limit: l, all: all}
	r, ok := search(all, l.state, l.d.u, l.starts(all))
	if !ok {
		var err error
		if r, err = reliability.MeanValue(all, l.state); err != nil {
			return nil
		}
	}
	k.form, k.beta = r, r.Beta
	if b, fine := l.evenly(all).bend(); ok && fine {
		k.beta += b
	}
	k.p = reliability.Phi(-k.beta)
	return k
}

// search looks for the design point from the mean; where the mean is stressed so
// little that it shows no direction, from other starts, of which the nearest counts.
func search(all []reliability.Variable, state reliability.LimitState, u float64, starts [][]float64) (reliability.Result, bool) {
	r, err := reliability.FORM(all, state, reliability.Options{})
	ok := err == nil && r.Converged
	if ok && u >= 0.05 {
		return r, true
	}
	for _, start := range starts {
		q, err := reliability.FORM(all, state, reliability.Options{Start: start})
		if err == nil && q.Converged && (!ok || q.Beta < r.Beta) {
			r, ok = q, true
		}
	}
	return r, ok
}

// directions gives the slopes of N and of T by every variable at x, times dx.
func (l *limit) directions(x, dx []float64) (dir [2][]float64) {
	units := make([]strain, len(l.s.wood))
	for i := range units {
		l.s.strainOf(i, x, true, &units[i])
	}
	for c := range dir {
		g := make([]float64, len(x))
		l.slopes(units, x, float64(1-c), float64(c), g[:len(l.s.vars)])
		for i := range g {
			g[i] *= dx[i]
		}
		dir[c] = g
	}
	return dir
}

// starts are points three standard deviations towards opening and sliding.
func (l *limit) starts(all []reliability.Variable) [][]float64 {
	x, dx := make([]float64, len(all)), make([]float64, len(all))
	for i := range all {
		x[i], dx[i] = all[i].At(0)
	}
	dir := l.directions(x, dx)
	var out [][]float64
	for i, sign := range [3]float64{1, 1, -1} {
		d := dir[(i+1)/2]
		size := 0.0
		for _, v := range d {
			size += v * v
		}
		if size == 0 {
			continue
		}
		p := make([]float64, len(d))
		for k, v := range d {
			p[k] = 3 * sign * v / math.Sqrt(size)
		}
		out = append(out, p)
	}
	return out
}

// restOf gives a chance to the joints whose design points were not searched:
// with the largest scatter found among those that were, and with the mean. Each
// is the product of a lognormal factor, for what scatters in proportion to its
// u, and of u with a normal error, for what scatters whatever u is.
func restOf(at []governing, found []*likely) (most, middle []float64) {
	var shared, apart []float64 // standard deviations: relative to u, and of u
	for _, l := range found {
		r, err := reliability.MeanValue(l.all, l.state)
		if err != nil || l.d.u < quiet || r.Beta == 0 {
			continue
		}
		sigma := math.Abs((1 - l.d.u) / r.Beta)
		var p, q float64
		piece := l.s.first(0)
		for i, a := range r.Alpha {
			if i >= piece && i < len(l.s.vars) {
				q += a * a
			} else {
				p += a * a
			}
		}
		shared, apart = append(shared, sigma*math.Sqrt(p)/l.d.u), append(apart, sigma*math.Sqrt(q))
	}
	most, middle = make([]float64, len(at)), make([]float64, len(at))
	if len(shared) == 0 {
		return most, middle
	}
	mean := func(v []float64) float64 {
		sum := 0.0
		for _, x := range v {
			sum += x
		}
		return sum / float64(len(v))
	}
	for i, g := range at {
		most[i] = standIn(g.d.u, slices.Max(shared), slices.Max(apart))
		middle[i] = standIn(g.d.u, mean(shared), mean(apart))
	}
	return most, middle
}

// standIn is the first-order chance that u·factor reaches 1.
func standIn(u, shared, apart float64) float64 {
	vars := []reliability.Variable{{Law: reliability.Lognormal, Mean: 1, SD: shared}, {Law: reliability.Normal, Mean: u, SD: apart}}
	r, err := reliability.FORM(vars, func(x, grad []float64) float64 {
		if grad != nil {
			grad[0], grad[1] = -x[1], -x[0]
		}
		return 1 - x[0]*x[1]
	}, reliability.Options{})
	if err != nil || !r.Converged {
		return 0
	}
	return r.Probability
}

// contributions groups the squared direction cosines; they sum to 1.
func contributions(s *scatter, l *likely) []Share {
	sum := map[string]float64{}
	for i, a := range l.form.Alpha {
		g := ByStrength
		if i < len(s.groups) {
			g = s.groups[i]
		}
		sum[g] += a * a
	}
	var out []Share
	for _, g := range []string{ByStrength, ByShrinkage, ByMoisture, ByRingAngle, ByStiffness, ByAir} {
		out = append(out, Share{Kind: "scatter", Name: g, Share: sum[g]})
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].Share > out[b].Share })
	return out
}

// chanceText says it in words.
func chanceText(c *Chance, joints int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "In this model joint %s is the likeliest to open or slide: %s (reliability index %.1f). ", c.Joint, odds(c.WorstJoint), c.Beta)
	low, likely, high := odds(c.BoardLow), odds(c.Board), odds(c.BoardHigh)
	switch {
	case joints == 1:
	case low == high:
		fmt.Fprintf(&b, "Some joint of the board: %s. ", low)
	default:
		fmt.Fprintf(&b, "Some joint of the board: %s (bounds: %s, %s; the joints share woods and climate, with a mean correlation of %.2f). ", likely, low, high, c.Correlation)
	}
	if s := c.Sampled; s != nil {
		fmt.Fprintf(&b, "Counted in %d samples: %.3g ± %.1g for the joint, %.3g ± %.1g for the board. ", s.Samples, s.WorstJoint, s.WorstJointError, s.Board, s.BoardError)
	}
	fmt.Fprintf(&b, "Of what is uncertain, %s makes up %.0f %% and %s %.0f %%. ", c.Contribution[0].Name, 100*c.Contribution[0].Share, c.Contribution[1].Name, 100*c.Contribution[1].Share)
	b.WriteString("A joint counts once stress reaches what it bears; whether a crack then runs is asked apart. This is the chance of the model with the scatter of wood put into it, if the board meets its worst moment; what the model leaves out has no chance here, so it is not the chance of the world.")
	return b.String()
}

// odds tells a probability as a maker counts.
func odds(p float64) string {
	switch {
	case p > 0.99:
		return "all but certain"
	case p > 0.95:
		return "more than 19 in 20"
	case p >= 0.095:
		return fmt.Sprintf("about %.0f in 10", 10*p)
	case p >= 0.0095:
		return fmt.Sprintf("about %.0f in 100", 100*p)
	case p >= 0.00095:
		return fmt.Sprintf("about %.0f in 1000", 1000*p)
	}
	return "less than 1 in 1000"
}
