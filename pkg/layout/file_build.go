package layout

import (
	"maps"
	"slices"
)

// BuildOrder is a field told as it is built. The package comment has the keys.
type BuildOrder struct {
	Kerf   Length               `json:"kerf"`
	Sawn   Length               `json:"sawn,omitempty"` // 0: the board's thickness
	Sticks map[string]StickKind `json:"sticks"`
	Panels map[string]PanelOf   `json:"panels"`
	Slices []SliceOf            `json:"slices"`
	Repeat int                  `json:"repeat,omitempty"` // 0 is once
	// What the sticks of several woods go through before they are glued into panels, the
	// panels before they are sliced, and the slices before the rows are glued.
	StickRest *Rest `json:"stick_rest,omitempty"`
	Rest      *Rest `json:"rest,omitempty"`
	SliceRest *Rest `json:"slice_rest,omitempty"`
}

// StickKind is how a stick is made: of one wood, cut on a diagonal, or in layers.
type StickKind struct {
	Stock    Woods      `json:"stock"`
	Section  [2]Length  `json:"section"` // across and through the panel, as it is
	Cut      string     `json:"cut,omitempty"`
	Layers   []Length   `json:"layers,omitempty"` // thicknesses from the top
	Rings    StickRings `json:"ring_angle,omitempty"`
	Moisture *float64   `json:"moisture,omitempty"` // % MC when glued
}

// Woods are keys of stock: one, or one for each part of a stick. In a file one
// stands alone.
type Woods []string

// StickRings are the ring angles of a stick's parts, nil as the stock tells. In a
// file one stands alone.
type StickRings []*Ring

// PanelOf is a panel: sticks side by side, left to right on the sawn end.
type PanelOf struct {
	Sticks    []PanelStick `json:"sticks"`
	Length    Length       `json:"length"`
	Thickness Length       `json:"thickness"` // after planing
}

// PanelStick is one stick of a panel. In a file one that lies as it is is its key.
type PanelStick struct {
	Stick     string     `json:"stick"`
	Turn      string     `json:"turn,omitempty"`
	EndForEnd bool       `json:"end_for_end,omitempty"`
	Rings     StickRings `json:"ring_angle,omitempty"` // of the stick as it is made, before its turn
	Moisture  *float64   `json:"moisture,omitempty"`
}

// SliceOf is one row of the field: a slice of a panel, or a stick laid in. In a
// file a slice that is not turned is the key of its panel.
type SliceOf struct {
	Panel string `json:"panel,omitempty"`
	Turn  string `json:"turn,omitempty"`
	Stick string `json:"stick,omitempty"`
	Ring  *Ring  `json:"ring_angle,omitempty"` // of a stick laid in
}

func (r StickRings) clone() StickRings {
	c := slices.Clone(r)
	for i := range c {
		c[i] = copied(c[i])
	}
	return c
}

func (b *BuildOrder) clone() *BuildOrder {
	c := copied(b)
	if c == nil {
		return nil
	}
	c.Sticks = maps.Clone(b.Sticks)
	c.StickRest, c.Rest, c.SliceRest = b.StickRest.clone(), b.Rest.clone(), b.SliceRest.clone()
	for k, s := range c.Sticks {
		s.Stock, s.Layers, s.Rings, s.Moisture = slices.Clone(s.Stock), slices.Clone(s.Layers), s.Rings.clone(), copied(s.Moisture)
		c.Sticks[k] = s
	}
	c.Panels = maps.Clone(b.Panels)
	for k, p := range c.Panels {
		p.Sticks = slices.Clone(p.Sticks)
		for i := range p.Sticks {
			p.Sticks[i].Rings, p.Sticks[i].Moisture = p.Sticks[i].Rings.clone(), copied(p.Sticks[i].Moisture)
		}
		c.Panels[k] = p
	}
	c.Slices = slices.Clone(b.Slices)
	for i := range c.Slices {
		c.Slices[i].Ring = copied(c.Slices[i].Ring)
	}
	return c
}

