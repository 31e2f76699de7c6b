package layout

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

var (
	moistureMC = strictjson.Between(0, 30, "% MC (30 is the nominal fibre saturation point)")
	hexColour  = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)
)

// stock checks the prepared woods, in the order of their keys. A faulty one
// keeps its place under its key, so that the field raises no second fault for it.
func (r *layer) stock() {
	all := r.file.Stock
	r.board.Stock, r.ringless = make(map[string]Stock, len(all)), map[string]bool{}
	if n := len(all); n < 1 || n > r.limits.Pieces {
		r.fault(fault.WrongLength, "/stock", "the stock has too few or too many woods", fmt.Sprintf("1 to %d keys", r.limits.Pieces))
		if n > 0 {
			return
		}
	}
	for _, key := range slices.Sorted(maps.Keys(all)) {
		if r.full() {
			return
		}
		r.board.Stock[key] = r.material(key, all[key])
	}
	if n := len(r.unweighed); n > 0 {
		names := joined(r.unweighed[:min(n, 10)])
		if n > 10 {
			names = fmt.Sprintf("%s and %d more", names, n-10)
		}
		r.assume("moisture of stock %s: %.2f %% MC, in balance with the shop at glue-up", names, r.balance)
	}
}

func (r *layer) material(key string, m Material) Stock {
	pointer := under("/stock", key)
	if n := len([]rune(key)); n < 1 || n > maxKeyRunes {
		r.fault(fault.WrongLength, pointer, "a stock needs a key of 1 to 32 letters", "1 to 32 letters")
	}
	s := Stock{Key: key, Grain: r.fibres(pointer, m.Grain, Grain{Up: true}), Moisture: r.balance, Known: Untold}
	if r.file.GlueUp != nil {
		s.Known = ByAir
	}
	if r.letters(pointer+"/species", m.Species, 1, maxWord) {
		s.Species = r.species(pointer+"/species", m.Species)
	}
	s.Pith = r.pith(pointer, m.Pith)
	switch {
	case m.Ring == nil && m.Pith == nil:
		r.ringless[key] = true
	case m.Ring != nil:
		s.RingAngle, s.RingUnknown = r.ring(pointer, m.Ring, s.Pith, s.Grain.Up)
	}
	if ring, ok := ringFromPith(s.Pith, s.Grain.Up); ok {
		s.RingAngle = ring
	}
	if m.Moisture != nil {
		s.Moisture, s.Known = *m.Moisture, Measured
		r.number(pointer, "/moisture", s.Moisture, moistureMC)
	} else {
		r.unweighed = append(r.unweighed, key)
	}
	switch {
	case m.Known == "":
	case m.Moisture == nil:
		r.add(fault.Fault{Rule: fault.NotAllowed, Pointer: pointer + "/moisture_is", Detail: "no moisture is told that could be " + shortened(m.Known), Found: shortened(m.Known), Allowed: "beside a moisture", Fix: "tell the moisture, or leave moisture_is out"})
	case r.word(pointer+"/moisture_is", m.Known, Measured, Guessed):
		s.Known = m.Known
	}
	if m.Length != 0 {
		r.length(pointer+"/length", m.Length, size)
	}
	s.Slope = m.Slope
	r.number(pointer, "/slope", s.Slope, strictjson.Between(-steepest, steepest, "rise over run"))
	if s.Heart = HeartAlternate; m.Heart != "" && r.word(pointer+"/heart", m.Heart, HeartDown, HeartUp, HeartAlternate) {
		s.Heart = m.Heart
	}
	if s.Colour = m.Colour; s.Colour != "" && !hexColour.MatchString(s.Colour) {
		r.fault(fault.NotOneOf, pointer+"/colour", "the colour is not written as #rrggbb", "# and six hexadecimal digits")
	}
	return s
}

// needRing tells that a stock has no ring angle and something cut from it no
// other: how to read it off is the hardest line of a file to write.
func (r *layer) needRing(key string) {
	if !r.ringless[key] || r.full() {
		return
	}
	delete(r.ringless, key)
	fix := `look at the end of the wood, which becomes the top of the board: the angle is the way from the pith to the bark, square across the growth rings, counter-clockwise from straight right: 0 with the rings upright, 90 with the rings level; "unknown" when nobody has looked`
	if !r.board.Stock[key].Grain.Up {
		fix = `look at the end of the plank: 0 when the growth rings lie level with its face (flat-sawn), 90 when they stand upright (quarter-sawn); "unknown" when nobody has looked`
	}
	r.add(fault.Fault{Rule: fault.MissingKey, Pointer: under("/stock", key) + "/ring_angle", Detail: `the key "ring_angle" is missing`,
		Found: "nothing", Allowed: `degrees, or "unknown"`, Fix: fix})
}

