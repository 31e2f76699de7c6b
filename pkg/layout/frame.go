package layout

import (
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Frame gives the wood's axes of a piece at a place of the mid-plane: the same
// everywhere for straight rings, pointing away from the pith for curved ones.
func (p *Piece) Frame(at XY) wood.Frame { return p.FrameAt(at, 0) }

// FrameAt is Frame at a height [mm] above the mid-plane.
func (p *Piece) FrameAt(at XY, height float64) wood.Frame {
	if p.Grain.Up {
		return wood.EndGrain(p.ringAt(at, height))
	}
	return wood.LongGrain(p.Grain.Angle, p.ringAt(at, height))
}

// Winding is a frame of the piece with its fibres as they wind round the log: turned in
// the plane of the rings by the slope of grain.
func (p *Piece) Winding(f wood.Frame) wood.Frame {
	if p.Slope == 0 {
		return f
	}
	c := 1 / math.Hypot(1, p.Slope)
	s := p.Slope * c
	out := f
	for i := range f.L {
		out.L[i], out.T[i] = c*f.L[i]+s*f.T[i], c*f.T[i]-s*f.L[i]
	}
	return out
}

// ringAt gives the ring angle [degrees] at a place. At the pith itself, where
// there is no direction, it is the piece's own.
func (p *Piece) ringAt(at XY, height float64) float64 {
	const atPith = 1e-9 // mm
	if p.Pith == nil {
		return p.RingAngle
	}
	if p.Grain.Up {
		d := sub(at, *p.Pith)
		if math.Hypot(d[0], d[1]) < atPith {
			return p.RingAngle
		}
		return math.Atan2(d[1], d[0]) * 180 / math.Pi
	}
	// In the cross-section of a long-grain piece the pith is given as (place
	// across the fibres, height); the mid-plane is at height 0.
	dn, dz := dot(at, acrossFibres(p.Grain.Angle))-p.Pith[0], height-p.Pith[1]
	if math.Hypot(dn, dz) < atPith {
		return p.RingAngle
	}
	return math.Atan2(dn, dz) * 180 / math.Pi
}
