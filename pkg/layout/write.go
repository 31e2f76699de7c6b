package layout

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// Write writes a board as a board file that Read reads back to the same pieces
// and joints, with every what-if of the board in it: the stock of a changed
// piece gets a key of its own. A uniform grid without tiles stays a grid and
// unchanged borders stay borders; any other layout is written as free pieces
// with their ids. Moistures are written out even where the file left them open.
func Write(b *Board) ([]byte, error) {
	w := &writer{b: b, scale: 1, stock: map[string]stockOut{}, keys: map[stockOut]string{}}
	if b.Units == "in" {
		w.scale = 25.4
	}
	out := boardOut{
		Version: 1, Name: b.Name, Units: b.Units, Thickness: b.Thickness / w.scale,
		Glue: b.Glue, Finish: b.Finish, GlueUp: b.GlueUp,
	}
	borders := w.bordersUnchanged()
	if borders {
		for _, br := range b.Borders {
			out.Borders = append(out.Borders, w.border(br))
		}
	}
	if g := w.grid(); g != nil && (borders || len(b.Borders) == 0) {
		out.Field.Grid = g
	} else {
		for i := range b.Pieces {
			if !borders || b.Pieces[i].Border < 0 {
				out.Field.Pieces = append(out.Field.Pieces, w.piece(&b.Pieces[i]))
			}
		}
	}
	out.Stock = w.stock
	switch {
	case b.Home.Name != "":
		out.Home = b.Home.Name
	case len(b.Home.Months) > 0:
		out.Home = map[string][]moisture.Room{"months": b.Home.Months}
	}
	for _, e := range b.Exposures {
		terms := map[string]any{"name": e.Name}
		for k, v := range e.Values {
			terms[k] = v
		}
		for k, v := range e.Words {
			terms[k] = v
		}
		out.Exposures = append(out.Exposures, terms)
	}
	return json.MarshalIndent(out, "", "  ")
}

type boardOut struct {
	Version   int                 `json:"tanrad"`
	Name      string              `json:"name,omitempty"`
	Units     string              `json:"units"`
	Thickness float64             `json:"thickness"`
	Stock     map[string]stockOut `json:"stock"`
	Field     struct {
		Grid   *gridOut   `json:"grid,omitempty"`
		Pieces []pieceOut `json:"pieces,omitempty"`
	} `json:"field"`
	Borders   []borderOut      `json:"borders,omitempty"`
	Glue      string           `json:"glue"`
	Finish    string           `json:"finish"`
	GlueUp    moisture.Room    `json:"glue_up"`
	Home      any              `json:"home,omitempty"`
	Exposures []map[string]any `json:"exposures,omitempty"`
}

// stockOut is comparable, so that it can tell stocks apart: pith and ring angle
// are the text they are written as.
type stockOut struct {
	Species  string      `json:"species"`
	Ring     json.Number `json:"ring_angle,omitempty"`
	Moisture float64     `json:"moisture"`
	Grain    any         `json:"grain,omitempty"`
	Pith     rawList     `json:"pith,omitempty"`
	Colour   string      `json:"colour,omitempty"`
}

// rawList is a list already written as JSON.
type rawList string

// MarshalJSON writes the list as it is.
func (r rawList) MarshalJSON() ([]byte, error) { return []byte(r), nil }

type gridOut struct {
	Block [2]float64 `json:"block"`
	Rows  [][]string `json:"rows"`
}

type pieceOut struct {
	ID      string  `json:"id"`
	Stock   string  `json:"stock"`
	Outline []XY    `json:"outline"`
	Grain   any     `json:"grain"`
	Ring    float64 `json:"ring_angle"`
	Pith    *XY     `json:"pith,omitempty"`
}

type borderOut struct {
	Stock  string   `json:"stock"`
	Grain  string   `json:"grain"`
	Width  float64  `json:"width"`
	Sides  []string `json:"sides"`
	Corner string   `json:"corner,omitempty"`
	Blocks int      `json:"blocks,omitempty"`
}

type writer struct {
	b     *Board
	scale float64
	stock map[string]stockOut
	keys  map[stockOut]string
}

// key gives the key under which a stock is written, its own where that is free.
func (w *writer) key(wanted string, s stockOut) string {
	if k, ok := w.keys[s]; ok {
		return k
	}
	k := wanted
	for n := 2; ; n++ {
		_, taken := w.stock[k]
		_, reserved := w.b.Stock[k]
		if !taken && (!reserved || k == wanted) {
			break
		}
		suffix := fmt.Sprintf("-%d", n)
		short := []rune(wanted)
		k = string(short[:min(len(short), maxKeyRunes-len(suffix))]) + suffix
	}
	w.stock[k], w.keys[s] = s, k
	return k
}

