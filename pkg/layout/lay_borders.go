package layout

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// along gives the fibre direction [degrees] of a border whose grain runs along
// its side. The border is walked round counter-clockwise, so that n, 90° to the
// left of the fibres, always points to the field.
var along = map[string]float64{"bottom": 0, "right": 90, "top": 180, "left": -90}

// borders checks the border entries and lays them, each round what is there.
func (r *layer) borders() {
	of := r.file.Borders
	if len(of) == 0 {
		return
	}
	if len(of) > maxBorders {
		r.fault(fault.WrongLength, "/borders", "there are too many borders", fmt.Sprintf("0 to %d elements", maxBorders))
		return
	}
	read, n := make([]Border, len(of)), 0
	for i := range of {
		read[i] = r.border(at("/borders", i), &of[i])
		n += len(read[i].Sides) * read[i].Blocks // of a panel at least so many
	}
	if !r.faults.Empty() || len(r.pieces) == 0 || !r.room("/borders", n) {
		return // the field or a border is refused already
	}
	if !r.rectangular && !r.fillsItsBox("/borders/0") {
		return
	}
	r.board.Borders = read
	lo, hi := bounds(outlinesOf(r.pieces)...)
	box := block{x0: lo[0], x1: hi[0], y0: lo[1], y1: hi[1]}
	for i, b := range read {
		if r.full() {
			return
		}
		if b.Mitre {
			r.mitre(i, b, &box)
		} else {
			r.butt(i, b, &box)
		}
	}
}

func (r *layer) border(pointer string, e *Edging) Border {
	b := Border{Stock: e.Stock, Along: e.Grain == "along", Mitre: e.Corner == "mitre", Blocks: max(1, e.Blocks), Sides: slices.Clone(e.Sides)}
	r.word(pointer+"/grain", e.Grain, edgingGrains...)
	if e.Panel != "" {
		r.slicedBorder(pointer, e, &b)
	} else {
		if r.stockKey(pointer+"/stock", e.Stock) {
			r.needRing(e.Stock)
		}
		b.Width = r.length(pointer+"/width", e.Width, size)
		if e.Turn != "" {
			r.fault(fault.NotAllowed, pointer+"/turn", "only the slices of a panel are turned", "turn beside panel only")
		}
	}
	r.rest(pointer+"/rest", e.Rest)
	if e.Corner != "" {
		r.word(pointer+"/corner", e.Corner, corners...)
	}
	if e.Blocks != 0 && r.whole(pointer+"/blocks", e.Blocks, 1, maxBorderBlocks) && e.Blocks > 1 && (b.Along || b.Mitre) {
		r.fault(fault.NotAllowed, pointer+"/blocks", "only a butted border of end grain is cut into blocks", "blocks beside grain \"up\" and corner \"butt\"")
	}
	if b.Mitre && len(e.Sides) == 0 {
		b.Sides = []string{"left", "right", "top", "bottom"}
		return b
	}
	if n := len(e.Sides); n < 1 || n > 4 {
		r.fault(fault.MissingKey, pointer+"/sides", "a border lies on one side or more", "1 to 4 of left, right, top, bottom")
	}
	for i, side := range e.Sides {
		if r.word(at(pointer+"/sides", i), side, allSides...) && slices.Contains(e.Sides[:i], side) {
			r.fault(fault.NotAllowed, at(pointer+"/sides", i), "the side stands twice in one border", "each side once; a second ring is a second entry")
		}
	}
	if b.Mitre && len(e.Sides) < 4 {
		r.fault(fault.NotAllowed, pointer+"/sides", "a mitred border goes round all four sides", "left, right, top and bottom, or corner \"butt\"")
	}
	return b
}

// butt lays the sides in the order listed, each as long as what is there.
func (r *layer) butt(i int, b Border, box *block) {
	for _, side := range b.Sides {
		strip := *box
		switch side {
		case "left":
			strip.x0, strip.x1 = box.x0-b.Width, box.x0
			box.x0 = strip.x0
		case "right":
			strip.x0, strip.x1 = box.x1, box.x1+b.Width
			box.x1 = strip.x1
		case "top":
			strip.y0, strip.y1 = box.y1, box.y1+b.Width
			box.y1 = strip.y1
		case "bottom":
			strip.y0, strip.y1 = box.y0-b.Width, box.y0
			box.y0 = strip.y0
		}
		if b.Panel != "" {
			r.slicesRound(i, b, frame{strip, side})
			continue
		}
		for k := range b.Blocks {
			part, name := strip, ""
			if b.Blocks > 1 {
				part, name = strip.part(k, b.Blocks, side == "left" || side == "right"), "."+strconv.Itoa(k+1)
			}
			r.borderPiece(i, b, side, name, part.outline())
		}
	}
}

