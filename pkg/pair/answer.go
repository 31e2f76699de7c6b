package pair

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// bowLength [mm] is the length over which the bow of a long joint is told.
const bowLength = 300.0

// answer puts the numbers of one pair together. The share that is left scales the stress of the
// closed forms, as the season leaves it.
func answer(q *Request, a, b *side, s strips, two *solved) *Result {
	left := two.left
	p, sa, sb := s.straight()
	_, kappa, ba, bb := s.bow()
	length := q.Length
	if length == 0 {
		length = bowLength
	}
	r := &Result{
		A: a.side(&two.bears[0]), B: b.side(&two.bears[1]), Length: q.Length, Solved: two.length,
		Mismatch: Mismatch{Along: s.delta, Normal: b.eyy - a.eyy, Shear: b.gxy - a.gxy,
			Step: (b.ezz - a.ezz) * q.Thickness},
		Straight:   Straight{Estimate: true, Force: left * p, StressA: left * sa, StressB: left * sb},
		Bow:        Bow{Estimate: true, Curvature: kappa, Rise: kappa * length * length / 8, StressA: left * ba, StressB: left * bb},
		Ends:       Ends{Averaging: two.averaging, Shear: two.joint.T, Peel: two.joint.N},
		Relaxation: left,
	}
	r.Words = q.words()
	r.Checks = checks(a, b, two, r.Words)
	r.Governs = r.Checks[0].ID
	for _, c := range r.Checks {
		if verdict.Worse(c.Utilisation, r.Utilisation) {
			r.Governs = c.ID
		}
		r.Utilisation = math.Max(r.Utilisation, c.Utilisation)
	}
	r.Pressed = pressed(a, b, r, two)
	r.Verdict = r.Words.Of(r.Utilisation)
	r.Notices = q.notices(a, b)
	r.Headline, r.Reasons = words(q, a, b, r)
	r.Estimated = weak(a, b)
	r.Assumptions = assumptions(q, left)
	if q.Derivation {
		r.Derivation = derivation(q, a, b, s, r)
	}
	return r
}

func (s *side) side(l *bears) Side {
	return Side{
		Species: s.species.ID, CommonName: s.species.CommonName,
		RingAngle: s.piece.RingAngle, Grain: s.piece.Grain, Width: s.width,
		From: s.from, To: s.to,
		Along: s.exx, Normal: s.eyy, Shear: s.gxy, Thick: s.ezz,
		Modulus: s.ex, ShearMod: s.g,
		TRRatio: s.facts.tr, Density: s.facts.density, Bonding: s.species.Bonding,
		Tension: l.along, Bond: l.bond, JointShear: l.shear,
	}
}

// words tells at which figures the words begin: a moisture that is told is taken as
// measured, wood in balance with a told air as a board of it is.
func (q *Request) words() verdict.Scale {
	known := risk.Measured
	if q.FromAir != nil && (q.A.Moisture == nil || q.B.Moisture == nil) {
		known = risk.ByAir
	}
	return risk.Scale(risk.Parts(known))
}

// The ids of the checks.
const (
	SplitA = "split-a"
	SplitB = "split-b"
	CrushA = "crush-a"
	CrushB = "crush-b"
	End    = "end"
)

// checks tells the ways to give: the joint, and the wood of either side.
func checks(a, b *side, two *solved, words verdict.Scale) []Check {
	return []Check{
		newCheck(End, "the joint slides or opens at its ends", two.joint.N, two.joint.T, two.joint.U, &two.law, words),
		newCheck(SplitA, a.facts.splits, two.wood[0].N, two.wood[0].T, two.wood[0].U, &two.wood[0].Criterion, words),
		newCheck(SplitB, b.facts.splits, two.wood[1].N, two.wood[1].T, two.wood[1].U, &two.wood[1].Criterion, words),
	}
}

// newCheck is one traction against the part that decides. In the three ways that
// grain lies here tension and shear do not mix, so the two shares of stress over
// strength can be read off. v is the load over the one at which a crack runs.
func newCheck(id, text string, n, t, v float64, law *joint.Criterion, words verdict.Scale) Check {
	u := law.Judge(n, t).U
	if u < influence.Quiet {
		n, t, u, v = 0, 0, 0, 0 // round-off
	}
	c := Check{ID: id, Text: text, Tension: math.Max(0, n), Shear: math.Abs(t), Stress: u, Utilisation: v, Verdict: words.Of(v)}
	if v := law.Tension(); u > 0 && !math.IsInf(v, 0) {
		c.TensionCapacity = v
	}
	if v := law.Shear(); u > 0 && !math.IsInf(v, 0) {
		c.ShearCapacity = v
	}
	return c
}

// pressed compares the stress along the joint of the wood that is pressed with what
// crushes it: the larger of the pair held straight and the free pair, an estimate.
// Crushed wood takes a set but parts no joint, so no verdict hangs on it.
func pressed(a, b *side, r *Result, two *solved) []Press {
	out := make([]Press, 0, 1)
	add := func(id string, s *side, straight, bow, crush float64) {
		stress := straight
		if math.Abs(bow) > math.Abs(stress) {
			stress = bow
		}
		if stress < 0 && s.piece.Grain != Along { // along the grain wood does not crush before the joint gives
			out = append(out, Press{ID: id, Text: s.facts.crushes, Stress: -stress, Capacity: crush, Share: -stress / crush, Estimate: true})
		}
	}
	add(CrushA, a, r.Straight.StressA, r.Bow.StressA, two.bears[0].crush)
	add(CrushB, b, r.Straight.StressB, r.Bow.StressB, two.bears[1].crush)
	return out
}
