package risk

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"github.com/tanrad/tanrad/pkg/internal/reliability"
)

// Indices beyond which a chance is not corrected: Φ(−6) is 1e-9, past counting,
// and above Φ(3), 0.999, the integral's own error would show.
const (
	farOut = 6
	farIn  = -3
)

// evenly is a joint with its tractions taken as jointly normal, by their slopes
// at the mean, and stiffness and strengths as the lognormals they are. Here the
// rounded limit u = 1 can be integrated as it is, where first order puts a plane.
type evenly struct {
	l          *limit
	mean       [2]float64 // N, T
	cov        [3]float64 // NN, TT, NT
	vars       []reliability.Variable
	lower, own float64 // T = mean + lower·v₀ + own·v₁, N = mean + √NN·v₀
}

func (l *limit) evenly(all []reliability.Variable) *evenly {
	n := len(l.s.vars)
	x, dx := make([]float64, len(all)), make([]float64, len(all))
	for i := range all {
		x[i], dx[i] = all[i].Mean, all[i].SD
	}
	dir := l.directions(x, dx)
	units := make([]strain, len(l.s.wood))
	for i := range units {
		l.s.strainOf(i, x, false, &units[i])
	}
	e := &evenly{l: l, mean: l.tractions(units, x)}
	for i := range x {
		p, q := dir[0][i], dir[1][i]
		e.cov[0], e.cov[1], e.cov[2] = e.cov[0]+p*p, e.cov[1]+q*q, e.cov[2]+p*q
	}
	if e.cov[0] > 0 {
		e.lower = e.cov[2] / math.Sqrt(e.cov[0])
	}
	e.own = math.Sqrt(math.Max(0, e.cov[1]-e.lower*e.lower))
	unit := reliability.Variable{SD: 1}
	e.vars = []reliability.Variable{unit, unit, all[varStiffness], all[n], all[n+1]}
	return e
}

// state is 1 − u over v₀, v₁, the stiffness and the two strengths.
func (e *evenly) state(x, grad []float64) float64 {
	s := math.Sqrt(e.cov[0])
	u, by := e.l.utilisation(e.mean[0]+s*x[0], e.mean[1]+e.lower*x[0]+e.own*x[1], x[2], x[3], x[4])
	if grad != nil {
		grad[0], grad[1] = -s*by[0]-e.lower*by[1], -e.own*by[1]
		grad[2], grad[3], grad[4] = -by[2], -by[3], -by[4]
	}
	return 1 - u
}

// bend gives how much the reliability index gains by the shape of the limit:
// that of the probability integrated as it is, less that of first order, both
// for this even stand-in; false where first order finds no design point, and so
// far out that nothing is worth correcting.
func (e *evenly) bend() (float64, bool) {
	var starts [][]float64
	for _, v := range [3][2]float64{{3, 0}, {0, 3}, {0, -3}} {
		starts = append(starts, []float64{v[0], v[1], 0, 0, 0})
	}
	r, ok := search(e.vars, e.state, e.l.d.U, starts)
	if !ok || r.Beta > farOut || r.Beta < farIn {
		return 0, false
	}
	b := reliability.BetaOf(e.exceeds(r)) - r.Beta
	return b, !math.IsNaN(b)
}

// exceeds gives the probability that u reaches 1,
//
//	p = E[ P(N ≥ a) + ∫_{N<a} φ(N)·P(|T| ≥ b·√(1 − (N⁺/a)²) | N) dN ]
//
// with N and T taken as the law's own two terms (joint.Law, opening and sliding),
// over a and b, the factors on the strengths over the stiffness factor, whose
// logarithms are jointly normal: Gauss-Hermite points about the design point,
// Gauss-Legendre along N.
func (e *evenly) exceeds(r reliability.Result) float64 {
	lz, sz := logs(e.vars[2])
	lt, st := logs(e.vars[3])
	lv, sv := logs(e.vars[4])
	// ln a = ma + ca·w₁, ln b = mb + cb·w₁ + db·w₂ with standard normal w.
	ma, mb := lt-lz, lv-lz
	mean, cov := e.terms()
	ca := math.Hypot(st, sz)
	cb := sz * sz / ca
	db := math.Sqrt(sv*sv + sz*sz - cb*cb)
	var shift [2]float64 // the design point's w, so that the points lie where failures do
	if r.Beta > 0 {
		shift[0] = (st*r.U[3] - sz*r.U[2]) / ca
		shift[1] = (sv*r.U[4] - sz*r.U[2] - cb*shift[0]) / db
	}
	p := 0.0
	for i, x := range hermite.x {
		for j, y := range hermite.x {
			w1, w2 := shift[0]+x, shift[1]+y
			// φ(shift + x)/φ(x)
			f := hermite.w[i] * hermite.w[j] * math.Exp(-shift[0]*(x+shift[0]/2)-shift[1]*(y+shift[1]/2))
			p += f * outside(mean, cov, math.Exp(ma+ca*w1), math.Exp(mb+cb*w1+db*w2))
		}
	}
	return math.Min(1, p)
}

