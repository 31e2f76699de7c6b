package layout

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

const buildPointer = "/field/build"

// builder holds the sticks and panels of a build while rows and borders are laid.
type builder struct {
	panels map[string]*laidPanel
	sticks map[string]*madeStick
	said   map[string]bool // what was told once already
}

// once reports whether something is told for the first time.
func (b *builder) once(what string) bool {
	first := !b.said[what]
	b.said[what] = true
	return first
}

// laidPanel is a panel ready to be crosscut.
type laidPanel struct {
	sticks []laidStick
	edges  []float64 // mm, from the left on the sawn end
	index  int       // into Build.Panels
}

// thick tells whether the board's thickness is one, so that others can be held to it.
func (r *layer) thick() bool {
	return r.board.Thickness >= MinThickness && r.board.Thickness <= MaxThickness
}

func (r *layer) build() {
	f := r.file.Field.Build
	b := &Build{Sawn: r.board.Thickness}
	if kerf, ok := r.lengthAt(buildPointer+"/kerf", -1, f.Kerf, strictjson.Above(0, MaxKerf, "mm")); ok {
		b.Kerf = kerf // else it needs no more panel
	}
	r.board.Build = b
	if f.Sawn != 0 {
		if sawn, ok := r.lengthAt(buildPointer+"/sawn", -1, f.Sawn, size); ok {
			b.Sawn = sawn
		}
		if b.Sawn < r.board.Thickness && r.thick() {
			r.add(fault.Fault{Rule: fault.Construction, Pointer: buildPointer + "/sawn", Detail: "the slices are sawn shorter than the board is thick",
				Found: r.shown(b.Sawn), Allowed: "at least " + r.shown(r.board.Thickness)})
		}
	}
	for _, rest := range f.rests() {
		r.rest(rest.pointer, rest.Rest)
	}
	r.shop = &builder{said: map[string]bool{}}
	r.shop.sticks = r.stickKinds(buildPointer+"/sticks", f.Sticks)
	r.panelsOf(f.Panels)
	rows, ok := r.buildRows(f)
	if !ok || r.full() {
		return
	}
	r.stack(buildPointer, rows)
}

// panelsOf checks the panels and puts their sticks side by side. A faulty one is
// known and empty.
func (r *layer) panelsOf(of map[string]PanelOf) {
	const pointer = buildPointer + "/panels"
	r.shop.panels = make(map[string]*laidPanel, len(of))
	if n := len(of); n > maxPanels {
		r.fault(fault.WrongLength, pointer, "the build has too many panels", fmt.Sprintf("0 to %d keys", maxPanels))
		return
	}
	for _, key := range slices.Sorted(maps.Keys(of)) {
		if r.full() {
			return
		}
		p := of[key]
		here := under(pointer, key)
		ok := r.letters(here, key, 1, maxKeyRunes)
		panel := Panel{Key: key, Pointer: here}
		var thick, long bool
		panel.Thickness, thick = r.lengthAt(here+"/thickness", -1, p.Thickness, wide)
		panel.Length, long = r.lengthAt(here+"/length", -1, p.Length, size)
		ok = ok && thick && long
		if !thick { // the sticks are not held to it
			panel.Thickness = 0
		}
		if !long {
			panel.Length = 0
		}
		if n := len(p.Sticks); n < 1 || n > maxStrips {
			r.fault(fault.WrongLength, here+"/sticks", "the panel has too few or too many sticks", fmt.Sprintf("1 to %d elements", maxStrips))
			ok = false
		}
		l := &laidPanel{}
		for i := range p.Sticks {
			s, good := r.panelStick(at(here+"/sticks", i), &p.Sticks[i], &panel, i)
			ok = ok && good
			l.sticks = append(l.sticks, s)
		}
		if r.shop.panels[key] = l; !ok {
			l.sticks = nil
			continue
		}
		r.addPanel(panel, l)
	}
}

// addPanel keeps a panel whose sticks lie.
func (r *layer) addPanel(panel Panel, l *laidPanel) {
	b := r.board.Build
	widths := make([]float64, len(l.sticks))
	for i := range l.sticks {
		widths[i] = l.sticks[i].w
		panel.Sticks = append(panel.Sticks, l.sticks[i].index)
		b.Sticks[l.sticks[i].index].Panel = len(b.Panels)
	}
	l.edges = edges(widths)
	panel.Width = l.edges[len(widths)]
	l.index = len(b.Panels)
	b.Panels = append(b.Panels, panel)
}

