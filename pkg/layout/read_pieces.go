package layout

import (
	"fmt"
	"math"
	"regexp"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

var (
	pieceID  = regexp.MustCompile(`^[\pL\pN._-]+$`)
	borderID = regexp.MustCompile(`^b[0-9]+\.`)
)

// outlines reads free pieces.
func (r *reader) outlines(v strict.Value) {
	items, ok := v.List(1, -1)
	if !ok || !r.room(v, len(items)) {
		return
	}
	corners := 0
	ids := make(map[string]bool, len(items))
	for i, item := range items {
		if r.doc.Full() {
			return
		}
		p, ok := r.outline(item, "p"+strconv.Itoa(i+1))
		if !ok {
			continue
		}
		if ids[p.ID] {
			item.Fault(fault.NotAllowed, fmt.Sprintf("the id %q stands twice", p.ID), "an id for each piece")
		}
		ids[p.ID] = true
		if corners += len(p.Outline); corners > maxAllCorners {
			item.Fault(fault.TooLarge, "the outlines have too many corners", fmt.Sprintf("up to %d in all", maxAllCorners))
			return
		}
		r.pieces = append(r.pieces, p)
	}
}

func (r *reader) outline(v strict.Value, id string) (Piece, bool) {
	m := v.Object("id", "stock", "outline", "grain", "ring_angle", "pith")
	if m == nil {
		return Piece{}, false
	}
	if given := m.Get("id"); given.Here() {
		id, _ = given.Text(maxKeyRunes)
		if id != "" && (!pieceID.MatchString(id) || borderID.MatchString(id)) {
			given.Fault(fault.NotOneOf, "that cannot be the id of a piece", "letters, digits, dots, hyphens and underscores; b1., b2. and so on are for borders")
		}
	}
	key, ok := r.stockKey(m.Need("stock"))
	corners, ok1 := r.corners(m.Need("outline"))
	s := r.board.Stock[key]
	if g := m.Get("grain"); g.Here() {
		s.Grain = r.grain(g)
	}
	if a := m.Get("ring_angle"); a.Here() {
		s.RingAngle, _ = a.Number(degrees)
		s.Pith = nil
	}
	if p := m.Get("pith"); p.Here() {
		s.Pith, _ = r.pith(p)
	}
	r.agree(m.Get("ring_angle"), s.RingAngle, s.Pith, s.Grain.Up)
	if ring, has := ringFromPith(s.Pith, s.Grain.Up); has {
		s.RingAngle = ring
	}
	if !ok || !ok1 {
		return Piece{}, false
	}
	p := fieldPiece(id, s, corners)
	_, centre := areaAndCentre(corners)
	p.Pith = absolute(s.Pith, s.Grain, centre)
	p.Pointer = v.Pointer()
	return p, true
}

// corners takes an outline either way round, open or closed, and gives it
// counter-clockwise and open.
func (r *reader) corners(v strict.Value) ([]XY, bool) {
	items, ok := v.List(3, maxCorners)
	var given []XY
	for _, item := range items {
		pair, good := r.lengths(item, 2, 2, place)
		if ok = ok && good; ok {
			given = append(given, XY{pair[0], pair[1]})
		}
	}
	if !ok {
		return nil, false
	}
	p := canonical(given)
	if len(p) < 3 {
		v.Fault(fault.Outline, "the outline has no area", "at least three corners that enclose wood")
		return nil, false
	}
	if i, j, at, found := selfCrossing(p); found {
		place := [2]float64(at)
		r.doc.Add(fault.Fault{
			Rule: fault.Outline, Pointer: v.Pointer(), At: &place,
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
			v.Fault(fault.Outline, fmt.Sprintf("the corner at %s is too sharp", shown(XY{b[0] / r.scale, b[1] / r.scale})),
				fmt.Sprintf("corners of %g degrees and more", minCorner))
			return nil, false
		}
	}
	return p, true
}

// extent refuses a field larger than MaxLength either way.
func (r *reader) extent(v strict.Value, w, h float64) bool {
	if w <= MaxLength && h <= MaxLength {
		return true
	}
	v.Fault(fault.TooLarge, fmt.Sprintf("the field is %s × %s mm", strict.Decimal(w), strict.Decimal(h)),
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
