package layout

import (
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

func (p *parser) build(v strictjson.Value) *BuildOrder {
	m := v.Object("kerf", "sawn", "sticks", "panels", "slices", "repeat", "stick_rest", "rest", "slice_rest")
	b := &BuildOrder{Kerf: p.length(m.Need("kerf")), Sticks: each(m.Need("sticks"), p.stickKind), Panels: each(m.Need("panels"), p.panelOf)}
	if s := m.Get("sawn"); s.Here() {
		b.Sawn = p.length(s)
		p.notZero(s, float64(b.Sawn))
	}
	for _, item := range list(m.Need("slices"), 1, maxRows) {
		b.Slices = append(b.Slices, p.sliceOf(item))
	}
	if n := m.Get("repeat"); n.Here() {
		b.Repeat, _ = n.Whole(1, maxRows)
	}
	for key, to := range map[string]**Rest{"stick_rest": &b.StickRest, "rest": &b.Rest, "slice_rest": &b.SliceRest} {
		if rest := m.Get(key); rest.Here() {
			*to = p.rest(rest)
		}
	}
	return b
}

// notZero refuses a 0 where a File means a key left out by it.
func (p *parser) notZero(v strictjson.Value, got float64) {
	if got == 0 && v.Kind() == strictjson.Number {
		v.Fault(fault.OutOfRange, "the number is outside its range", "above 0")
	}
}

func (p *parser) stickKind(v strictjson.Value) StickKind {
	m := v.Object("stock", "section", "cut", "layers", "ring_angle", "moisture")
	s := StickKind{Layers: p.lengths(m.Get("layers"), 2, maxLayers), Rings: p.stickRings(m.Get("ring_angle")), Moisture: p.maybe(m.Get("moisture"))}
	if section := p.pair(m.Need("section")); section != nil {
		s.Section = *section
	}
	s.Cut, _ = m.Get("cut").Word(cuts...)
	switch stock := m.Need("stock"); stock.Kind() {
	case strictjson.List:
		for _, item := range list(stock, 1, maxLayers) {
			s.Stock = append(s.Stock, p.text(item, maxKeyRunes))
		}
	case strictjson.Absent:
	default:
		s.Stock = Woods{p.text(stock, maxKeyRunes)}
	}
	return s
}

// stickRings takes one ring angle, or a list with one for each part.
func (p *parser) stickRings(v strictjson.Value) StickRings {
	if v.Kind() != strictjson.List {
		if r := p.ring(v); r != nil {
			return StickRings{r}
		}
		return nil
	}
	rings := StickRings{}
	for _, item := range list(v, 1, maxLayers) {
		if item.Kind() == strictjson.Null {
			rings = append(rings, nil)
		} else {
			rings = append(rings, p.ring(item))
		}
	}
	return rings
}

func (p *parser) panelOf(v strictjson.Value) PanelOf {
	m := v.Object("sticks", "length", "thickness")
	g := PanelOf{Length: p.length(m.Need("length")), Thickness: p.length(m.Need("thickness"))}
	for _, item := range list(m.Need("sticks"), 1, maxStrips) {
		if item.Kind() == strictjson.String {
			g.Sticks = append(g.Sticks, PanelStick{Stick: p.text(item, maxKeyRunes)})
			continue
		}
		o := item.Object("stick", "turn", "end_for_end", "ring_angle", "moisture")
		s := PanelStick{Stick: p.text(o.Need("stick"), maxKeyRunes), Rings: p.stickRings(o.Get("ring_angle")), Moisture: p.maybe(o.Get("moisture"))}
		s.Turn, _ = o.Get("turn").Word(StickTurns...)
		s.EndForEnd = p.yes(o.Get("end_for_end"))
		g.Sticks = append(g.Sticks, s)
	}
	return g
}

// yes takes true or false; left out is false.
func (p *parser) yes(v strictjson.Value) bool {
	if !v.Here() {
		return false
	}
	b, _ := v.Bool()
	return b
}

func (p *parser) sliceOf(v strictjson.Value) SliceOf {
	if v.Kind() == strictjson.String {
		return SliceOf{Panel: p.text(v, maxKeyRunes)}
	}
	m := v.Object("panel", "turn", "stick", "ring_angle")
	s := SliceOf{Panel: p.text(m.Get("panel"), maxKeyRunes), Stick: p.text(m.Get("stick"), maxKeyRunes), Ring: p.ring(m.Get("ring_angle"))}
	s.Turn, _ = m.Get("turn").Word(turns...)
	return s
}
