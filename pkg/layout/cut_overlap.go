package layout

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// flaws collects geometric faults, one for each pair of pieces, up to maxFaults.
type flaws struct {
	pieces   []Piece
	overlaps fault.List
	slivers  fault.List
	seen     map[[2]int32]fault.Rule
}

func (f *flaws) full() bool { return len(f.overlaps)+len(f.slivers) >= maxFaults }

// first reports whether the pair has had no fault of that rule.
func (f *flaws) first(a, b int32, rule fault.Rule) bool {
	pair := [2]int32{min(a, b), max(a, b)}
	if f.full() || f.seen[pair] == rule || f.seen[pair] == fault.Overlap {
		return false
	}
	if f.seen == nil {
		f.seen = map[[2]int32]fault.Rule{}
	}
	f.seen[pair] = rule
	return true
}

func (f *flaws) about(rule fault.Rule, a, b int32, at XY) fault.Fault {
	a, b = min(a, b), max(a, b)
	place := [2]float64(at)
	ft := fault.Fault{Rule: rule, Pointer: f.pieces[b].Pointer, At: &place, Pieces: []string{f.pieces[a].ID}}
	if a != b {
		ft.Pieces = append(ft.Pieces, f.pieces[b].ID)
	}
	return ft
}

func (f *flaws) overlap(a, b int32, at XY) {
	if a == b {
		f.pinched(a, at)
		return
	}
	if !f.first(a, b, fault.Overlap) {
		return
	}
	ft := f.about(fault.Overlap, a, b, at)
	ft.Detail = fmt.Sprintf("pieces %s and %s overlap near %s", ft.Pieces[0], ft.Pieces[1], shown(at))
	if area, ok := sharedArea(f.pieces[a].Outline, f.pieces[b].Outline); ok {
		ft.Found = strictjson.Decimal(area) + " mm² in common"
	}
	ft.Allowed = "pieces may touch, not overlap"
	f.overlaps = append(f.overlaps, ft)
}

func (f *flaws) sliver(a, b int32, at XY, gap float64, what string) {
	if !f.first(a, b, fault.Sliver) {
		return
	}
	ft := f.about(fault.Sliver, a, b, at)
	ft.Found = strictjson.Decimal(gap) + " mm"
	if len(ft.Pieces) == 1 {
		ft.Detail = fmt.Sprintf("piece %s has %s only %s mm apart near %s", ft.Pieces[0], what, strictjson.Decimal(gap), shown(at))
	} else {
		ft.Detail = fmt.Sprintf("pieces %s and %s have %s only %s mm apart near %s", ft.Pieces[0], ft.Pieces[1], what, strictjson.Decimal(gap), shown(at))
	}
	ft.Allowed = fmt.Sprintf("up to %g mm (taken for touching) or %g mm and more", Snap, Narrow)
	ft.Fix = "let them meet in one place, or move them further apart"
	f.slivers = append(f.slivers, ft)
}

func (f *flaws) pinched(a int32, at XY) {
	if !f.first(a, a, fault.Outline) {
		return
	}
	ft := f.about(fault.Outline, a, a, at)
	ft.Detail = fmt.Sprintf("the outline of piece %s touches itself near %s", ft.Pieces[0], shown(at))
	ft.Allowed = "an outline that neither crosses nor touches itself"
	f.overlaps = append(f.overlaps, ft)
}

// list gives the faults found; slivers between pieces that overlap anyway are left out.
func (f *flaws) list() fault.List {
	all := f.overlaps
	for _, s := range f.slivers {
		told := false
		for _, o := range f.overlaps {
			told = told || equalWords(o.Pieces, s.Pieces)
		}
		if !told {
			all = append(all, s)
		}
	}
	return all
}

