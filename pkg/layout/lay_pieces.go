package layout

import (
	"fmt"
	"math"
	"regexp"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

var (
	pieceID  = regexp.MustCompile(`^[\pL\pN._-]+$`)
	borderID = regexp.MustCompile(`^b[0-9]+\.`)
)

// outlines lays free pieces.
func (r *layer) outlines() {
	const pointer = "/field/pieces"
	all := r.file.Field.Pieces
	if len(all) == 0 {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: "the list has 0 elements", Found: "a list of 0", Allowed: "at least 1"})
		return
	}
	if !r.room(pointer, len(all)) {
		return
	}
	l := &outlined{layer: r, ids: make(map[string]bool, len(all))}
	for i := range all {
		here := at(pointer, i)
		if r.full() || !l.element(here, &all[i], "p"+strconv.Itoa(i+1)) {
			return
		}
	}
}

// outlined lays free pieces and counts them.
type outlined struct {
	*layer
	ids     map[string]bool
	corners int
}

// element lays a piece or a motif; false ends the laying.
func (l *outlined) element(pointer string, f *FreePiece, id string) bool {
	if len(f.Motif) > 0 || len(f.Repeat) > 0 {
		return l.motif(pointer, f, id)
	}
	p, ok := l.outline(pointer, f, id)
	return !ok || l.add(pointer, p)
}

// add keeps a piece, unless there are too many corners.
func (l *outlined) add(pointer string, p Piece) bool {
	if l.ids[p.ID] {
		l.fault(fault.NotAllowed, pointer, fmt.Sprintf("the id %q stands twice", p.ID), "an id for each piece")
	}
	l.ids[p.ID] = true
	if l.corners += len(p.Outline); l.corners > maxAllCorners {
		l.fault(fault.TooLarge, pointer, "the outlines have too many corners", fmt.Sprintf("up to %d in all", maxAllCorners))
		return false
	}
	l.pieces = append(l.pieces, p)
	return true
}

func (r *layer) outline(pointer string, f *FreePiece, id string) (Piece, bool) {
	if f.ID != "" {
		if id = f.ID; len(id) > 4*maxKeyRunes || !pieceID.MatchString(id) || borderID.MatchString(id) || len([]rune(id)) > maxKeyRunes {
			r.fault(fault.NotOneOf, pointer+"/id", "that cannot be the id of a piece", "1 to 32 letters, digits, dots, hyphens and underscores; b1., b2. and so on are for borders")
		}
	}
	ok := r.stockKey(pointer+"/stock", f.Stock)
	outline, ok1 := r.corners(pointer+"/outline", f.Outline)
	s := r.board.Stock[f.Stock]
	s.Grain = r.fibres(pointer, f.Grain, s.Grain)
	if f.Ring != nil {
		s.Pith = nil
	}
	if f.Pith != nil {
		s.Pith, s.RingUnknown = r.pith(pointer, f.Pith), false
	}
	switch {
	case f.Ring != nil:
		s.RingAngle, s.RingUnknown = r.ring(pointer, f.Ring, s.Pith, s.Grain.Up)
	case f.Pith == nil && ok:
		r.needRing(f.Stock)
	}
	if ring, has := ringFromPith(s.Pith, s.Grain.Up); has {
		s.RingAngle = ring
	}
	if !ok || !ok1 {
		return Piece{}, false
	}
	p := fieldPiece(id, s, outline)
	_, centre := areaAndCentre(outline)
	p.Pith = absolute(s.Pith, s.Grain, centre)
	p.Pointer = pointer
	return p, true
}

// corners takes an outline either way round, open or closed, and gives it
// counter-clockwise and open.
func (r *layer) corners(pointer string, of [][2]Length) ([]XY, bool) {
	if n := len(of); n < 3 || n > maxCorners {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: fmt.Sprintf("the outline has %d corners", n), Found: fmt.Sprintf("a list of %d", n), Allowed: fmt.Sprintf("3 to %d elements", maxCorners)})
		return nil, false
	}
	given := make([]XY, len(of))
	ok := true
	for i, c := range of {
		for k, l := range c {
			v := float64(l) * r.scale
			if given[i][k] = v; !place.Contains(v) {
				r.lengthAt(at(pointer, i), k, l, place)
				ok = false
			}
		}
	}
	if !ok {
		return nil, false
	}
	p := canonical(given)
	if len(p) < 3 {
		r.fault(fault.Outline, pointer, "the outline has no area", "at least three corners that enclose wood")
		return nil, false
	}
	if i, j, at, found := selfCrossing(p); found {
		place := [2]float64(at)
		r.add(fault.Fault{
			Rule: fault.Outline, Pointer: pointer, At: &place,
			Detail: fmt.Sprintf("the outline crosses or touches itself at %s", shown(XY{at[0] / r.scale, at[1] / r.scale})),
			Found: fmt.Sprintf("the side from %s and the side from %s",
				shown(XY{p[i][0] / r.scale, p[i][1] / r.scale}), shown(XY{p[j][0] / r.scale, p[j][1] / r.scale})),
			Allowed: "sides that meet at corners only", Fix: "put the corners in order round the piece",
		})
		return nil, false
	}
	for i := range p {
		a, b, c := p[(i+len(p)-1)%len(p)], p[i], p[(i+1)%len(p)]
		if u, w := sub(c, b), sub(a, b); math.Abs(math.Atan2(cross(u, w), dot(u, w)))*180/math.Pi < minCorner && cross(u, w) > 0 {
			r.fault(fault.Outline, pointer, fmt.Sprintf("the corner at %s is too sharp", shown(XY{b[0] / r.scale, b[1] / r.scale})),
				fmt.Sprintf("corners of %g degrees and more", minCorner))
			return nil, false
		}
	}
	return p, true
}

// extent refuses a field larger than MaxLength either way.
func (r *layer) extent(pointer string, w, h float64) bool {
	if w <= MaxLength && h <= MaxLength {
		return true
	}
	r.fault(fault.TooLarge, pointer, fmt.Sprintf("the field is %s × %s mm", strictjson.Decimal(w), strictjson.Decimal(h)),
		fmt.Sprintf("up to %g mm either way", MaxLength))
	return false
}

func sum(fs []float64) (s float64) {
	for _, f := range fs {
		s += f
	}
	return s
}

// edges gives the places of the borders between lengths laid end to end from 0.
// Equal lengths are multiplied, not added up, so that no rounding creeps in.
func edges(lengths []float64) []float64 {
	at := make([]float64, len(lengths)+1)
	equal := true
	for i, l := range lengths {
		if equal = equal && l == lengths[0]; equal {
			at[i+1] = l * float64(i+1)
		} else {
			at[i+1] = at[i] + l
		}
	}
	return at
}

func repeated(f float64, n int) []float64 {
	fs := make([]float64, n)
	for i := range fs {
		fs[i] = f
	}
	return fs
}

func reversed(fs []float64) []float64 {
	out := make([]float64, len(fs))
	for i, f := range fs {
		out[len(fs)-1-i] = f
	}
	return out
}
