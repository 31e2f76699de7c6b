package layout

import (
	"maps"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// File is a board file: what Parse reads, JSON writes and Board lays out. It may
// be put together in Go as well. Every what-if is an edit of a File (of a Clone,
// when the first is still wanted) and then a new Board; a Board knows nothing of
// the File it came from and cannot fall behind it.
//
// The package comment has the reference of every key. A field left at its zero
// value is a key left out.
type File struct {
	Name         string              `json:"name,omitempty"`
	Units        string              `json:"units"` // "mm" or "in"
	Thickness    Length              `json:"thickness"`
	Stock        map[string]Material `json:"stock"`
	Tiles        map[string]Tile     `json:"tiles,omitempty"`
	Field        Field               `json:"field"`
	Borders      []Edging            `json:"borders,omitempty"`
	Pieces       map[string]Override `json:"pieces,omitempty"` // by piece id: what differs from its stock
	Glue         string              `json:"glue,omitempty"`
	Finish       string              `json:"finish,omitempty"`
	FinishBottom string              `json:"bottom_finish,omitempty"` // of the bottom face where it has another
	Ends         string              `json:"ends_finish,omitempty"`
	Renewed      *moisture.Renewal   `json:"finish_renewed,omitempty"` // nil: kept as good as new
	Stands       string              `json:"stands,omitempty"`         // how the board stands in its home
	GlueUp       *moisture.Room      `json:"glue_up,omitempty"`
	Home         Home                `json:"home,omitzero"`
	Exposures    []moisture.Event    `json:"exposures,omitempty"`
	Starved      []Starved           `json:"starved,omitempty"` // stretches of glue lines known to hold less

	seed uint64 // of the rings that nobody has looked at, see Drawn; 0: they lie at 0 degrees
}

// Length is a length in the units of its file.
type Length float64

// Material is one prepared wood of a file's stock.
type Material struct {
	Species  string     `json:"species"`
	Ring     *Ring      `json:"ring_angle,omitempty"`
	Moisture *float64   `json:"moisture,omitempty"`    // % MC when glued
	Known    string     `json:"moisture_is,omitempty"` // Measured or Guessed; "" as measured
	Grain    Fibres     `json:"grain,omitzero"`
	Pith     *[2]Length `json:"pith,omitempty"`
	Colour   string     `json:"colour,omitempty"`
	Heart    string     `json:"heart,omitempty"`  // which way the heart side of flat-sawn planks lies
	Slope    float64    `json:"slope,omitempty"`  // of the fibres round the log, rise over run; 0 is straight
	Length   Length     `json:"length,omitempty"` // of the longest stick of it in the shop; 0 is not told
}

// How a moisture is known: by what moisture_is says, or, of a stock whose moisture is not
// told, in balance with the air of the glue-up, told or taken.
const (
	Measured = "measured"
	ByAir    = "air"
	Guessed  = "guessed"
	Untold   = "untold"
)

// Ring is a ring angle as a file tells it: degrees, or that nobody has looked.
type Ring struct {
	Angle   float64 // degrees
	Unknown bool
}

// RingAt is a ring angle [degrees] for a field of a File.
func RingAt(degrees float64) *Ring { return &Ring{Angle: degrees} }

// RingUnknown is the ring angle of wood nobody has looked at.
func RingUnknown() *Ring { return &Ring{Unknown: true} }

// Fibres is the direction of fibres as a file tells it; the zero value is a key
// left out.
type Fibres struct {
	Word  string   // "up" on end; of borders also "along" the edge
	Angle *float64 // degrees from +x in the plane
}

// Field is the field of a file: exactly one of the four.
type Field struct {
	Grid   *Grid       `json:"grid,omitempty"`
	Slices *Slices     `json:"slices,omitempty"`
	Build  *BuildOrder `json:"build,omitempty"`
	Pieces []FreePiece `json:"pieces,omitempty"`
}

// Grid is a field of rows of blocks.
type Grid struct {
	Block      *[2]Length `json:"block,omitempty"`
	Columns    []Length   `json:"columns,omitempty"`
	RowHeights []Length   `json:"row_heights,omitempty"`
	Rows       []Row      `json:"rows"`
	Rings      [][]*Ring  `json:"rings,omitempty"` // beside Rows; nil is as the stock tells
	Stagger    *Stagger   `json:"stagger,omitempty"`
	Ends       string     `json:"ends,omitempty"`
}

// Row is one row of a grid: a text of one letter a block, or a list of keys.
type Row struct {
	Text string
	Keys []string
}

// Rows makes rows of texts.
func Rows(texts ...string) []Row {
	rows := make([]Row, len(texts))
	for i, t := range texts {
		rows[i].Text = t
	}
	return rows
}

// Len is the number of blocks in the row.
func (r Row) Len() int {
	if r.Keys != nil {
		return len(r.Keys)
	}
	n := 0
	for range r.Text {
		n++
	}
	return n
}

// Blocks gives the key of every block.
func (r Row) Blocks() []string {
	if r.Keys != nil {
		return r.Keys
	}
	keys := make([]string, 0, len(r.Text))
	for _, letter := range r.Text {
		keys = append(keys, string(letter))
	}
	return keys
}

// Stagger is how far rows are shifted to the right: every second one by a part
// of a block, or each by a length of its own.
type Stagger struct {
	Part  float64
	Shift []Length
}

// Slices is a field built of the slices of one panel.
type Slices struct {
	Strips []Strip `json:"strips"`
	Height Length  `json:"height"`
	Count  int     `json:"count"`
	Turn   string  `json:"turn"`
}

// Strip is one strip of the panel. In a file it is a list of two or three.
type Strip struct {
	Stock string
	Width Length
	Ring  *Ring // nil: the stock's
}

// Tile is a grid cell cut on one diagonal or both.
type Tile struct {
	Cut   string   `json:"cut"`
	Stock []string `json:"stock"`
}

// FreePiece is a piece of any outline, or a motif of such pieces.
type FreePiece struct {
	ID      string      `json:"id,omitempty"`
	Stock   string      `json:"stock,omitempty"`
	Outline [][2]Length `json:"outline,omitempty"`
	Grain   Fibres      `json:"grain,omitzero"`
	Ring    *Ring       `json:"ring_angle,omitempty"`
	Pith    *[2]Length  `json:"pith,omitempty"`
	// A motif instead of a piece: pieces that are laid again and again.
	Motif  []FreePiece `json:"motif,omitempty"`
	Repeat []Again     `json:"repeat,omitempty"`
}

// Again lays a motif so many times: copy k is k steps away, turned k times about a
// place, and every second one in a mirror where one is told.
type Again struct {
	Count  int        `json:"count"`
	Step   [2]Length  `json:"step"`
	Turn   float64    `json:"turn,omitempty"`   // degrees from copy to copy, counter-clockwise
	Mirror string     `json:"mirror,omitempty"` // "left-right", "upside-down": of copies 2, 4 and so on
	About  *[2]Length `json:"about,omitempty"`  // of turn and mirror; nil is [0, 0]
}

// Edging is one entry of a file's borders.
type Edging struct {
	Stock  string   `json:"stock,omitempty"`
	Panel  string   `json:"panel,omitempty"` // instead of stock and width: of a build
	Turn   string   `json:"turn,omitempty"`  // of the panel's slices
	Grain  string   `json:"grain"`           // "along" or "up"
	Width  Length   `json:"width,omitempty"`
	Sides  []string `json:"sides,omitempty"`
	Corner string   `json:"corner,omitempty"`
	Blocks int      `json:"blocks,omitempty"`
	Rest   *Rest    `json:"rest,omitempty"` // between the glue-up before and this one; nil: none
}

// Override is what one piece has otherwise than its stock.
type Override struct {
	Stock    string     `json:"stock,omitempty"`
	Species  string     `json:"species,omitempty"`
	Ring     *Ring      `json:"ring_angle,omitempty"` // as the piece lies on the board; takes away a pith
	Pith     *[2]Length `json:"pith,omitempty"`
	Moisture *float64   `json:"moisture,omitempty"` // % MC when glued
}

// Change lays an override over what the file says of a piece already. Fields at
// their zero value stay as they are; rings and pith go together.
func (f *File) Change(id string, o Override) {
	if f.Pieces == nil {
		f.Pieces = map[string]Override{}
	}
	was := f.Pieces[id]
	if o.Stock != "" {
		was.Stock = o.Stock
	}
	if o.Species != "" {
		was.Species = o.Species
	}
	if o.Ring != nil || o.Pith != nil {
		was.Ring, was.Pith = o.Ring, o.Pith
	}
	if o.Moisture != nil {
		was.Moisture = o.Moisture
	}
	f.Pieces[id] = was
}

// Scale is how many mm one unit of the file is.
func (f *File) Scale() float64 {
	if f.Units == "in" {
		return 25.4 // exact, by definition of the inch
	}
	return 1
}

// MM gives a length [mm] in the units of the file.
func (f *File) MM(mm float64) Length { return Length(mm / f.Scale()) }

// Clone copies a file so that edits of the copy leave it alone.
func (f *File) Clone() *File {
	c := *f
	c.Stock = maps.Clone(f.Stock)
	for k, m := range c.Stock {
		m.Ring, m.Moisture, m.Pith, m.Grain = copied(m.Ring), copied(m.Moisture), copied(m.Pith), m.Grain.clone()
		c.Stock[k] = m
	}
	c.Tiles = maps.Clone(f.Tiles)
	for k, t := range c.Tiles {
		t.Stock = slices.Clone(t.Stock)
		c.Tiles[k] = t
	}
	c.Field = f.Field.clone()
	c.Borders = slices.Clone(f.Borders)
	for i := range c.Borders {
		c.Borders[i].Sides, c.Borders[i].Rest = slices.Clone(c.Borders[i].Sides), c.Borders[i].Rest.clone()
	}
	c.Pieces = maps.Clone(f.Pieces)
	for k, o := range c.Pieces {
		o.Ring, o.Pith, o.Moisture = copied(o.Ring), copied(o.Pith), copied(o.Moisture)
		c.Pieces[k] = o
	}
	c.GlueUp, c.Renewed = copied(f.GlueUp), copied(f.Renewed)
	c.Home.Months = slices.Clone(f.Home.Months)
	c.Starved = slices.Clone(f.Starved)
	c.Exposures = slices.Clone(f.Exposures)
	for i := range c.Exposures {
		c.Exposures[i].Values, c.Exposures[i].Words = maps.Clone(c.Exposures[i].Values), maps.Clone(c.Exposures[i].Words)
		if patch := c.Exposures[i].Patch; patch != nil {
			one := *patch
			c.Exposures[i].Patch = &one
		}
	}
	return &c
}

func (f Field) clone() Field {
	if g := copied(f.Grid); g != nil {
		g.Block = copied(g.Block)
		g.Columns, g.RowHeights = slices.Clone(g.Columns), slices.Clone(g.RowHeights)
		if g.Stagger = copied(g.Stagger); g.Stagger != nil {
			g.Stagger.Shift = slices.Clone(g.Stagger.Shift)
		}
		g.Rows = slices.Clone(g.Rows)
		for i := range g.Rows {
			g.Rows[i].Keys = slices.Clone(g.Rows[i].Keys)
		}
		g.Rings = slices.Clone(g.Rings)
		for i := range g.Rings {
			g.Rings[i] = slices.Clone(g.Rings[i])
			for k, r := range g.Rings[i] {
				g.Rings[i][k] = copied(r)
			}
		}
		f.Grid = g
	}
	if s := copied(f.Slices); s != nil {
		s.Strips = slices.Clone(s.Strips)
		for i := range s.Strips {
			s.Strips[i].Ring = copied(s.Strips[i].Ring)
		}
		f.Slices = s
	}
	f.Build = f.Build.clone()
	f.Pieces = cloned(f.Pieces)
	return f
}

func cloned(of []FreePiece) []FreePiece {
	all := slices.Clone(of)
	for i := range all {
		p := &all[i]
		p.Outline, p.Grain, p.Ring, p.Pith = slices.Clone(p.Outline), p.Grain.clone(), copied(p.Ring), copied(p.Pith)
		p.Motif, p.Repeat = cloned(p.Motif), slices.Clone(p.Repeat)
		for k := range p.Repeat {
			p.Repeat[k].About = copied(p.Repeat[k].About)
		}
	}
	return all
}

func (g Fibres) clone() Fibres { return Fibres{g.Word, copied(g.Angle)} }

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// Axis brings the angle of an axis [degrees], which is the same after half a
// turn, into −90 < a ≤ 90.
func Axis(angle float64) float64 {
	a := math.Remainder(angle, 180)
	if a == -90 {
		return 90
	}
	return a
}
