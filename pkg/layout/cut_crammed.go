package layout

import (
	"sort"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// Bounds of the search of a crammed board for the pairs to name.
const (
	maxBoxPairs = 1_000_000 // pairs of bounding boxes
	maxOverlays = 200       // pairs whose common area is measured
	crumb       = 1.0       // mm², what a pair must share to be named
)

// crammed refuses boards on which so many pieces lie over each other that the
// steps that follow would cost far more than n log n: pieces with more area in
// all than the box round them overlap for certain.
func (p *plan) crammed() {
	total, slack := 0.0, 0.0
	for i := range p.pieces {
		outline := p.pieces[i].Outline
		area, _ := areaAndCentre(outline)
		total += area
		for k, a := range outline { // a side may lie over its neighbour by Snap and still be snapped
			slack += Snap * distance(a, outline[(k+1)%len(outline)])
		}
	}
	lo, hi := bounds(p.spots.at)
	if box := (hi[0] - lo[0]) * (hi[1] - lo[1]); total > box*(1+1e-9)+slack {
		p.piledUp(strictjson.Decimal(total)+" mm² of wood in all", "the "+strictjson.Decimal(box)+" mm² of the bounding box, at most")
	}
}

// piledUp names overlapping pairs of a board that is known to have some.
func (p *plan) piledUp(found, allowed string) {
	p.piled = true
	order := make([]int, len(p.pieces))
	los, his := make([]XY, len(p.pieces)), make([]XY, len(p.pieces))
	for i := range p.pieces {
		order[i] = i
		los[i], his[i] = bounds(p.pieces[i].Outline)
	}
	sort.SliceStable(order, func(i, j int) bool { return los[order[i]][0] < los[order[j]][0] })
	boxPairs, overlays := 0, 0
	var active []int
	for _, i := range order {
		kept := active[:0]
		for _, j := range active {
			if his[j][0] <= los[i][0]+Snap {
				continue // the sweep has passed it
			}
			kept = append(kept, j)
			if boxPairs++; his[j][1] <= los[i][1]+Snap || los[j][1] >= his[i][1]-Snap {
				continue
			}
			overlays++
			if area, ok := sharedArea(p.pieces[i].Outline, p.pieces[j].Outline); ok && area > crumb {
				p.flaws.overlap(int32(i), int32(j), XY{max(los[i][0], los[j][0]), max(los[i][1], los[j][1])})
			}
			if boxPairs > maxBoxPairs || overlays > maxOverlays || p.flaws.full() {
				break
			}
		}
		if boxPairs > maxBoxPairs || overlays > maxOverlays || p.flaws.full() {
			break
		}
		active = append(kept, i)
	}
	if len(p.flaws.overlaps) == 0 {
		p.flaws.overlaps = append(p.flaws.overlaps, fault.Fault{
			Rule: fault.Overlap, Pointer: "/field", Detail: "the pieces lie over each other", Found: found, Allowed: allowed,
		})
	}
}
