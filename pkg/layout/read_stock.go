package layout

import (
	"fmt"
	"math"
	"regexp"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

var (
	degrees     = strict.Between(-180, 180, "degrees")
	moistureMC  = strict.Between(0, 30, "% MC (30 is the nominal fibre saturation point)")
	hexColour   = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)
	maxKeyRunes = 32
)

// stock reads the prepared woods. A faulty one keeps its place under its key, so
// that the field raises no second fault for it.
func (r *reader) stock(v strict.Value) {
	r.board.Stock = map[string]Stock{}
	members, ok := v.AnyObject(1, r.limits.Pieces)
	if !ok {
		return
	}
	r.board.Stock = make(map[string]Stock, len(members))
	for _, m := range members {
		if r.doc.Full() {
			return
		}
		if n := len([]rune(m.Key())); n < 1 || n > maxKeyRunes {
			m.Fault(fault.WrongLength, "a stock needs a key of 1 to 32 letters", "1 to 32 letters")
		}
		r.board.Stock[m.Key()] = r.oneStock(m)
	}
	if n := len(r.unweighed); n > 0 {
		names := joined(r.unweighed[:min(n, 10)])
		if n > 10 {
			names = fmt.Sprintf("%s and %d more", names, n-10)
		}
		r.assume("moisture of stock %s: %.2f %% MC, in balance with the shop at glue-up", names, r.balance)
	}
}

func (r *reader) oneStock(v strict.Value) Stock {
	s := Stock{Key: v.Key(), Grain: Grain{Up: true}, Moisture: r.balance}
	m := v.Object("species", "ring_angle", "moisture", "grain", "pith", "colour")
	if m == nil {
		return s
	}
	s.Species = r.named(m.Need("species"), findSpecies)
	if m.Has("grain") {
		s.Grain = r.grain(m.Get("grain"))
	}
	s.Pith, _ = r.pith(m.Get("pith"))
	if m.Has("ring_angle") || !m.Has("pith") {
		s.RingAngle, _ = m.Need("ring_angle").Number(degrees)
	}
	r.agree(m.Get("ring_angle"), s.RingAngle, s.Pith, s.Grain.Up)
	if ring, ok := ringFromPith(s.Pith, s.Grain.Up); ok {
		s.RingAngle = ring
	}
	if m.Has("moisture") {
		s.Moisture, s.Given = m.Get("moisture").Number(moistureMC)
	} else {
		r.unweighed = append(r.unweighed, s.Key)
	}
	if c := m.Get("colour"); c.Here() {
		if s.Colour, _ = c.Text(7); s.Colour != "" && !hexColour.MatchString(s.Colour) {
			c.Fault(fault.NotOneOf, "the colour is not written as #rrggbb", "# and six hexadecimal digits")
		}
	}
	return s
}

// grain takes "up" or an angle in degrees from +x in the board's plane.
func (r *reader) grain(v strict.Value) Grain {
	if v.Kind() == strict.String {
		v.Word("up")
		return Grain{Up: true}
	}
	angle, _ := v.Number(degrees)
	return Grain{Angle: angle}
}

// pith takes the place of the pith relative to the centre of a piece.
func (r *reader) pith(v strict.Value) (*XY, bool) {
	p, ok := r.lengths(v, 2, 2, place)
	if !ok {
		return nil, false
	}
	return &XY{p[0], p[1]}, true
}

// ringFromPith is the ring angle at the centre of a piece whose pith lies at p
// from it: the radial axis runs from the pith to the centre. Not ok without a
// pith, or with the pith in the very centre.
func ringFromPith(p *XY, up bool) (float64, bool) {
	if p == nil || math.Hypot(p[0], p[1]) < straight {
		return 0, false
	}
	x, y := -p[0], -p[1] // end grain: from +x
	if !up {
		x, y = -p[1], -p[0] // long grain: from the face normal towards n
	}
	return math.Atan2(y, x) * 180 / math.Pi, true
}

// agree refuses a ring angle that says something else than the pith beside it.
func (r *reader) agree(ring strict.Value, angle float64, pith *XY, up bool) {
	const slack = 1.0 // degree, for angles a person wrote rounded
	want, ok := ringFromPith(pith, up)
	if !ok || !ring.Here() || ring.Kind() != strict.Number {
		return
	}
	if off := math.Remainder(angle-want, 180); math.Abs(off) > slack {
		r.doc.Add(fault.Fault{
			Rule: fault.NotAllowed, Pointer: ring.Pointer(),
			Detail:  "the ring angle and the pith contradict each other",
			Found:   strict.Decimal(angle) + " degrees",
			Allowed: strict.Decimal(want) + " degrees, from the pith to the piece's centre",
			Fix:     "leave ring_angle out",
		})
	}
}