func equalWords(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func shown(p XY) string {
	return fmt.Sprintf("(%s, %s)", strictjson.Decimal(p[0]), strictjson.Decimal(p[1]))
}

// sharedArea is the area [mm²] two outlines have in common, to tell by how much
// pieces overlap; not ok when there are too many corners for that. An outline is
// the sum of the triangles from its first corner to its sides, each with its
// sign, so what two outlines share is the sum of what their triangles share.
func sharedArea(a, b []XY) (float64, bool) {
	const most = 10_000 // pairs of triangles
	if len(a)*len(b) > most {
		return 0, false
	}
	total := 0.0
	for i := 1; i+1 < len(a); i++ {
		s := [3]XY{a[0], a[i], a[i+1]}
		for k := 1; k+1 < len(b); k++ {
			t := [3]XY{b[0], b[k], b[k+1]}
			total += sharedByTriangles(s, t)
		}
	}
	return total, true
}

// sharedByTriangles is the area [mm²] that two triangles share, negative when
// one of them runs clockwise: the first, cut along each side of the second.
func sharedByTriangles(s, t [3]XY) float64 {
	turn := func(t [3]XY) float64 { return cross(sub(t[1], t[0]), sub(t[2], t[0])) }
	sign := 1.0
	for _, v := range []*[3]XY{&s, &t} {
		switch d := turn(*v); {
		case d == 0:
			return 0
		case d < 0:
			v[1], v[2] = v[2], v[1]
			sign = -sign
		}
	}
	return sign * SharedArea(s[:], t[:])
}

// cut works out the planar map of the pieces and their joints. Outlines must be
// canonical; they are moved onto the map's vertices, and areas and centres set.
func cut(pieces []Piece) (Partition, []Joint, fault.List) {
	p := &plan{pieces: pieces, flaws: flaws{pieces: pieces}}
	p.snap()
	for i, ring := range p.rings {
		if len(ring) < 3 {
			p.flaws.pinched(int32(i), p.spots.at[ring[0]])
		}
	}
	if p.flaws.full() || len(p.flaws.overlaps) > 0 {
		return Partition{}, nil, p.flaws.list()
	}
	for _, step := range []func(){p.crammed, p.crowded, p.split, p.pinches, p.connect, p.wedges, p.crossings} {
		if step(); p.flaws.full() || p.piled {
			break
		}
	}
	if l := p.flaws.list(); len(l) > 0 {
		return Partition{}, nil, l
	}
	for i := range pieces {
		pieces[i].Area, pieces[i].Centre = areaAndCentre(pieces[i].Outline)
	}
	joints := p.join()
	return p.part, joints, detached(pieces, joints)
}

// pinches finds rings that come to one vertex twice.
func (p *plan) pinches() {
	seen := make([]int, len(p.spots.at))
	for i, ring := range p.rings {
		for _, v := range ring {
			if seen[v] == i+1 {
				p.flaws.pinched(int32(i), p.spots.at[v])
			}
			seen[v] = i + 1
		}
	}
}

// detached finds pieces that no chain of joints connects with the largest group.
// A group that lies within another piece is an overlap, not an island.
func detached(pieces []Piece, joints []Joint) fault.List {
	group, sizes := islands(len(pieces), joints)
	if len(sizes) <= 1 {
		return nil
	}
	largest := 0
	for g, n := range sizes {
		if n > sizes[largest] {
			largest = g
		}
	}
	var list fault.List
	told := make([]bool, len(sizes))
	for i, g := range group {
		if g == largest || told[g] || len(list) >= maxFaults {
			continue
		}
		told[g] = true
		at := [2]float64(pieces[i].Centre)
		f := fault.Fault{Rule: fault.Detached, Pointer: pieces[i].Pointer, At: &at}
		for k := i; k < len(pieces) && len(f.Pieces) < 5; k++ {
			if group[k] == g {
				f.Pieces = append(f.Pieces, pieces[k].ID)
			}
		}
		f.Detail = fmt.Sprintf("piece %s is glued to no other piece of the board", f.Pieces[0])
		if sizes[g] > 1 {
			f.Detail = fmt.Sprintf("a group of %d pieces, among them %s, is glued to nothing else", sizes[g], f.Pieces[0])
		}
		f.Allowed = "one board that hangs together by joints; a corner alone is no joint"
		f.Fix = fmt.Sprintf("let it share an edge of at least %g mm with the rest", Narrow)
		for k := range pieces {
			in, out := i, k
			if within(pieces[k].Outline, pieces[i].Outline) {
				in, out = k, i
			}
			if group[k] != g && within(pieces[in].Outline, pieces[out].Outline) {
				f.Rule, f.Fix = fault.Overlap, ""
				f.Pieces = []string{pieces[in].ID, pieces[out].ID}
				f.Detail = fmt.Sprintf("piece %s lies within piece %s", pieces[in].ID, pieces[out].ID)
				f.Allowed = "pieces may touch, not overlap"
				break
			}
		}
		list = append(list, f)
	}
	return list
}

// within reports whether an outline lies in another that it does not cross: most
// of its corners and middles of sides do, since some may stand on the other.
func within(in, out []XY) bool {
	n := 0
	for i, a := range in {
		b := in[(i+1)%len(in)]
		for _, q := range []XY{a, {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}} {
			if Inside(out, q) {
				n++
			}
		}
	}
	return n > len(in)
}
