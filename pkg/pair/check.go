package pair

import (
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Relaxation is what is left of a stress across the grain after one season, of
// its elastic value: the cautious end of the published 0.15 to 0.6 (spruce thin
// slices at 65 % humidity 0.24–0.41; wood clamped radially for years 0.15–0.4).
const Relaxation = 0.5

// endGrainBond is the strength of a glued end-grain butt as a part of the wood's
// tension along the grain, at best (Wood Handbook 2010, ch. 10, p. 10-19).
const endGrainBond = 0.25

// side is a piece with everything worked out that the pair needs of it.
type side struct {
	piece   Piece
	species *wood.Species
	elastic wood.Elastic
	frame   wood.Frame
	facts   *facts

	from, to             float64
	exx, eyy, gxy, ezz   float64 // free strains
	ex, ey, g            float64 // MPa
	tension, crush, bond float64 // MPa: along the joint; across it
	shear, width         float64
	length               float64 // mm, characteristic
	shearKind            string
}

// Pair checks one glue line between two woods. The error is a fault.List with
// one entry a fault; pointers are those of the body that Read takes. The result
// holds only finite numbers.
func Pair(q Request) (*Result, error) {
	faults := q.check()
	if len(faults) > 0 {
		return nil, faults
	}
	a, fa := prepare(q.A, "/a", q.fromOf(&q.A), q.To, &faults)
	b, fb := prepare(q.B, "/b", q.fromOf(&q.B), q.To, &faults)
	if !fa || !fb {
		return nil, faults
	}
	s := strips{a: a.width, b: b.width, ea: a.ex, eb: b.ex, ga: a.g, gb: b.g, na: a.ey, nb: b.ey, delta: b.exx - a.exx}
	relax := 1.0
	if q.Season {
		relax = Relaxation
	}
	return answer(&q, &a, &b, s, relax), nil
}

// prepare looks one side up and turns its tensors. On false the faults say why.
func prepare(p Piece, at string, from, to float64, faults *fault.List) (side, bool) {
	s := side{piece: p, from: from, to: to, width: p.Width}
	sp, err := wood.Find(p.Species)
	if err != nil {
		*faults = append(*faults, asFault(err, at+"/species"))
		return s, false
	}
	s.species = sp
	if s.elastic, err = sp.Elastic(to); err != nil {
		*faults = append(*faults, asFault(err, at+"/species"))
		return s, false
	}
	switch p.Grain {
	case Along:
		s.frame = wood.LongGrain(0, p.RingAngle)
	case Across:
		s.frame = wood.LongGrain(90, p.RingAngle)
	default:
		s.frame = wood.EndGrain(p.RingAngle)
	}
	s.facts = factsOf(sp)

	l, r, t := sp.Swelling(from, to)
	e := wood.InPlane(l, r, t, s.frame)
	f := s.frame
	s.exx, s.eyy, s.gxy = e[0], e[1], e[2]
	s.ezz = l*f.L[2]*f.L[2] + r*f.R[2]*f.R[2] + t*f.T[2]*f.T[2]

	s.ex, s.ey, s.g = stiffness(&s.elastic, &s.frame)

	k := sp.Strength(to)
	s.tension = across(k.TensionLong, k.TensionR, k.TensionT, f, 0)
	s.crush = k.CompressionPerp
	if p.Grain == Along {
		s.crush = 0 // along the grain wood does not crush before the joint gives
	}
	end := k.TensionLong
	if p.Grain == Across {
		end *= endGrainBond
	}
	s.bond = across(end, k.TensionR, k.TensionT, f, 1)
	s.shear, s.shearKind = k.ShearLong, "shear along the grain"
	if p.Grain == Up {
		s.shear, s.shearKind = k.ShearRolling, "rolling shear"
	}
	s.length = joint.AveragingLength().V

	if !finite(s.exx, s.eyy, s.gxy, s.ezz, s.ex, s.ey, s.g, s.tension, s.bond, s.shear, s.length) ||
		s.ex <= 0 || s.g <= 0 || s.ey <= 0 || s.tension <= 0 || s.bond <= 0 || s.shear <= 0 || s.length <= 0 {
		*faults = append(*faults, fault.Fault{Rule: fault.MissingData, Pointer: at + "/species",
			Detail: "a property of this wood that the sum needs was never published", Found: p.Species})
		return s, false
	}
	return s, true
}

// across is the tensile strength [MPa] in the board direction axis (0 x, 1 y) of
// wood whose strengths along its own axes are l, r, t: the off-axis formula of
// Hankinson with exponent 2 for three axes, 1/f = Σ c²/f.
func across(l, r, t float64, f wood.Frame, axis int) float64 {
	cl, cr, ct := f.L[axis], f.R[axis], f.T[axis]
	return 1 / (cl*cl/l + cr*cr/r + ct*ct/t)
}
