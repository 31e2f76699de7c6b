package layout

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// reach refuses pieces that are longer, along their fibres, than the longest stick of
// their stock: one fault for each place of the file and stock.
func (r *layer) reach() {
	if !r.faults.Empty() {
		return
	}
	type told struct{ pointer, stock string }
	done := map[told]bool{}
	for i := range r.pieces {
		p := &r.pieces[i]
		long := float64(r.file.Stock[p.Stock].Length) * r.scale
		of := told{p.Pointer, p.Stock}
		if long == 0 || done[of] {
			continue
		}
		need, how := r.board.Thickness, ", as the board is thick"
		if !p.Grain.Up {
			need, how = extentAlong(p.Outline, p.Grain.Angle), ", along its fibres"
		}
		if need <= long+Snap {
			continue
		}
		done[of] = true
		r.add(fault.Fault{Rule: fault.Construction, Pointer: p.Pointer, Pieces: []string{p.ID}, Detail: fmt.Sprintf("%s is longer than its stock %s", p.ID, shortened(p.Stock)),
			Found: r.shown(need) + how, Allowed: "up to " + r.shown(long), Fix: "make it of two, or of a longer stock"})
	}
}

// extentAlong is how long an outline is in a direction [degrees], mm.
func extentAlong(of []XY, angle float64) float64 {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range of {
		along := q[0]*cos + q[1]*sin
		lo, hi = math.Min(lo, along), math.Max(hi, along)
	}
	return hi - lo
}
