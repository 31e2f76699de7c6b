package layout

import (
	"bytes"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strict"
)

// Read reads a board file and works out its geometry. The package comment has
// the reference of the file. The board is complete, or the error is a
// fault.List with one entry for each thing that is wrong; never both.
func Read(src []byte) (*Board, error) { return ReadWithLimits(src, Limits{}) }

// ReadWithLimits is Read with bounds of the caller's own.
func ReadWithLimits(src []byte, limits Limits) (*Board, error) {
	limits = limits.orDefault()
	doc, err := strict.Parse(src, strict.Limits{Bytes: limits.Bytes, Depth: 16})
	if err != nil {
		return nil, err
	}
	r := &reader{doc: doc, limits: limits, board: &Board{Finish: "none"}, scale: 1}
	r.file()
	if err := doc.Err(); err != nil {
		return nil, err
	}
	if err := r.board.settle(r.pieces); err != nil {
		return nil, err
	}
	r.board.Source = bytes.Clone(src)
	return r.board, nil
}

// reader holds what one reading gathers.
type reader struct {
	doc       *strict.Doc
	limits    Limits
	board     *Board
	scale     float64 // mm for one unit of the file
	balance   float64 // % MC in balance with the shop at glue-up
	tiles     map[string]tile
	pieces    []Piece
	unweighed []string // stocks without a moisture, in the order of the file
	// The field is known to fill its bounding box, or not yet looked at.
	rectangular bool
	staggered   bool // a grid with open ends
}

func (r *reader) file() {
	root := r.doc.Root().Object("tanrad", "name", "units", "thickness", "stock", "field", "tiles",
		"borders", "glue", "finish", "glue_up", "home", "exposures")
	if root == nil {
		return
	}
	root.Need("tanrad").Whole(1, 1)
	if root.Has("name") {
		r.board.Name, _ = root.Get("name").Text(200)
	}
	if r.board.Units, _ = root.Need("units").Word("mm", "in"); r.board.Units == "in" {
		r.scale = 25.4 // exact, by definition of the inch
	}
	r.board.Thickness, _ = r.length(root.Need("thickness"), strict.Between(MinThickness, MaxThickness, "mm"))
	r.conditions(root)
	r.stock(root.Need("stock"))
	r.readTiles(root.Get("tiles"))
	if field := root.Need("field").Object("grid", "slices", "pieces"); field != nil {
		switch kind, v := field.OneOf("grid", "slices", "pieces"); kind {
		case "grid":
			r.grid(v)
		case "slices":
			r.slices(v)
		case "pieces":
			r.outlines(v)
		}
		if root.Has("tiles") && !field.Has("grid") {
			root.Get("tiles").Fault(fault.NotAllowed, "tiles are cells of a grid; this field has no grid", "tiles beside a grid only")
		}
	}
	r.borders(root.Get("borders"))
}

// length takes a length in the file's units and gives it in mm.
func (r *reader) length(v strict.Value, mm strict.Range) (float64, bool) {
	f, ok := v.Number(r.inUnits(mm))
	return f * r.scale, ok
}

func (r *reader) lengths(v strict.Value, min, max int, mm strict.Range) ([]float64, bool) {
	fs, ok := v.Numbers(min, max, r.inUnits(mm))
	for i := range fs {
		fs[i] *= r.scale
	}
	return fs, ok
}

// inUnits turns a range in mm into the units of the file.
func (r *reader) inUnits(mm strict.Range) strict.Range {
	if r.scale != 1 {
		mm.Min, mm.Max, mm.Unit = mm.Min/r.scale, mm.Max/r.scale, "in"
	}
	return mm
}

// size is the range of a length that must have some extent.
var size = strict.Above(0, MaxLength, "mm")

// place is the range of a coordinate.
var place = strict.Between(-MaxLength, MaxLength, "mm")

// assume notes what the file left open and how it was filled.
func (r *reader) assume(format string, args ...any) {
	r.board.Assumed = append(r.board.Assumed, fmt.Sprintf(format, args...))
}

// room reports whether n more pieces may be laid; if not, that is a fault at v.
func (r *reader) room(v strict.Value, n int) bool {
	if n <= r.limits.Pieces-len(r.pieces) {
		return true
	}
	r.doc.Add(fault.Fault{
		Rule: fault.TooLarge, Pointer: v.Pointer(), Detail: "the board has too many pieces",
		Found:   fmt.Sprintf("%d pieces", n+len(r.pieces)),
		Allowed: fmt.Sprintf("up to %d pieces", r.limits.Pieces),
	})
	return false
}

// settle moves the pieces so that the lower left of their bounding box is the
// origin, and cuts them into the planar map.
func (b *Board) settle(pieces []Piece) error {
	lo, hi := bounds(outlinesOf(pieces)...)
	if w, h := hi[0]-lo[0], hi[1]-lo[1]; w > MaxLength || h > MaxLength {
		return fault.List{{
			Rule: fault.TooLarge, Pointer: "/field", Detail: "the board is too large",
			Found:   fmt.Sprintf("%s × %s mm", strict.Decimal(w), strict.Decimal(h)),
			Allowed: fmt.Sprintf("up to %g × %g mm", MaxLength, MaxLength),
		}}
	}
	for i := range pieces {
		shift(&pieces[i], lo)
	}
	var faults fault.List
	if b.Partition, b.Joints, faults = cut(pieces); len(faults) > 0 {
		return faults
	}
	b.Pieces = pieces
	lo, hi = bounds(b.Partition.Vertices)
	b.Width, b.Height = hi[0]-lo[0], hi[1]-lo[1]
	for i := range pieces {
		if k := pieces[i].Border; k >= 0 {
			b.Borders[k].Pieces = append(b.Borders[k].Pieces, i)
		}
	}
	return nil
}

func shift(p *Piece, by XY) {
	for k := range p.Outline {
		p.Outline[k] = sub(p.Outline[k], by)
	}
	if p.Pith == nil {
		return
	}
	if p.Grain.Up {
		*p.Pith = sub(*p.Pith, by)
	} else {
		p.Pith[0] -= dot(by, acrossFibres(p.Grain.Angle))
	}
}

// acrossFibres is the in-plane unit normal n = (−sin φ, cos φ) of fibres along φ degrees.
func acrossFibres(angle float64) XY {
	s, c := math.Sincos(angle * math.Pi / 180)
	return XY{-s, c}
}

func outlinesOf(pieces []Piece) [][]XY {
	all := make([][]XY, len(pieces))
	for i := range pieces {
		all[i] = pieces[i].Outline
	}
	return all
}
