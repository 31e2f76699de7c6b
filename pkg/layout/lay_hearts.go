package layout

import (
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Ways in which the heart sides of flat-sawn planks lie.
const (
	HeartDown      = "down"
	HeartUp        = "up"
	HeartAlternate = "alternate"
)

// Ways in which a board stands in its home.
const (
	Free   = "free" // on edge or in a rack, air at both faces
	OnFeet = "feet"
	Flat   = "flat" // on a tight top
)

// steepest is the slope of grain up to which wood counts as a plank's: 1 in 4.
const steepest = 0.25

// flatSawn is the ring angle [degrees] up to which a plank counts as flat-sawn.
const flatSawn = 45

// hearts says for every flat-sawn plank of the field where its pith is taken to lie:
// rings nobody described further still curve, and it is their curve that cups a
// plank. Planks side by side lie one up, one down unless their stock says otherwise.
func (r *layer) hearts() {
	turn, assumed := 1.0, false
	for i := range r.board.Pieces {
		p := &r.board.Pieces[i]
		if !p.Grain.Up {
			p.Slope = r.board.Stock[p.Stock].Slope
		}
		if p.Grain.Up || p.Border >= 0 || p.Pith != nil || p.RingUnknown || math.Abs(Axis(p.RingAngle)) >= flatSawn {
			continue
		}
		at, _ := wood.FlatSawnPith(p.Across())
		p.Heart, assumed = at*turn, true
		switch r.board.Stock[p.Stock].Heart {
		case HeartDown:
			p.Heart = at
		case HeartUp:
			p.Heart = -at
		default:
			turn = -turn
		}
	}
	if assumed {
		_, least := wood.FlatSawnPith(0)
		r.assume("pith of flat-sawn planks: %g mm from their middle, of wide ones nine tenths of their width, heart sides up and down in turn unless heart tells otherwise, fibres straight along the log unless slope does", least)
	}
}

// Across is how wide a long-grain piece is across its fibres [mm].
func (p *Piece) Across() float64 {
	n := acrossFibres(p.Grain.Angle)
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range p.Outline {
		low, high = math.Min(low, dot(q, n)), math.Max(high, dot(q, n))
	}
	return high - low
}
