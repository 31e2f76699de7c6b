package pair

import (
	"context"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// side is a piece with what its movement and the closed forms need of it.
type side struct {
	piece   Piece
	species *wood.Species
	told    string       // which wood an ambiguous name was taken for
	elastic wood.Elastic // at gluing
	frame   wood.Frame
	facts   *facts

	from, to           float64
	exx, eyy, gxy, ezz float64 // free strains
	ex, ey, g          float64 // MPa, as stress on the way from gluing to the end sees them
	width              float64
}

// Pair checks one glue line between two woods. The error is a fault.List with
// one entry a fault, pointers being those of the body that Read takes, or the
// context's. The result holds only finite numbers.
func Pair(ctx context.Context, q Request) (*Result, error) {
	faults := q.check()
	if len(faults) > 0 {
		return nil, faults
	}
	a, fa := prepare(q.A, "/a", q.fromOf(&q.A), q.To, &faults)
	b, fb := prepare(q.B, "/b", q.fromOf(&q.B), q.To, &faults)
	if !fa || !fb {
		return nil, faults
	}
	two, err := solve(ctx, &q)
	if err != nil {
		return nil, err
	}
	s := strips{a: a.width, b: b.width, ea: a.ex, eb: b.ex, delta: b.exx - a.exx}
	return answer(&q, &a, &b, s, two), nil
}

// prepare looks one side up and turns its tensors. On false the faults say why.
func prepare(p Piece, at string, from, to float64, faults *fault.List) (side, bool) {
	s := side{piece: p, from: from, to: to, width: p.Width}
	found, err := wood.FindIn(p.Species, wood.Anywhere)
	sp := found.Species
	if err != nil {
		*faults = append(*faults, fault.Of(fault.At(err, at+"/species"))...)
		return s, false
	}
	s.species, s.told = sp, found.Notice
	if s.elastic, err = sp.Elastic(from); err != nil {
		*faults = append(*faults, fault.Of(fault.At(err, at+"/species"))...)
		return s, false
	}
	s.frame = p.frame()
	s.facts = factsOf(sp)

	l, r, t := sp.Swelling(from, to)
	e := wood.InPlane(l, r, t, s.frame)
	f := s.frame
	s.exx, s.eyy, s.gxy = e[0], e[1], e[2]
	s.ezz = l*f.L[2]*f.L[2] + r*f.R[2]*f.R[2] + t*f.T[2]*f.T[2]

	c := s.elastic.BoardCompliance(f)
	stiffening := sp.Stiffening(from, to)
	s.ex, s.ey, s.g = stiffening/c[0][0], stiffening/c[1][1], stiffening/c[5][5]
	return s, true
}

// frame gives the wood's axes of a piece, the joint along x.
func (p *Piece) frame() wood.Frame {
	switch p.Grain {
	case Along:
		return wood.LongGrain(0, p.RingAngle)
	case Across:
		return wood.LongGrain(90, p.RingAngle)
	}
	return wood.EndGrain(p.RingAngle)
}