// panelStick checks one stick of a panel and lays it.
func (r *layer) panelStick(pointer string, s *PanelStick, panel *Panel, place int) (laidStick, bool) {
	ok := true
	if s.Turn != "" {
		ok = r.word(pointer+"/turn", s.Turn, StickTurns...)
	}
	m, good := r.kindOf(pointer, s.Stick)
	if !good {
		return laidStick{}, false
	}
	own := *m
	own.parts = slices.Clone(m.parts)
	ok = r.ownSide(pointer, s.Rings, s.Moisture, &own) && ok
	l := own.lay(stickMotion(s.Turn, s.EndForEnd))
	if long := panel.Length > own.reach+Snap && own.reach > 0; long {
		ok = false
		if r.shop.once("length of " + own.from + " in " + panel.Key) {
			r.add(fault.Fault{Rule: fault.Construction, Pointer: pointer, Detail: fmt.Sprintf("the stick is longer than its stock %s", shortened(own.from)),
				Found: r.shown(panel.Length) + ", as its panel", Allowed: "up to " + r.shown(own.reach), Fix: "shorten the panel, or make it of two"})
		}
	}
	if l.h < panel.Thickness-Snap {
		fix := "plane the panel thinner, or take a higher stick"
		if s.Turn == "quarter" || s.Turn == "three-quarters" {
			fix = "a stick that is not square lies lower or higher after a quarter turn"
		}
		if r.shop.once(fmt.Sprintf("height of %s, %v, in %s", s.Stick, stickMotion(s.Turn, s.EndForEnd).swaps(), panel.Key)) {
			r.add(fault.Fault{Rule: fault.Construction, Pointer: pointer, Detail: "the stick lies lower than the panel is thick after planing",
				Found: r.shown(l.h), Allowed: "at least " + r.shown(panel.Thickness), Fix: fix})
		}
		ok = false
	}
	if ok {
		r.needRings(&own, s.Rings)
		l.index = r.addStick(Stick{ID: stickID(panel.Key, place), Kind: s.Stick, Place: place, Turn: orNone(s.Turn), EndForEnd: s.EndForEnd,
			Length: panel.Length, Cut: own.cut, Pointer: pointer, MadeAt: under(buildPointer+"/sticks", s.Stick)}, &l)
	}
	return l, ok
}

func orNone(turn string) string {
	if turn == "" {
		return "none"
	}
	return turn
}

// kindOf looks a kind of stick up; not ok for one that is refused already.
func (r *layer) kindOf(pointer, key string) (*madeStick, bool) {
	if m, ok := r.shop.sticks[key]; ok {
		return m, true
	}
	all := r.file.Field.Build.Sticks
	if _, refused := all[key]; !refused && len(all) > 0 && !r.known[buildPointer+"/sticks"] && r.shop.once("no stick "+key) {
		r.noName(pointer, key, "no stick has the key %q", slices.Sorted(maps.Keys(all)))
	}
	return nil, false
}

// noName tells that a key is not among those there are.
func (r *layer) noName(pointer, key, detail string, known []string) {
	f := fault.Fault{Rule: fault.UnknownName, Pointer: pointer, Detail: fmt.Sprintf(detail, shortened(key)), Found: shortened(key),
		Nearest: fault.Nearest(key, known, 1), Fix: "add it, or use a key there is"}
	if len(known) <= 20 {
		f.Allowed = joined(known)
	}
	r.add(f)
}

// ownSide gives a stick the rings and the moisture of its own.
func (r *layer) ownSide(pointer string, rings StickRings, mc *float64, s *madeStick) bool {
	ok := true
	if mc != nil {
		ok = r.number(pointer, "/moisture", *mc, moistureMC)
	}
	if rings != nil && len(rings) != len(s.parts) {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer + "/ring_angle", Detail: "one ring angle for each part of the stick is needed",
			Found: quantity.Count(len(rings), "ring angle"), Allowed: fmt.Sprintf("exactly %d", len(s.parts)), Fix: "null for a part whose ring angle its stock tells"})
		return false
	}
	for i := range s.parts {
		p := &s.parts[i].stock
		if mc != nil {
			p.Moisture = *mc
		}
		if rings != nil && rings[i] != nil {
			p.Pith = nil
			p.RingAngle, p.RingUnknown = r.ring(pointer, rings[i], nil, true)
		}
	}
	return ok
}

// needRings tells of parts whose rings nobody gives.
func (r *layer) needRings(s *madeStick, own StickRings) {
	for i, p := range s.parts {
		if (own == nil || own[i] == nil) && !p.ringed {
			r.needRing(p.stock.Key)
		}
	}
}

// addStick keeps a stick with its parts as they lie.
func (r *layer) addStick(s Stick, l *laidStick) int {
	s.Width, s.Height = l.w, l.h
	for _, p := range l.parts {
		s.Parts = append(s.Parts, StickPart{Stock: p.stock.Key, RingAngle: p.stock.RingAngle, RingUnknown: p.stock.RingUnknown, Moisture: p.stock.Moisture, Pith: copied(p.stock.Pith), Outline: p.outline})
	}
	r.board.Build.Sticks = append(r.board.Build.Sticks, s)
	return len(r.board.Build.Sticks) - 1
}

// shown is a length [mm] as the file would write it.
func (r *layer) shown(mm float64) string {
	unit := "mm"
	if r.scale != 1 {
		unit = "in"
	}
	return strictjson.Decimal(math.Round(mm/r.scale*1e6)/1e6) + " " + unit
}

// stickID names a stick by its panel and its place in it, from 0.
func stickID(panel string, place int) string { return panel + "." + strconv.Itoa(place+1) }