// part is the k-th of n equal parts of a strip, from the top of an upright one
// and from the left of the others.
func (s block) part(k, n int, upright bool) block {
	at := func(lo, hi float64, k int) float64 {
		if k == n {
			return hi // exactly, so that strips of other borders meet it
		}
		return lo + (hi-lo)*float64(k)/float64(n)
	}
	p := s
	if upright {
		p.y0, p.y1 = at(s.y0, s.y1, n-1-k), at(s.y0, s.y1, n-k)
	} else {
		p.x0, p.x1 = at(s.x0, s.x1, k), at(s.x0, s.x1, k+1)
	}
	return p
}

// mitre lays four trapezia whose ends are cut at 45°.
func (r *layer) mitre(i int, b Border, box *block) {
	in, w := box.outline(), b.Width
	out := block{x0: box.x0 - w, x1: box.x1 + w, y0: box.y0 - w, y1: box.y1 + w}
	o := out.outline()
	corner := map[string][2]int{"bottom": {0, 1}, "right": {1, 2}, "top": {2, 3}, "left": {3, 0}}
	for _, side := range b.Sides {
		k := corner[side]
		r.borderPiece(i, b, side, "", []XY{o[k[0]], o[k[1]], in[k[1]], in[k[0]]})
	}
	*box = out
}

func (r *layer) borderPiece(i int, b Border, side, suffix string, outline []XY) {
	s := r.board.Stock[b.Stock]
	s.Grain = Grain{Up: true}
	if b.Along {
		s.Grain = Grain{Angle: along[side]}
	}
	if ring, ok := ringFromPith(s.Pith, s.Grain.Up); ok {
		s.RingAngle = ring
	}
	n := strconv.Itoa(i + 1)
	p := fieldPiece("b"+n+"."+side+suffix, s, outline)
	p.Part, p.Border, p.Pointer = "border "+n+" "+side, i, at("/borders", i)
	_, centre := areaAndCentre(outline)
	p.Pith = absolute(s.Pith, s.Grain, centre)
	r.pieces = append(r.pieces, p)
}

// fillsItsBox reports whether the field's outer edge is its bounding box; if
// not, that is a fault, since nothing straight can be glued round it.
func (r *layer) fillsItsBox(pointer string) bool {
	field := make([]Piece, len(r.pieces))
	copy(field, r.pieces)
	for i := range field {
		field[i].Outline = append([]XY(nil), field[i].Outline...)
	}
	part, _, faults := cut(field)
	if len(faults) > 0 {
		for _, f := range faults {
			r.add(f)
		}
		return false
	}
	lo, hi := bounds(part.Vertices)
	covered := [4]float64{} // left, bottom, right, top
	for _, e := range part.Edges {
		if e.Left >= 0 && e.Right >= 0 {
			continue
		}
		a, b := part.Vertices[e.V0], part.Vertices[e.V1]
		for k := range lo {
			if a[k]-lo[k] <= Snap && b[k]-lo[k] <= Snap {
				covered[k] += distance(a, b)
			}
			if hi[k]-a[k] <= Snap && hi[k]-b[k] <= Snap {
				covered[2+k] += distance(a, b)
			}
		}
	}
	for k, name := range []string{"left", "bottom", "right", "top"} {
		want := hi[1-k%2] - lo[1-k%2]
		if covered[k] >= want-2*Snap {
			continue
		}
		fix := "border a rectangular field, or give the border's parts as pieces"
		if r.staggered {
			fix = `set "ends" to "trimmed", so that the rows are sawn flush`
		}
		r.add(fault.Fault{
			Rule: fault.Construction, Pointer: pointer,
			Detail:  fmt.Sprintf("a border needs a rectangular field; this one's %s side is not straight from end to end", name),
			Found:   fmt.Sprintf("%s of %s mm on the bounding box", strictjson.Decimal(covered[k]), strictjson.Decimal(want)),
			Allowed: "a field that fills its bounding box along all four sides", Fix: fix,
		})
		return false
	}
	return true
}
