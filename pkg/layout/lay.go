package layout

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/strictjson"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Read reads a board file and works out its geometry: Parse and Board at once,
// with the faults of both. The board is complete, or the error is a fault.List
// with one entry for each thing that is wrong; never both.
func Read(src []byte) (*Board, error) { return ReadWithLimits(src, Limits{}) }

// ReadWithLimits is Read with bounds of the caller's own.
func ReadWithLimits(src []byte, limits Limits) (*Board, error) {
	_, b, err := Open(src, limits)
	return b, err
}

// Open reads a board file and gives it in both forms: as it is written, for
// whoever wants to change it, and laid out. Errors: as of Read.
func Open(src []byte, limits Limits) (*File, *Board, error) {
	f, doc, faults := parse(src, limits)
	if len(faults) > 0 {
		return nil, nil, faults
	}
	b, faults := f.board(limits, doc.Faults())
	if len(faults) > 0 {
		in := faults
		if last := in[len(in)-1]; last.Rule == fault.TooLarge && last.Pointer == "" {
			in = in[:len(in)-1] // it says that there are more
		}
		slices.SortStableFunc(in, func(a, b fault.Fault) int { return cmp.Compare(doc.Place(a.Pointer), doc.Place(b.Pointer)) })
		return nil, nil, faults
	}
	return f, b, nil
}

// Board lays the file out. The board is complete, or the list has one entry for
// each thing that is wrong, with its place in the file; never both. The board
// shares nothing with the file.
func (f *File) Board() (*Board, fault.List) { return f.board(Limits{}, nil) }

// board lays the file out. told are the faults found already; what they hide is
// not told again.
func (f *File) board(limits Limits, told fault.List) (*Board, fault.List) {
	if f.seed != 0 {
		return f.drawnBoard(limits, told)
	}
	r := &layer{file: f, limits: limits.orDefault(), board: &Board{Finish: "none"}, scale: f.Scale(), known: map[string]bool{}}
	for _, t := range told {
		r.known[t.Pointer] = true
		if m := leading.FindStringSubmatch(t.Pointer); m != nil {
			r.known[strings.Join(m[1:], "")] = true // one of them matched
		}
		r.faults.Add(t)
	}
	r.all()
	if l := r.faults.List(); len(l) > 0 {
		return nil, l
	}
	if l := r.board.settle(r.pieces); len(l) > 0 {
		return nil, l
	}
	if l := append(r.board.patches(), r.starve()...); len(l) > 0 {
		return nil, l
	}
	r.board.findGlueUps()
	r.board.joinStages()
	if ids := r.board.unlooked(); len(ids) > 0 {
		r.assume("%s", unlookedAt(ids)+"taken at 0 degrees until they are drawn")
	}
	r.hearts()
	r.board.Notices = append(f.notices(r.board), r.woods[:min(len(r.woods), mostNotices)]...)
	return r.board, nil
}

// unlooked lists the pieces whose rings nobody has looked at.
func (b *Board) unlooked() (ids []string) {
	for i := range b.Pieces {
		if b.Pieces[i].RingUnknown {
			ids = append(ids, b.Pieces[i].ID)
		}
	}
	return ids
}

// unlookedAt begins the note on such pieces.
func unlookedAt(ids []string) string {
	return fmt.Sprintf("rings of %d pieces (%s): unknown, ", len(ids), joined(ids[:min(len(ids), 10)]))
}

// layer holds what one laying out gathers.
type layer struct {
	file      *File
	limits    Limits
	board     *Board
	faults    fault.Collector
	woods     notice.List     // which wood an ambiguous word was taken for
	known     map[string]bool // pointers of faults of the text
	scale     float64         // mm for one unit of the file
	balance   float64         // % MC in balance with the shop at glue-up
	pieces    []Piece
	unweighed []string        // stocks without a moisture, in the order of their keys
	ringless  map[string]bool // stocks without a ring angle
	gone      map[string]bool // ids of pieces that trimming took whole
	// The field is known to fill its bounding box, or not yet looked at.
	rectangular bool
	staggered   bool     // a grid with open ends
	shop        *builder // of a build
}

