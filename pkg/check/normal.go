package check

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"github.com/tanrad/tanrad/pkg/chance"
)

// exceeds gives the probability that u reaches 1, with the tractions taken as
// jointly normal, by their slopes at the design point, and stiffness and
// strengths as the lognormals they are. First order puts a plane for the rounded
// limit u = 1; here it is integrated as it is:
//
//	p = E[ P(N ≥ a) + ∫_{N<a} φ(N)·P(|T| ≥ b·√(1 − (N⁺/a)²) | N) dN ]
//
// over a and b, the strengths over the stiffness factor, whose logarithms are
// jointly normal: Gauss-Hermite points about the design point, Gauss-Legendre
// along N. What is left out is that the tractions bend with shrinkage, moisture
// and ring angle together, which the Monte Carlo count contains.
func (l *limit) exceeds(all []chance.Variable, r chance.Result) float64 {
	dir := l.directions(all, r.U)
	n := len(l.s.vars)
	units := make([]strain, len(l.s.wood))
	for i := range units {
		l.s.strainOf(i, r.X, false, &units[i])
	}
	at := l.tractions(units, r.X)
	var mean [2]float64
	var cov [3]float64 // NN, TT, NT
	mean = at
	for i, u := range r.U {
		a, b := dir[0][i], dir[1][i]
		mean[0] -= a * u
		mean[1] -= b * u
		cov[0], cov[1], cov[2] = cov[0]+a*a, cov[1]+b*b, cov[2]+a*b
	}
	lz, sz := logs(all[varStiffness])
	lt, st := logs(all[n])
	lv, sv := logs(all[n+1])
	// ln a = ma + ca·w₁, ln b = mb + cb·w₁ + db·w₂ with standard normal w.
	ma, mb := math.Log(l.tension)+lt-lz, math.Log(l.shear)+lv-lz
	ca := math.Hypot(st, sz)
	cb := sz * sz / ca
	db := math.Sqrt(sv*sv + sz*sz - cb*cb)
	var shift [2]float64 // the design point's w, so that the points lie where failures do
	if r.Beta > 0 {
		shift[0] = (st*r.U[n] - sz*r.U[varStiffness]) / ca
		shift[1] = (sv*r.U[n+1] - sz*r.U[varStiffness] - cb*shift[0]) / db
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

func logs(v chance.Variable) (lambda, zeta float64) {
	zeta = math.Sqrt(math.Log1p(v.SD * v.SD / (v.Mean * v.Mean)))
	return math.Log(v.Mean) - zeta*zeta/2, zeta
}

// outside is the probability that two normal tractions lie outside the limit
// hypot(N⁺/a, T/b) = 1.
func outside(mean [2]float64, cov [3]float64, a, b float64) float64 {
	sn := math.Sqrt(cov[0])
	if sn == 0 {
		return beyondShear(mean[0], mean, cov, a, b)
	}
	p := chance.Phi((mean[0] - a) / sn)
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
	return chance.Phi((m-t)/s) + chance.Phi((-m-t)/s)
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
