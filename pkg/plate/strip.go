package plate

import "github.com/tanrad/tanrad/pkg/layout"

// resolve turns stress into normal and tangential traction: N = n·σn, T = t·σn.
func resolve(s *[3]float64, t, n [2]float64) Traction {
	px, py := s[0]*n[0]+s[2]*n[1], s[2]*n[0]+s[1]*n[1]
	return Traction{N: n[0]*px + n[1]*py, T: t[0]*px + t[1]*py}
}

// StripStress gives the traction that a free swelling of its own (in % MC, not
// followed by any displacement) puts on the two sides of a joint's station:
// −Q·unit resolved, the mean of both sides, for residual r_a and r_b.
func (p *Model) StripStress(j int, at layout.XY, ra, rb float64) Traction {
	jt := &p.Board.Joints[j]
	t := [2]float64{(jt.To[0] - jt.From[0]) / jt.Length, (jt.To[1] - jt.From[1]) / jt.Length}
	n := [2]float64{t[1], -t[0]}
	var sum Traction
	for _, k := range [2]struct {
		piece int
		r     float64
	}{{jt.A, ra}, {jt.B, rb}} {
		w := &p.Woods[k.piece]
		q, unit := w.Q, w.Unit
		if w.At != nil {
			local := w.At(at)
			q, unit = local.Q, local.Unit
		}
		sig := mul(&q, &unit)
		tr := resolve(&sig, t, n)
		sum.N -= k.r * tr.N / 2
		sum.T -= k.r * tr.T / 2
	}
	return sum
}