func (r *layer) all() {
	f, b := r.file, r.board
	b.Name = f.Name
	r.letters("/name", f.Name, 0, maxName)
	if b.Units = f.Units; r.word("/units", f.Units, "mm", "in") && f.Units == "in" {
		b.Units = "in"
	}
	b.Thickness = r.length("/thickness", f.Thickness, strictjson.Between(MinThickness, MaxThickness, "mm"))
	r.conditions()
	r.stock()
	r.tiles()
	r.field()
	r.borders()
	r.overrides()
	r.trunks()
	r.stages()
	r.reach()
}

func (r *layer) field() {
	f := &r.file.Field
	found := ""
	for _, k := range []struct {
		key  string
		here bool
		lay  func()
	}{{"grid", f.Grid != nil, r.grid}, {"slices", f.Slices != nil, r.slices}, {"build", f.Build != nil, r.build}, {"pieces", f.Pieces != nil, r.outlines}} {
		switch {
		case !k.here:
		case found == "":
			found = k.key
			k.lay()
		default:
			r.fault(fault.NotAllowed, "/field/"+k.key, fmt.Sprintf("%q cannot stand beside %q", k.key, found), "one of grid, slices, build, pieces")
		}
	}
	if found == "" {
		r.fault(fault.MissingKey, "/field", "one of the keys grid, slices, build, pieces is missing", "one of grid, slices, build, pieces")
	}
	if len(r.file.Tiles) > 0 && found != "" && f.Grid == nil {
		r.fault(fault.NotAllowed, "/tiles", "tiles are cells of a grid; this field has no grid", "tiles beside a grid only")
	}
}

// full reports that no further fault would be told: what finds them need not work on.
func (r *layer) full() bool { return r.faults.Full() }

// leading finds the keys that the others of their object hang on: where one of them
// cannot be read, what the others say is not judged.
var leading = regexp.MustCompile(`^(?:(/field/build/sticks/[^/]+)/(?:stock|section|cut|layers)\b|(/field/build/panels/[^/]+/sticks/\d+)/stick\b|(/field/build/slices/\d+)/(?:panel|stick)\b|(/borders/\d+)/panel\b|(/borders/\d+/rest)/days\b)`)

// add collects a fault unless a fault of the text at its place, or round it, has
// told of it.
func (r *layer) add(f fault.Fault) {
	if len(r.known) > 0 {
		at := f.Pointer
		for {
			if r.known[at] {
				return
			}
			cut := strings.LastIndexByte(at, '/')
			if cut < 0 {
				break
			}
			at = at[:cut]
		}
	}
	r.faults.Add(f)
}

func (r *layer) fault(rule fault.Rule, pointer, detail, allowed string) {
	r.add(fault.Fault{Rule: rule, Pointer: pointer, Detail: detail, Allowed: allowed})
}

// letters checks the length of a text.
func (r *layer) letters(pointer, text string, min, max int) bool {
	n := len([]rune(text))
	if n >= min && n <= max {
		return true
	}
	if r.full() {
		return false
	}
	if text == "" {
		r.add(fault.Fault{Rule: fault.MissingKey, Pointer: pointer, Detail: "there is nothing here", Found: "nothing", Allowed: fmt.Sprintf("%d to %d letters", min, max)})
	} else {
		r.add(fault.Fault{Rule: fault.WrongLength, Pointer: pointer, Detail: fmt.Sprintf("the text has %d letters", n), Allowed: fmt.Sprintf("%d to %d letters", min, max)})
	}
	return false
}

// word checks a word of a closed list.
func (r *layer) word(pointer, word string, words ...string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	if r.full() {
		return false
	}
	f := fault.Fault{Rule: fault.NotOneOf, Pointer: pointer, Detail: fmt.Sprintf("%q is not one of the words allowed here", word), Found: word,
		Allowed: joined(words), Nearest: fault.Nearest(word, words, 1)}
	if word == "" {
		f.Rule, f.Detail, f.Found = fault.MissingKey, "one of the words is needed here", "nothing"
	}
	r.add(f)
	return false
}

// number checks a number of the file. The place is told by base and key, put
// together only for a fault.
func (r *layer) number(base, key string, v float64, in strictjson.Range) bool {
	if in.Contains(v) {
		return true
	}
	if !r.full() {
		r.add(fault.Fault{Rule: fault.OutOfRange, Pointer: base + key, Detail: "the number is outside its range", Found: strictjson.Decimal(v), Allowed: in.String()})
	}
	return false
}