// TurnStick turns a stick of a panel once more before it is glued, seen on the sawn
// end: over first (y to −y), or not, and then so many quarters counter-clockwise.
// Places count from 0; what is not there stays.
func (f *File) TurnStick(panel string, place int, over bool, quarters int) {
	if f.Field.Build == nil || place < 0 || place >= len(f.Field.Build.Panels[panel].Sticks) {
		return
	}
	s := &f.Field.Build.Panels[panel].Sticks[place]
	m := stickMotion(s.Turn, s.EndForEnd)
	if over {
		m = m.then(motion{mirror: true, quarters: 2})
	}
	m = m.then(motion{quarters: ((quarters % 4) + 4) % 4})
	if s.EndForEnd = m.mirror; m.mirror { // a file tells the turn before the ends
		m.quarters = (4 - m.quarters) % 4
	}
	if s.Turn = StickTurns[m.quarters]; s.Turn == "none" {
		s.Turn = ""
	}
}

// Rows lists the slices of a build one by one, from the top of the field.
func (b *BuildOrder) Rows() []SliceOf {
	var rows []SliceOf
	for range max(1, b.Repeat) {
		rows = append(rows, b.Slices...)
	}
	return rows
}

// SetRows tells the rows of a build from the top, as a repeat where they still come
// again as they did.
func (b *BuildOrder) SetRows(rows []SliceOf) {
	n := len(b.Slices)
	again := n > 0 && len(rows) == n*max(1, b.Repeat)
	for i := n; again && i < len(rows); i++ {
		again = rows[i] == rows[i-n]
	}
	if !again {
		n, b.Repeat = len(rows), 0
	}
	b.Slices = slices.Clone(rows[:n])
}

// Around is a stock whose strips lie with their other edge inwards: turned about their
// length, so that a pith lies on the other side. The key is one of its own, the same for
// equal calls. Not ok for straight rings, which lie as they did, and where no key is free.
func (f *File) Around(key string) (turned string, ok bool) {
	m := f.Stock[key]
	if m.Pith == nil {
		return "", false
	}
	m.Pith, m.Ring = &[2]Length{-m.Pith[0], -m.Pith[1]}, copied(m.Ring)
	return f.another(key+"-around", m)
}

// another adds a stock under a key that is free, or has it already.
func (f *File) another(key string, m Material) (string, bool) {
	if len([]rune(key)) > maxKeyRunes {
		return "", false
	}
	if was, taken := f.Stock[key]; taken && !was.same(m) {
		return "", false
	}
	f.Stock[key] = m
	return key, true
}

// same tells whether two stocks are the same wood and lie alike.
func (m Material) same(o Material) bool {
	return m.Species == o.Species && (m.Ring == nil) == (o.Ring == nil) && (m.Ring == nil || *m.Ring == *o.Ring) &&
		(m.Pith == nil) == (o.Pith == nil) && (m.Pith == nil || *m.Pith == *o.Pith)
}

// MarshalJSON writes one key alone, several as a list.
func (w Woods) MarshalJSON() ([]byte, error) {
	if len(w) == 1 {
		return plain(w[0])
	}
	return plain([]string(w))
}

// MarshalJSON writes one angle alone, several as a list.
func (r StickRings) MarshalJSON() ([]byte, error) {
	if len(r) == 1 && r[0] != nil {
		return plain(r[0])
	}
	return plain([]*Ring(r))
}

// MarshalJSON writes a stick that lies as it is as its key.
func (s PanelStick) MarshalJSON() ([]byte, error) {
	if s.Turn == "" && !s.EndForEnd && s.Rings == nil && s.Moisture == nil {
		return plain(s.Stick)
	}
	type full PanelStick
	return plain(full(s))
}

// MarshalJSON writes a slice that is not turned as the key of its panel.
func (s SliceOf) MarshalJSON() ([]byte, error) {
	if s.Panel != "" && s.Turn == "" && s.Stick == "" && s.Ring == nil {
		return plain(s.Panel)
	}
	type full SliceOf
	return plain(full(s))
}
