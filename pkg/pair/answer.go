package pair

import "math"

// bowLength [mm] is the length over which the bow of a long joint is told.
const bowLength = 300.0

// answer puts the numbers of one pair together. relax scales every stress.
func answer(q *Request, a, b *side, s strips, relax float64) *Result {
	p, sa, sb := s.straight()
	_, kappa, ba, bb := s.bow()
	d := math.Min(a.length, b.length)
	shear, peel := s.ends(q.Length, d)
	length := q.Length
	if length == 0 {
		length = bowLength
	}

	r := &Result{
		A: a.side(), B: b.side(), Length: q.Length,
		Mismatch: Mismatch{Along: s.delta, Normal: b.eyy - a.eyy, Shear: b.gxy - a.gxy,
			Step: (b.ezz - a.ezz) * q.Thickness},
		Straight:   Straight{Force: relax * p, StressA: relax * sa, StressB: relax * sb},
		Bow:        Bow{Curvature: kappa, Rise: kappa * length * length / 8, StressA: relax * ba, StressB: relax * bb},
		Ends:       Ends{Estimate: true, Averaging: d, Shear: relax * shear, Peel: relax * peel},
		Relaxation: relax,
	}
	r.Checks = checks(a, b, r)
	r.Governs = r.Checks[0].ID
	for _, c := range r.Checks {
		if c.Utilisation > r.Utilisation {
			r.Utilisation, r.Governs = c.Utilisation, c.ID
		}
	}
	r.Verdict = VerdictOf(r.Utilisation)
	r.Headline, r.Reasons = words(q, a, b, r)
	r.Estimated = weak(a, b)
	r.Assumptions = assumptions(q)
	if q.Derivation {
		r.Derivation = derivation(q, a, b, s, r)
	}
	return r
}

func (s *side) side() Side {
	return Side{
		Species: s.species.ID, CommonName: s.species.CommonName,
		RingAngle: s.piece.RingAngle, Grain: s.piece.Grain, Width: s.width,
		From: s.from, To: s.to,
		Along: s.exx, Normal: s.eyy, Shear: s.gxy, Thick: s.ezz,
		Modulus: s.ex, ShearMod: s.g,
		TRRatio: s.facts.tr, Density: s.facts.density, Bonding: s.species.Bonding,
		Tension: s.tension, Bond: s.bond, JointShear: s.shear,
	}
}

// The ids of the checks.
const (
	SplitA = "split-a"
	SplitB = "split-b"
	CrushA = "crush-a"
	CrushB = "crush-b"
	End    = "end"
)

// checks compares every stress with what the wood or the bond takes. The stress
// along the joint is the larger of the pair held straight and the free pair.
func checks(a, b *side, r *Result) []Check {
	out := make([]Check, 0, 3)
	add := func(s *side, straight, bow float64, split, crush string) {
		demand := straight
		if math.Abs(bow) > math.Abs(demand) {
			demand = bow
		}
		switch {
		case demand >= 0:
			out = append(out, newCheck(split, s.facts.splits, demand, s.tension))
		case s.crush > 0:
			out = append(out, newCheck(crush, s.facts.crushes, -demand, s.crush))
		}
	}
	add(a, r.Straight.StressA, r.Bow.StressA, SplitA, CrushA)
	add(b, r.Straight.StressB, r.Bow.StressB, SplitB, CrushB)

	// shear and opening tension together, quadratic; each by the weaker side
	fv, ft := weaker(a, b)
	tau, p := r.Ends.Shear, math.Max(r.Ends.Peel, 0)
	u := math.Hypot(tau/fv, p/ft)
	out = append(out, Check{ID: End, Text: "the joint slides or opens at its ends, an estimate",
		Demand: tau, Capacity: fv, Utilisation: u, Verdict: VerdictOf(u)})
	return out
}

// weaker gives the shear and the tension [MPa] that the weaker side of the joint bears.
func weaker(a, b *side) (fv, ft float64) {
	return math.Min(a.shear, b.shear), math.Min(a.bond, b.bond)
}

func newCheck(id, text string, demand, capacity float64) Check {
	u := demand / capacity
	return Check{ID: id, Text: text, Demand: demand, Capacity: capacity, Utilisation: u, Verdict: VerdictOf(u)}
}
