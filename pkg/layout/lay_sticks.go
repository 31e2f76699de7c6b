package layout

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// madeStick is a kind of stick as it is made, told from the middle of its end.
type madeStick struct {
	parts []madePart
	cut   string
	w, h  float64 // mm
	reach float64 // mm, the shortest stock it is made of; 0 when none tells
	from  string  // that stock
	mc    *float64
}

// madePart is one wood of it.
type madePart struct {
	stock   Stock // with the part's own rings and moisture
	ringed  bool  // its kind of stick tells its rings
	outline []XY
}

// stickKinds checks how the sticks are made. A faulty kind is left out, so that
// whatever is made of it raises no second fault.
func (r *layer) stickKinds(pointer string, of map[string]StickKind) map[string]*madeStick {
	made := make(map[string]*madeStick, len(of))
	if n := len(of); n < 1 || n > maxStrips {
		r.fault(fault.WrongLength, pointer, "a build needs sticks", fmt.Sprintf("1 to %d keys", maxStrips))
	}
	for _, key := range slices.Sorted(maps.Keys(of)) {
		if r.full() {
			break
		}
		k := of[key]
		if m, ok := r.stickKind(under(pointer, key), key, &k); ok {
			made[key] = m
		}
	}
	return made
}

func (r *layer) stickKind(pointer, key string, k *StickKind) (*madeStick, bool) {
	ok := r.letters(pointer, key, 1, maxKeyRunes)
	m := &madeStick{cut: k.Cut, mc: k.Moisture}
	section, good := r.lengths(pointer+"/section", k.Section[:], wide)
	m.w, m.h, ok = section[0], section[1], ok && good
	if good = good && !r.known[pointer+"/section"]; !good {
		return nil, false
	}
	if k.Cut != "" {
		ok = r.word(pointer+"/cut", k.Cut, cuts...) && ok
	}
	if k.Moisture != nil {
		ok = r.number(pointer, "/moisture", *k.Moisture, moistureMC) && ok
	}
	want := 1
	switch {
	case k.Cut != "" && k.Layers != nil:
		r.fault(fault.NotAllowed, pointer+"/layers", "layers cannot stand beside cut", "cut or layers")
		return nil, false
	case k.Cut == "both":
		want = 4
	case k.Cut != "":
		want = 2
	case k.Layers != nil:
		want, m.cut = len(k.Layers), "layers"
	}
	if len(k.Stock) != want {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer + "/stock", Detail: "the stick has " + quantity.Count(len(k.Stock), "stock"),
			Found: quantity.Count(len(k.Stock), "stock"), Allowed: fmt.Sprintf("exactly %d", want), Fix: "one stock, or as many as cut or layers make parts"})
		return nil, false
	}
	if k.Rings != nil && len(k.Rings) != want {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer + "/ring_angle", Detail: "one ring angle for each part is needed",
			Found: quantity.Count(len(k.Rings), "ring angle"), Allowed: fmt.Sprintf("exactly %d", want), Fix: "null for a part whose ring angle its stock tells"})
		return nil, false
	}
	outlines, good := r.partsOf(pointer, k, m)
	ok = ok && good
	for i, s := range k.Stock {
		here := pointer + "/stock"
		if want > 1 {
			here = at(here, i)
		}
		if !r.stockKey(here, s) {
			ok = false
			continue
		}
		stock := r.board.Stock[s]
		if !stock.Grain.Up && r.shop.once("grain of "+s) {
			r.fault(fault.NotAllowed, here, "slices stand on end, so their grain is up; the stock's is not", "a stock with grain \"up\"")
		}
		ok = ok && stock.Grain.Up
		ringed := k.Rings != nil && k.Rings[i] != nil
		if ringed {
			stock.Pith = nil
			stock.RingAngle, stock.RingUnknown = r.ring(pointer, k.Rings[i], nil, true)
		}
		if k.Moisture != nil {
			stock.Moisture = *k.Moisture
		}
		if long := float64(r.file.Stock[s].Length) * r.scale; long > 0 && (m.reach == 0 || long < m.reach) {
			m.reach, m.from = long, s
		}
		if ok {
			m.parts = append(m.parts, madePart{stock, ringed, outlines[i]})
		}
	}
	return m, ok
}

// partsOf gives the outlines of a stick's parts in the order of its stocks.
func (r *layer) partsOf(pointer string, k *StickKind, m *madeStick) ([][]XY, bool) {
	box := block{x0: -m.w / 2, x1: m.w / 2, y0: -m.h / 2, y1: m.h / 2}
	switch {
	case k.Cut != "":
		if m.w > 0 && m.h > 0 && math.Atan2(min(m.w, m.h), max(m.w, m.h))*180/math.Pi < minCorner {
			r.fault(fault.Outline, pointer+"/section", "the section is so narrow that the cut runs out too sharp", fmt.Sprintf("corners of %g degrees and more", minCorner))
			return nil, false
		}
		_, outlines := box.parts(k.Cut)
		return outlines, true
	case k.Layers == nil:
		return [][]XY{box.outline()}, true
	}
	thick, ok := r.lengths(pointer+"/layers", k.Layers, wide)
	if !ok {
		return nil, false
	}
	if got := sum(thick); math.Abs(got-m.h) > Snap {
		r.add(fault.Fault{Rule: fault.Construction, Pointer: pointer + "/layers", Detail: "the layers do not add up to the stick's height",
			Found: strictjson.Decimal(got/r.scale) + " " + r.board.Units, Allowed: strictjson.Decimal(m.h/r.scale) + " " + r.board.Units + ", the second length of section"})
		return nil, false
	}
	var outlines [][]XY
	top := box.y1
	for i, t := range thick {
		low := top - t
		if i == len(thick)-1 {
			low = box.y0
		}
		outlines = append(outlines, block{x0: box.x0, x1: box.x1, y0: low, y1: top}.outline())
		top = low
	}
	return outlines, true
}

// laidStick is one stick of a panel as it lies there, before planing.
type laidStick struct {
	parts []laidPart
	w, h  float64 // mm
	index int     // into Build.Sticks
}

// laidPart is one wood of it, told from the middle of the stick's end.
type laidPart struct {
	stock   Stock // with rings as they lie; its pith is told from centre
	outline []XY
	centre  XY
}

// lay turns a stick as its place in a panel tells.
func (m *madeStick) lay(turn motion) laidStick {
	l := laidStick{w: m.w, h: m.h}
	if turn.swaps() {
		l.w, l.h = m.h, m.w
	}
	for _, p := range m.parts {
		part := laidPart{stock: p.stock, outline: turn.outline(p.outline)}
		_, centre := areaAndCentre(p.outline)
		part.centre = turn.of(centre)
		part.stock.RingAngle, part.stock.Pith = turn.rings(p.stock.RingAngle, p.stock.Pith)
		l.parts = append(l.parts, part)
	}
	return l
}

// rings carries a ring angle [degrees], or a pith told from the centre of its
// piece, along.
func (m motion) rings(angle float64, pith *XY) (float64, *XY) {
	if pith == nil {
		return m.ring(angle), nil
	}
	moved := m.of(*pith)
	if ring, ok := ringFromPith(&moved, true); ok {
		return ring, &moved
	}
	return m.ring(angle), &moved
}
