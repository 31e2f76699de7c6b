package plan

import (
	"fmt"
	"math"
	"slices"
)

// CutList is what is bought, ripped and crosscut.
type CutList struct {
	Sticks  []Stick  `json:"sticks"`
	Panels  []Panel  `json:"panels"`
	Slice   float64  `json:"slice"` // mm: thickness of a slice as it is sawn
	Kerf    float64  `json:"kerf"`  // mm
	Woods   []Timber `json:"woods"`
	Offcuts []Offcut `json:"offcuts"`
	Cost    *float64 `json:"cost"` // of the woods that have a price, in its money; nil without prices
	Rule    string   `json:"rule"`
	Figures []Figure `json:"figures"`
}

// Timber is one wood of the cut list.
type Timber struct {
	Stock    string   `json:"stock"`
	Species  string   `json:"species"`
	Finished float64  `json:"finished_litres"` // in the board
	Rough    float64  `json:"rough_litres"`    // sticks as ripped
	Buy      float64  `json:"buy_litres"`      // with what faults in the wood cost
	BuyM3    float64  `json:"buy_m3"`
	BuyFeet  float64  `json:"buy_board_feet"`
	Yield    float64  `json:"yield"` // share of what is bought that is in the board
	Price    *float64 `json:"price"` // a m³, or a board foot for a file in inches
	Cost     *float64 `json:"cost"`
}

// Offcut is what is left over and may be kept.
type Offcut struct {
	From   string  `json:"from"`
	Count  int     `json:"count"`
	Length float64 `json:"length"` // mm
	Text   string  `json:"text"`
}

// Units of volume. A board foot is 12 in × 12 in × 1 in, the inch 25.4 mm exactly.
const (
	litre     = 1e6                              // mm³
	cubic     = 1e9                              // mm³, one m³
	boardFoot = 12 * 12 * 1 * 25.4 * 25.4 * 25.4 // mm³
)

// leastOffcut is the shortest length that is worth telling, mm.
const leastOffcut = 25

// cutList takes the board apart and counts its wood.
func (m *maker) cutList(p *Plan) error {
	l := m.ledger()
	m.w = breakdown(m.b, toldBy(m.f, m.s.units(m.b)), l, p.Flattening.Leave)
	c := &p.CutList
	c.Sticks, c.Panels, c.Slice, c.Kerf = m.w.sticks, m.w.panels, m.w.slice, m.w.kerf
	if c.Panels == nil {
		c.Panels = []Panel{}
	}
	lost := l.use("defects")
	total := 0.0
	for _, key := range sortedStock(m.b) {
		t := Timber{Stock: key, Species: m.b.Stock[key].Species}
		for i := range m.w.sticks {
			if s := &m.w.sticks[i]; s.Stock == key {
				t.Rough += s.rough() / litre
				t.Finished += s.net / litre
			}
		}
		t.Buy = t.Rough / (1 - lost)
		t.BuyM3, t.BuyFeet = t.Buy*litre/cubic, t.Buy*litre/boardFoot
		if t.Buy > 0 {
			t.Yield = t.Finished / t.Buy
		}
		if price, told := m.s.Prices[key]; told {
			cost := price * t.BuyM3
			if m.b.Units == "in" {
				cost = price * t.BuyFeet
			}
			t.Price, t.Cost = &price, &cost
			total += cost
			c.Cost = &total
		}
		c.Woods = append(c.Woods, t)
	}
	c.Offcuts = m.offcuts()
	c.Rule = "length = slices × (thickness + flattening + kerf) + trim at both ends; rough section = finished + jointing on each edge, planing on each face, and planing of the panel; bought = rough / (1 − lost to faults); a board foot is 2.360 litres"
	c.Figures = l.told()
	return nil
}

// offcuts lists what is left of panels once their slices are sawn off, a cut to each,
// and of sticks that are longer than needed.
func (m *maker) offcuts() []Offcut {
	out := []Offcut{}
	for i := range m.w.panels {
		p := &m.w.panels[i]
		n := p.Slices
		for k := range p.Made { // slices are divided as evenly as can be
			take := (n + p.Made - k - 1) / (p.Made - k)
			n -= take
			left := p.Length - float64(take)*(m.w.slice+m.w.kerf)
			if left < m.w.kerf {
				continue
			}
			text := fmt.Sprintf("what is left at its ends, %s × %s: for a trial of glue and finish", m.size(p.Width), m.size(p.Thickness))
			if last := len(out) - 1; last >= 0 && out[last].From == "panel "+p.Name && near(out[last].Length, left) {
				out[last].Count++
				continue
			}
			out = append(out, Offcut{"panel " + p.Name, 1, left, text})
		}
	}
	out = append(out, m.w.rests...)
	from := len(out)
	for i := range m.w.sticks {
		s := &m.w.sticks[i]
		left := math.Floor(s.RoughLength - s.Length)
		if left < leastOffcut {
			continue
		}
		if k := slices.IndexFunc(out[from:], func(o Offcut) bool { return o.Length == left }); k >= 0 {
			o := &out[from+k]
			o.From += ", " + s.ID
			o.Count += s.Count
			continue
		}
		out = append(out, Offcut{"stick " + s.ID, s.Count, left, "longer than needed so that the stick goes through the machines"})
	}
	return out
}
