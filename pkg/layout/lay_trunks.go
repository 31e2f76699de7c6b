package layout

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// trunks refuses a pith so far from its piece that it would lie in the air beside any
// tree; of a stock it is told once.
func (r *layer) trunks() {
	told := map[string]bool{}
	for i := range r.pieces {
		p := &r.pieces[i]
		if p.Pith == nil || len(p.Outline) == 0 || r.full() {
			continue
		}
		far := beside(p)
		pointer := under("/stock", p.Stock) + "/pith"
		if o, own := r.file.Pieces[p.ID]; own && o.Pith != nil {
			pointer = under("/pieces", p.ID) + "/pith"
		} else if r.file.Stock[p.Stock].Pith == nil {
			pointer = p.Pointer + "/pith"
		}
		if far > mostTrunk && !told[pointer] {
			told[pointer] = true
			r.add(fault.Fault{Rule: fault.OutOfRange, Pointer: pointer, Detail: "the pith lies in the air beside any tree",
				Found: fmt.Sprintf("%.4g mm from the piece", far), Allowed: fmt.Sprintf("within %g mm of the piece", mostTrunk)})
		}
	}
}

// beside is how far the pith lies outside the extent of its piece [mm]; of long grain as
// seen on the end of the plank.
func beside(p *Piece) float64 {
	if p.Grain.Up {
		lo, hi := bounds(p.Outline)
		return math.Hypot(outside(p.Pith[0], lo[0], hi[0]), outside(p.Pith[1], lo[1], hi[1]))
	}
	across := acrossFibres(p.Grain.Angle)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range p.Outline {
		n := dot(q, across)
		lo, hi = math.Min(lo, n), math.Max(hi, n)
	}
	return math.Hypot(outside(p.Pith[0], lo, hi), p.Pith[1])
}

// outside is how far a number lies outside a range.
func outside(v, lo, hi float64) float64 { return math.Max(0, math.Max(lo-v, v-hi)) }