// whole checks a whole number of the file.
func (r *layer) whole(pointer string, n, min, max int) bool {
	return r.number(pointer, "", float64(n), strictjson.Between(float64(min), float64(max), ""))
}

// length checks a length and gives it in mm.
func (r *layer) length(pointer string, l Length, mm strictjson.Range) float64 {
	v, _ := r.lengthAt(pointer, -1, l, mm)
	return v
}

// lengthAt is length for an element of a list, −1 for none.
func (r *layer) lengthAt(pointer string, i int, l Length, mm strictjson.Range) (float64, bool) {
	v := float64(l) * r.scale
	if mm.Contains(v) {
		return v, true
	}
	if r.full() {
		return v, false
	}
	if i >= 0 {
		pointer = at(pointer, i)
	}
	in := mm
	if r.scale != 1 {
		in.Min, in.Max, in.Unit = mm.Min/r.scale, mm.Max/r.scale, "in"
	}
	f := fault.Fault{Rule: fault.OutOfRange, Pointer: pointer, Detail: "the length is outside its range", Found: strictjson.Decimal(float64(l)) + " " + in.Unit, Allowed: in.String()}
	switch {
	case r.scale != 1 && mm.Contains(float64(l)):
		f.Fix = fmt.Sprintf(`did you mean mm? Then write "%s mm", or set "units" to "mm"`, strictjson.Decimal(float64(l)))
	case r.scale == 1 && l > 0 && mm.Contains(float64(l)*25.4):
		f.Fix = fmt.Sprintf(`did you mean inches? Then write "%s in", or set "units" to "in"`, strictjson.Decimal(float64(l)))
	}
	r.add(f)
	return v, false
}

// lengths checks a list of lengths and gives it in mm.
func (r *layer) lengths(pointer string, ls []Length, mm strictjson.Range) ([]float64, bool) {
	all, ok := make([]float64, len(ls)), true
	for i, l := range ls {
		v, good := r.lengthAt(pointer, i, l, mm)
		all[i], ok = v, ok && good
	}
	return all, ok
}

// at is the pointer of an element of a list.
func at(pointer string, i int) string { return fmt.Sprintf("%s/%d", pointer, i) }

// under is the pointer of a named member of an object.
func under(pointer, key string) string { return pointer + "/" + strictjson.Escape(key) }

// size is the range of a length that must have some extent.
var size = strictjson.Above(0, MaxLength, "mm")

// wide is that of what a saw cuts and a glue line holds.
var wide = strictjson.Between(Narrow, MaxLength, "mm")

// place is the range of a coordinate.
var place = strictjson.Between(-MaxLength, MaxLength, "mm")

// anyAngle is the range of an angle of rings or fibres.
var anyAngle = strictjson.Between(-wood.MaxAngle, wood.MaxAngle, "degrees")

// assume notes what the file left open and how it was filled.
func (r *layer) assume(format string, args ...any) {
	r.board.Assumed = append(r.board.Assumed, fmt.Sprintf(format, args...))
}

// room reports whether n more pieces may be laid; if not, that is a fault.
func (r *layer) room(pointer string, n int) bool {
	if n <= r.limits.Pieces-len(r.pieces) {
		return true
	}
	r.add(fault.Fault{
		Rule: fault.TooLarge, Pointer: pointer, Detail: "the board has too many pieces",
		Found:   fmt.Sprintf("%d pieces", n+len(r.pieces)),
		Allowed: fmt.Sprintf("up to %d pieces", r.limits.Pieces),
	})
	return false
}

// settle moves the pieces so that the lower left of their bounding box is the
// origin, and cuts them into the planar map.
func (b *Board) settle(pieces []Piece) fault.List {
	lo, hi := bounds(outlinesOf(pieces)...)
	if w, h := hi[0]-lo[0], hi[1]-lo[1]; w > MaxLength || h > MaxLength {
		return fault.List{{
			Rule: fault.TooLarge, Pointer: "/field", Detail: "the board is too large",
			Found:   fmt.Sprintf("%s × %s mm", strictjson.Decimal(w), strictjson.Decimal(h)),
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
