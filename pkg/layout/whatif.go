package layout

import (
	"fmt"
	"maps"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

// Edit is a change to one piece or one stock; nil fields stay as they are.
type Edit struct {
	RingAngle *float64 // degrees, −180 to 180; takes away a pith
	Species   *string  // any name package wood knows
	Moisture  *float64 // % MC, 0 to 30
}

// WithPiece returns a board on which one piece is changed. The geometry is
// shared with b, which stays as it is; piece and joint ids stay. Errors: a
// fault.List, one entry for each part of the edit that cannot be.
func (b *Board) WithPiece(i int, e Edit) (*Board, error) {
	if i < 0 || i >= len(b.Pieces) {
		return nil, fault.List{{
			Rule: fault.OutOfRange, Detail: "there is no piece with that index",
			Found: fmt.Sprint(i), Allowed: fmt.Sprintf("0 to %d", len(b.Pieces)-1),
		}}
	}
	return b.with(e, func(k int, _ *Piece) bool { return k == i })
}

// WithStock returns a board on which all pieces of one stock are changed, and
// the stock itself; see WithPiece.
func (b *Board) WithStock(key string, e Edit) (*Board, error) {
	s, ok := b.Stock[key]
	if !ok {
		return nil, fault.List{{Rule: fault.UnknownName, Detail: fmt.Sprintf("no stock has the key %q", key), Found: key}}
	}
	c, err := b.with(e, func(_ int, p *Piece) bool { return p.Stock == key })
	if err != nil {
		return nil, err
	}
	c.Stock = maps.Clone(b.Stock)
	if e.RingAngle != nil {
		s.RingAngle, s.Pith = *e.RingAngle, nil
	}
	if e.Species != nil {
		s.Species, _ = findSpecies(*e.Species) // checked by with
	}
	if e.Moisture != nil {
		s.Moisture, s.Given = *e.Moisture, true
	}
	c.Stock[key] = s
	return c, nil
}

func (b *Board) with(e Edit, which func(int, *Piece) bool) (*Board, error) {
	species, err := e.check()
	if err != nil {
		return nil, err
	}
	c := *b
	c.Pieces = append([]Piece(nil), b.Pieces...)
	for i := range c.Pieces {
		p := &c.Pieces[i]
		if !which(i, p) {
			continue
		}
		if e.RingAngle != nil {
			p.RingAngle, p.Pith = *e.RingAngle, nil
		}
		if e.Species != nil {
			p.Species = species
		}
		if e.Moisture != nil {
			p.Moisture = *e.Moisture
		}
	}
	return &c, nil
}

// check tells what is wrong with an edit, and the id of its species.
func (e Edit) check() (species string, err error) {
	var faults fault.List
	within := func(v *float64, what, pointer string, r strict.Range) {
		if v != nil && (math.IsNaN(*v) || !r.Contains(*v)) {
			faults = append(faults, fault.Fault{
				Rule: fault.OutOfRange, Pointer: pointer, Detail: what + " is outside its range",
				Found: strict.Decimal(*v), Allowed: r.String(),
			})
		}
	}
	within(e.RingAngle, "the ring angle", "/ring_angle", degrees)
	within(e.Moisture, "the moisture", "/moisture", moistureMC)
	if e.Species != nil {
		id, err := findSpecies(*e.Species)
		if species = id; err != nil {
			faults = append(faults, asFault(err, "/species", *e.Species))
		}
	}
	return species, faults.Err()
}