func (w *writer) stockOf(s Stock) stockOut {
	out := stockOut{Species: s.Species, Moisture: s.Moisture, Grain: grainOut(s.Grain), Colour: s.Colour}
	if s.Pith != nil {
		out.Pith = rawList(fmt.Sprintf("[%s,%s]", number(s.Pith[0]/w.scale), number(s.Pith[1]/w.scale)))
	}
	if _, fromPith := ringFromPith(s.Pith, s.Grain.Up); !fromPith {
		out.Ring = number(s.RingAngle)
	}
	return out
}

func number(f float64) json.Number {
	text, err := json.Marshal(f)
	if err != nil { // not finite: a board has no such number
		return "null"
	}
	return json.Number(text)
}

func grainOut(g Grain) any {
	if g.Up {
		return "up"
	}
	return g.Angle
}

// grid writes the field as a grid when it is one of whole blocks, else nil.
func (w *writer) grid() *gridOut {
	b := w.b
	if b.Rows == 0 {
		return nil
	}
	n := 0
	for i := range b.Pieces {
		if p := &b.Pieces[i]; p.Border < 0 {
			if n++; strings.Contains(p.ID, ".") || p.Row < 0 {
				return nil
			}
		}
	}
	if n != b.Rows*b.Cols {
		return nil
	}
	g := &gridOut{Rows: make([][]string, b.Rows)}
	for i := range g.Rows {
		g.Rows[i] = make([]string, b.Cols)
	}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		if p.Border >= 0 {
			continue
		}
		lo, hi := bounds(p.Outline)
		if p.Row == 0 && p.Col == 0 {
			g.Block = [2]float64{(hi[0] - lo[0]) / w.scale, (hi[1] - lo[1]) / w.scale}
		}
		s := b.Stock[p.Stock]
		if !isOf(p, s) {
			s = Stock{Species: p.Species, RingAngle: p.RingAngle, Grain: p.Grain, Moisture: p.Moisture,
				Pith: relative(p), Colour: s.Colour}
		}
		g.Rows[p.Row][p.Col] = w.key(p.Stock, w.stockOf(s))
	}
	return g
}

// isOf reports whether a piece is as it came from its stock.
func isOf(p *Piece, s Stock) bool {
	pith := relative(p)
	if (pith == nil) != (s.Pith == nil) || pith != nil && distance(*pith, *s.Pith) > straight {
		return false
	}
	return p.Species == s.Species && p.Moisture == s.Moisture && p.RingAngle == s.RingAngle && p.Grain == s.Grain
}

func (w *writer) piece(p *Piece) pieceOut {
	s := Stock{Species: p.Species, RingAngle: p.RingAngle, Grain: p.Grain, Moisture: p.Moisture, Colour: w.b.Stock[p.Stock].Colour}
	if own := w.b.Stock[p.Stock]; own.Species == p.Species && own.Moisture == p.Moisture {
		s = own // the piece tells its grain, rings and pith itself
	}
	out := pieceOut{ID: p.ID, Stock: w.key(p.Stock, w.stockOf(s)), Grain: grainOut(p.Grain), Ring: p.RingAngle, Pith: relative(p)}
	if borderID.MatchString(out.ID) {
		out.ID = "was-" + out.ID // such ids are kept for borders
	}
	for _, q := range p.Outline {
		out.Outline = append(out.Outline, XY{q[0] / w.scale, q[1] / w.scale})
	}
	if out.Pith != nil {
		out.Pith[0] /= w.scale
		out.Pith[1] /= w.scale
	}
	return out
}

// relative is the pith of a piece told from its centre.
func relative(p *Piece) *XY {
	if p.Pith == nil {
		return nil
	}
	if p.Grain.Up {
		q := sub(*p.Pith, p.Centre)
		return &q
	}
	return &XY{p.Pith[0] - dot(p.Centre, acrossFibres(p.Grain.Angle)), p.Pith[1]}
}

func (w *writer) border(br Border) borderOut {
	out := borderOut{
		Stock: w.key(br.Stock, w.stockOf(w.b.Stock[br.Stock])), Grain: "up", Width: br.Width / w.scale, Sides: br.Sides,
	}
	if br.Along {
		out.Grain = "along"
	}
	if br.Mitre {
		out.Corner = "mitre"
	}
	if br.Blocks > 1 {
		out.Blocks = br.Blocks
	}
	return out
}

// bordersUnchanged reports whether every border piece is still what its stock says.
func (w *writer) bordersUnchanged() bool {
	for _, br := range w.b.Borders {
		s := w.b.Stock[br.Stock]
		for _, i := range br.Pieces {
			p := &w.b.Pieces[i]
			ring := s.RingAngle
			if angle, ok := ringFromPith(s.Pith, p.Grain.Up); ok {
				ring = angle
			}
			if p.Species != s.Species || p.Moisture != s.Moisture || p.RingAngle != ring {
				return false
			}
		}
	}
	return true
}