// fibres turns the file's word or angle into a direction; def stands for none.
func (r *layer) fibres(pointer string, g Fibres, def Grain) Grain {
	switch {
	case g.Angle != nil:
		if !r.number(pointer, "/grain", *g.Angle, anyAngle) {
			return def
		}
		return Grain{Angle: within180(*g.Angle)}
	case g.Word != "":
		r.word(pointer+"/grain", g.Word, "up")
		return Grain{Up: true}
	}
	return def
}

// within180 leaves an angle as it is written where that is −180 to 180 degrees,
// and takes another for the same axis.
func within180(angle float64) float64 {
	if math.Abs(angle) <= 180 {
		return angle
	}
	return math.Remainder(angle, 180)
}

// ring gives the angle [degrees] of a ring told in the file. Nobody knows an
// unknown one: it lies at 0 until a draw.
func (r *layer) ring(pointer string, ring *Ring, pith *XY, up bool) (angle float64, unknown bool) {
	if ring.Unknown {
		if pith != nil {
			r.add(fault.Fault{Rule: fault.NotAllowed, Pointer: pointer + "/ring_angle", Detail: "the rings are unknown, and a pith tells them", Found: "unknown", Fix: "leave one of them out"})
		}
		return 0, true
	}
	if !r.number(pointer, "/ring_angle", ring.Angle, anyAngle) {
		return 0, false
	}
	angle = within180(ring.Angle)
	const slack = 1.0 // degree, for angles a person wrote rounded
	if want, ok := ringFromPith(pith, up); ok && math.Abs(math.Remainder(angle-want, 180)) > slack && !r.full() {
		r.add(fault.Fault{
			Rule: fault.NotAllowed, Pointer: pointer + "/ring_angle",
			Detail:  "the ring angle and the pith contradict each other",
			Found:   strictjson.Decimal(ring.Angle) + " degrees",
			Allowed: strictjson.Decimal(want) + " degrees, from the pith to the piece's centre",
			Fix:     "leave ring_angle out",
		})
	}
	return angle, false
}

// pith gives the place of the pith [mm] relative to the centre of a piece.
func (r *layer) pith(pointer string, p *[2]Length) *XY {
	if p == nil {
		return nil
	}
	x, ok := r.lengthAt(pointer+"/pith", 0, p[0], place)
	y, ok1 := r.lengthAt(pointer+"/pith", 1, p[1], place)
	if !ok || !ok1 {
		return nil
	}
	return &XY{x, y}
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

// stockKey reports whether a key is one of the stock; if not, that is a fault.
func (r *layer) stockKey(pointer, key string) bool {
	if _, ok := r.board.Stock[key]; ok {
		return true
	}
	if key == "" {
		r.letters(pointer, key, 1, maxKeyRunes)
		return false
	}
	r.noStock(pointer, key, "", false)
	return false
}

// noStock tells that a key is neither a stock nor, where tiles may stand, a tile.
func (r *layer) noStock(pointer, key, where string, tiles bool) {
	if len(r.board.Stock) == 0 || r.full() {
		return // one fault is enough for a file without stock
	}
	names := slices.Sorted(maps.Keys(r.board.Stock))
	what := "no stock"
	if tiles && len(r.file.Tiles) > 0 {
		names = append(names, slices.Sorted(maps.Keys(r.file.Tiles))...)
		what = "no stock and no tile"
	}
	f := fault.Fault{
		Rule: fault.UnknownName, Pointer: pointer, Detail: fmt.Sprintf("%s%s has the key %q", where, what, shortened(key)),
		Found: shortened(key), Nearest: fault.Nearest(key, names, 1), Fix: "add it, or use a key there is",
	}
	if len(names) <= 20 {
		slices.Sort(names)
		f.Allowed = joined(names)
	}
	r.add(f)
}
