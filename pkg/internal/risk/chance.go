// Package risk tells how likely the joints of a judged board are to fail when the
// inputs scatter, in the words of package reliability.
package risk

import (
	"context"
	"math"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/verdict"
)

const (
	mostForm    = 12   // joints whose design point is searched; each costs two adjoint solves
	leastForm   = 6    // of a large board, where a solve costs more
	formPieces  = 4000 // searches times pieces, between these two
	mostSampled = 64   // joints followed in a Monte Carlo run
)

// MostBeta is the reliability index (dimensionless) beyond which none is told:
// Φ(−8) is 6e-16, and where nothing but round-off pulls an index means nothing.
const MostBeta = 8

// searched is how many design points are searched on a board of some pieces.
func searched(pieces int) int { return max(leastForm, min(mostForm, formPieces/pieces)) }

// Board is a board whose reliability is looked at.
type Board struct{ *influence.Model }

// Chance are the numbers of a chance; see Chance of the report.
type Chance struct {
	Joint             int // the joint likeliest to fail
	Worst, FirstOrder float64
	Beta              float64
	Board, Low, High  float64
	Correlation       float64
	Searched, All     int // joints whose design point was searched, of how many
	Contribution      []influence.Share
	Sampled           *counted // nil when none was asked for
}

// likely is one joint with its chance.
type likely struct {
	*limit
	form reliability.Result
	p    float64
	beta float64 // of p: first order, corrected for the shape of the limit
	all  []reliability.Variable
}

// Options say how a chance is worked out.
type Options struct {
	Samples  int // Monte Carlo samples; 0 leaves it to first-order reliability
	Seed     uint64
	Workers  int                                // 0 means 1
	Progress func(done, total int, what string) // may be nil
}

// Chance works out how likely the joints are to fail, each at its own worst
// moment: the worst by their design points, the rest by a stand-in with the
// largest scatter found among those. nil when the board has no joints.
func (m Board) Chance(ctx context.Context, j *influence.Judged, o Options) (*Chance, error) {
	order := m.ranked(j)
	if len(order) == 0 {
		return nil, nil
	}
	s := m.newScatter()
	top := order[:min(searched(len(m.Board.Pieces)), len(order))]
	found, err := m.likelies(ctx, s, top)
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
		if verdict.Worse(l.p, best.p) {
			best = l
		}
		modes[i] = reliability.Mode{Beta: l.beta, Alpha: l.form.Alpha[:len(s.vars)]}
	}
	out.Joint, out.Worst, out.Beta, out.FirstOrder = best.joint, best.p, best.beta, best.form.Probability
	out.Low, out.High = reliability.DitlevsenBounds(modes)
	out.Low = math.Max(out.Low, out.Worst)
	// The others at most independent of these and of each other.
	most, middle := restOf(order[len(top):], found)
	_, rest := reliability.SimpleBounds(most)
	out.High = math.Max(out.Low, 1-(1-out.High)*(1-rest))
	out.Correlation = reliability.Correlation(modes)
	var betas []float64
	for i := range modes {
		betas = append(betas, modes[i].Beta)
	}
	for _, p := range middle {
		betas = append(betas, reliability.BetaOf(p))
	}
	out.Board = math.Max(out.Low, math.Min(out.High, reliability.Alike(betas, out.Correlation)))
	out.Searched, out.All = len(found), len(order)
	out.Contribution = contributions(s, best)
	if o.Samples > 0 {
		if out.Sampled, err = m.sample(ctx, o, s, order, best.joint); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// ranked lists the joints at their worst moments, largest u first. When nothing
// is stressed it takes the first end state, in which scatter alone may act.
func (m Board) ranked(j *influence.Judged) []influence.Moment {
	var out []influence.Moment
	for _, g := range j.Joints {
		if g.Load != nil {
			out = append(out, g)
		}
	}
	if len(out) == 0 {
		for k := range m.Joints {
			out = append(out, influence.Moment{Joint: k, Load: j.States[0].Load, State: j.States[0].Name})
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return verdict.Worse(out[a].D.U, out[b].D.U) })
	return out
}

// likelies searches the design points of joints.
func (m Board) likelies(ctx context.Context, s *scatter, at []influence.Moment) ([]*likely, error) {
	limits, err := m.limits(s, at)
	if err != nil {
		return nil, err
	}
	var out []*likely
	for _, l := range limits {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if k := l.likely(append(slices.Clone(s.vars), l.own...)); k != nil {
			out = append(out, k)
		}
	}
	return out, nil
}

// likely searches the design point and corrects its index for the shape of the
// limit. nil when no strain can stress the joint.
func (l *limit) likely(all []reliability.Variable) *likely {
	k := &likely{limit: l, all: all}
	r, ok := search(all, l.state, l.d.U, l.starts(all))
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
	k.beta = math.Max(-MostBeta, math.Min(MostBeta, k.beta))
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
func restOf(at []influence.Moment, found []*likely) (most, middle []float64) {
	var shared, apart []float64 // standard deviations: relative to u, and of u
	for _, l := range found {
		r, err := reliability.MeanValue(l.all, l.state)
		if err != nil || l.d.U < influence.Quiet || r.Beta == 0 {
			continue
		}
		sigma := math.Abs((1 - l.d.U) / r.Beta)
		var p, q float64
		piece := l.s.first(0)
		for i, a := range r.Alpha {
			if i >= piece && i < len(l.s.vars) {
				q += a * a
			} else {
				p += a * a
			}
		}
		shared, apart = append(shared, sigma*math.Sqrt(p)/l.d.U), append(apart, sigma*math.Sqrt(q))
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
		most[i] = standIn(g.D.U, slices.Max(shared), slices.Max(apart))
		middle[i] = standIn(g.D.U, mean(shared), mean(apart))
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
func contributions(s *scatter, l *likely) []influence.Share {
	sum := map[string]float64{}
	for i, a := range l.form.Alpha {
		g := ByStrength
		if i < len(s.groups) {
			g = s.groups[i]
		}
		sum[g] += a * a
	}
	var out []influence.Share
	for _, g := range []string{ByStrength, ByShrinkage, ByMoisture, ByRingAngle, ByStiffness, ByAir} {
		out = append(out, influence.Share{Name: g, Share: sum[g]})
	}
	sort.SliceStable(out, func(a, b int) bool { return verdict.Worse(out[a].Share, out[b].Share) })
	return out
}