// terms gives mean and covariance of the two terms of the law.
func (e *evenly) terms() (mean [2]float64, cov [3]float64) {
	rows := [2][2]float64{e.l.law.Open, e.l.law.Slide}
	with := func(p, q *[2]float64) float64 {
		return p[0]*q[0]*e.cov[0] + p[1]*q[1]*e.cov[1] + (p[0]*q[1]+p[1]*q[0])*e.cov[2]
	}
	for i, r := range rows {
		mean[i], cov[i] = r[0]*e.mean[0]+r[1]*e.mean[1], with(&rows[i], &rows[i])
	}
	cov[2] = with(&rows[0], &rows[1])
	return mean, cov
}

func logs(v reliability.Variable) (lambda, zeta float64) {
	zeta = math.Sqrt(math.Log1p(v.SD * v.SD / (v.Mean * v.Mean)))
	return math.Log(v.Mean) - zeta*zeta/2, zeta
}

// outside is the probability that two normal variables lie outside the limit
// hypot(N⁺/a, T/b) = 1.
func outside(mean [2]float64, cov [3]float64, a, b float64) float64 {
	sn := math.Sqrt(cov[0])
	if sn == 0 {
		return beyondShear(mean[0], mean, cov, a, b)
	}
	p := reliability.Phi((mean[0] - a) / sn)
	density := func(x float64) float64 {
		z := (x - mean[0]) / sn
		return math.Exp(-z*z/2) / (sn * math.Sqrt(2*math.Pi))
	}
	const far = 8 // standard deviations beyond which nothing counts
	lo, hi := mean[0]-far*sn, mean[0]+far*sn
	// Below 0 only shear counts.
	if to := math.Min(0, hi); to > lo {
		const panels = 3
		for k := range panels {
			from, width := lo+(to-lo)*float64(k)/panels, (to-lo)/panels
			for i, x := range gauss.x {
				v := from + width*x
				p += width * gauss.w[i] * density(v) * beyondShear(v, mean, cov, a, b)
			}
		}
	}
	// From 0 to a the limit is an ellipse; N = a·sin θ keeps it smooth.
	from, to := math.Max(0, lo), math.Min(a, hi)
	if from < to {
		const panels = 3
		t0, t1 := math.Asin(from/a), math.Asin(math.Min(1, to/a))
		for k := range panels {
			begin, width := t0+(t1-t0)*float64(k)/panels, (t1-t0)/panels
			for i, x := range gauss.x {
				s, c := math.Sincos(begin + width*x)
				p += width * gauss.w[i] * a * c * density(a*s) * beyondShear(a*s, mean, cov, a, b)
			}
		}
	}
	return math.Min(1, p)
}

// beyondShear is the probability that the shear leaves the limit at a normal traction n.
func beyondShear(n float64, mean [2]float64, cov [3]float64, a, b float64) float64 {
	o := math.Max(0, n) / a
	if o >= 1 {
		return 1
	}
	t := b * math.Sqrt(1-o*o)
	m, v := mean[1], cov[1]
	if cov[0] > 0 {
		m += cov[2] / cov[0] * (n - mean[0])
		v -= cov[2] * cov[2] / cov[0]
	}
	s := math.Sqrt(math.Max(0, v))
	if s < 1e-12*t {
		if math.Abs(m) >= t {
			return 1
		}
		return 0
	}
	return reliability.Phi((m-t)/s) + reliability.Phi((-m-t)/s)
}

// gauss is Gauss-Legendre on 0 to 1, hermite Gauss-Hermite for the standard
// normal density.
var gauss, hermite = func() (g struct{ x, w [12]float64 }, h struct{ x, w [8]float64 }) {
	quad.Legendre{}.FixedLocations(g.x[:], g.w[:], 0, 1)
	quad.Hermite{}.FixedLocations(h.x[:], h.w[:], math.Inf(-1), math.Inf(1))
	for i := range h.x {
		h.w[i] /= math.Sqrt(math.Pi)
		h.x[i] *= math.Sqrt2
	}
	return g, h
}()
