package pair

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// reach is how many times the width of both strips a joint is solved for at most:
// one end does not feel the other from further away (test: a thousandth). So much
// of a strip's width beyond the joint's length is left out, for the same reason.
const reach = 4

// coarse is the share of the larger extent that elements may have far from the
// ends, where they may be larger than a board's (16 mm).
const coarse = 1.0 / 40

// solved is the two strips as a board, judged as any board is.
type solved struct {
	joint     influence.Critical
	law       joint.Criterion // of the part of the joint that decides
	averaging float64         // mm
	wood      [2]influence.WoodDemand
	bears     [2]bears
	length    float64 // mm, as solved
	left      float64 // share of the elastic stress
}

// bears is what one side bears at the moisture after the change, MPa.
type bears struct {
	along float64 // pulled along the joint
	bond  float64 // the bond's hold on it, opened
	shear float64 // wood or bond in the plane of the joint
	crush float64 // pressed across the grain
}

// solve lays the pair out as a board of two strips, A above B, and judges it with
// all wood at the moisture after the change.
func solve(ctx context.Context, q *Request) (*solved, error) {
	s := &solved{length: reach * (q.A.Width + q.B.Width)}
	if q.Length > 0 {
		s.length = math.Min(s.length, q.Length)
	}
	wa, wb := math.Min(q.A.Width, reach*s.length), math.Min(q.B.Width, reach*s.length)
	b, err := board(q, s.length, wa, wb)
	if err != nil {
		return nil, err
	}
	m, err := influence.Prepare(ctx, b, influence.Options{Coarsest: math.Max(16, coarse*math.Max(s.length, wa+wb)), Bending: !flat(&q.A) || !flat(&q.B)})
	if err != nil {
		return nil, err
	}
	e, err := m.EvenAt(ctx, q.To, q.Season)
	if err != nil {
		return nil, err
	}
	s.left = e.Left
	jm, d := &m.Joints[0], e.Joints[0]
	scale := m.Scale(jm, e.Load, d.Level)
	lim := jm.Capacity.At(scale)
	if d.U < influence.Quiet {
		d.N, d.T = 0, 0 // round-off
	}
	s.joint, s.averaging, s.law = d, jm.Capacity.Length, lim.Judge(d.N, d.T).Criterion
	parts := jm.Capacity.Parts(scale)
	for i := range b.Pieces {
		of, stock := &q.A, 0
		if b.Pieces[i].Stock == "B" {
			of, stock = &q.B, 1
		}
		own, bond := &parts[0], &parts[1]
		if b.Joints[0].B == i {
			own, bond = &parts[3], &parts[2]
		}
		sp := m.Sides[i].Species
		strength := sp.Strength(q.To)
		s.wood[stock] = e.Wood[i]
		s.bears[stock] = bears{along: strength.TensionLong, bond: bond.Tension(), shear: math.Min(own.Shear(), bond.Shear()), crush: strength.CompressionPerp}
		if of.Grain != Along {
			u, _ := joint.Split(joint.Planes(joint.Side{Species: sp, Frame: of.frame(), Strength: strength}), [3]float64{1, 0, 0}, 1, 1)
			s.bears[stock].along = 1 / u
		}
	}
	return s, nil
}

// flat tells that a piece does not bend the board when its moisture changes: its
// rings lie square to the face or in it.
func flat(p *Piece) bool {
	return p.Grain == Up || math.Mod(p.RingAngle, 90) == 0
}

// board is the pair as a board of the given length and widths [mm].
func board(q *Request, length, wa, wb float64) (*layout.Board, error) {
	of := func(p *Piece) layout.Material {
		mc := q.fromOf(p)
		m := layout.Material{Species: p.Species, Ring: layout.RingAt(p.RingAngle), Moisture: &mc}
		switch p.Grain {
		case Along:
			m.Grain.Angle = new(float64)
		case Across:
			across := 90.0
			m.Grain.Angle = &across
		}
		return m
	}
	strip := func(key string, y, width float64) layout.FreePiece {
		l, lo, hi := layout.Length(length), layout.Length(y), layout.Length(y+width)
		return layout.FreePiece{Stock: key, Outline: [][2]layout.Length{{0, lo}, {l, lo}, {l, hi}, {0, hi}}}
	}
	f := layout.File{Units: "mm", Thickness: layout.Length(q.Thickness),
		Stock: map[string]layout.Material{"A": of(&q.A), "B": of(&q.B)},
		Field: layout.Field{Pieces: []layout.FreePiece{strip("A", wb, wa), strip("B", 0, wb)}}}
	b, faults := f.Board()
	return b, faults.Err()
}
