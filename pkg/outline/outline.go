package outline

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/strictjson"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Options say what a drawing does not.
type Options struct {
	Name      string
	Units     string            // "mm" or "in": of the board file
	Thickness float64           // of the board, in Units
	Stock     map[string]string // woods by colour "#rrggbb" or by name of the drawing
	Scale     float64           // Units of one unit of the drawing; 0: as it tells, else one
	Tolerance float64           // how far a chord may lie from its curve, in Units; 0 is 0.1 mm
}

// defaultTolerance [mm] is below what a saw or a sanding block leaves; common
// practice, no source.
const defaultTolerance = 0.1

func (o *Options) mm(v float64) float64 {
	if o.Units == "in" {
		return v * 25.4
	}
	return v
}

// tolerance is how far a chord may lie from its curve, mm.
func (o *Options) tolerance() float64 {
	if o.Tolerance == 0 {
		return defaultTolerance
	}
	return o.mm(o.Tolerance)
}

// Read makes a board file of a drawing. The file can be laid out, or the list has one
// fault for each shape that cannot be a piece and for each wood that is not told;
// pointers are into the drawing, "/shapes/3", counted from 0, or name an option,
// "/stock". Shapes that do not fit together are told at the later one.
func Read(src []byte, o Options) (*layout.File, fault.List) {
	if l := o.Check(); len(l) > 0 {
		return nil, l
	}
	r := &reader{o: o, unit: 1}
	if !r.read(src) || !r.faults.Empty() {
		return nil, r.faults.List()
	}
	f := r.file()
	if !r.faults.Empty() {
		return nil, r.faults.List()
	}
	if _, faults := f.Board(); len(faults) > 0 {
		return nil, r.atShapes(faults)
	}
	return f, nil
}

// atShapes tells what is wrong with the pieces at the shapes they were drawn as.
func (r *reader) atShapes(faults fault.List) fault.List {
	for i := range faults {
		f := &faults[i]
		for k, id := range f.Pieces { // by name, for the drawing does not know our ids
			if n := slices.Index(r.ids, id); n >= 0 {
				f.Pieces[k] = r.of[n].told()
				for _, after := range []string{" ", ","} {
					f.Detail = strings.ReplaceAll(f.Detail, " "+id+after, " "+f.Pieces[k]+after)
				}
			}
		}
		rest, of := strings.CutPrefix(f.Pointer, "/field/pieces/")
		number, _, _ := strings.Cut(rest, "/")
		n, err := strconv.Atoi(number)
		if !of || err != nil || n >= len(r.of) {
			continue
		}
		s := r.of[n]
		if f.Pointer = s.pointer(); len(f.Pieces) == 0 {
			f.Detail = s.told() + ": " + f.Detail
		}
	}
	return faults
}

// Check tells what is wrong with the options; pointers are into them, "/units".
func (o *Options) Check() fault.List {
	var c fault.Collector
	if o.Units != "mm" && o.Units != "in" {
		c.Add(fault.Fault{Rule: fault.NotOneOf, Pointer: "/units", Detail: "a board is told in mm or inches", Found: fault.Short(o.Units), Allowed: "mm, in"})
	}
	positive := func(key string, v float64, optional bool) {
		if !(v > 0) && !(optional && v == 0) || math.IsInf(v, 0) {
			c.Add(fault.Fault{Rule: fault.OutOfRange, Pointer: "/" + key, Detail: "the number is outside its range", Found: strictjson.Decimal(v), Allowed: "above 0"})
		}
	}
	positive("thickness", o.Thickness, false)
	positive("scale", o.Scale, true)
	positive("tolerance", o.Tolerance, true)
	return c.List()
}

// numbered is a name with a number behind it: walnut-3, walnut_3, walnut 3.
var numbered = regexp.MustCompile(`^(.*?)[-_. ]?[0-9]+$`)

// keyed is a key of stock as layout takes it. Such a class of letters, repeated, takes a
// millisecond to compile, which no other command need wait for.
var keyed = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[\pL\pN._#-]{1,32}$`) })

// file puts the shapes into a board file.
func (r *reader) file() *layout.File {
	f := &layout.File{Name: r.o.Name, Units: r.o.Units, Thickness: layout.Length(r.o.Thickness), Stock: map[string]layout.Material{}}
	ids := map[string]bool{}
	missing := map[string]bool{}
	drawn := map[string]*shape{} // by outline
	for i := range r.shapes {
		s := &r.shapes[i]
		if s.ignored {
			continue
		}
		key, species, ok := r.wood(s, missing)
		if !ok {
			continue
		}
		stock := layout.Material{Species: species, Ring: layout.RingUnknown()}
		if c := "#" + key; hex6.MatchString(c) {
			stock.Colour = c // its own name
		}
		f.Stock[key] = stock
		for n, ring := range s.rings {
			if first, twice := drawn[r.sign(ring)]; twice {
				r.faults.Add(fault.Fault{Rule: fault.Overlap, Pointer: s.pointer(), Detail: s.told() + " is drawn twice: it lies exactly on " + first.told(), Found: "the same outline", Allowed: "each piece of wood once", Fix: "delete one of the two"})
				continue
			}
			drawn[r.sign(ring)] = s
			p := layout.FreePiece{Stock: key, ID: pieceID(s.id, n, len(s.rings), ids)}
			r.own(s, &p)
			for _, c := range ring.corners {
				p.Outline = append(p.Outline, [2]layout.Length{r.length(c[0]), r.length(-c[1])})
			}
			f.Field.Pieces = append(f.Field.Pieces, p)
			r.of, r.ids = append(r.of, s), append(r.ids, cmp.Or(p.ID, "p"+strconv.Itoa(len(f.Field.Pieces))))
		}
	}
	if r.faults.Empty() && len(f.Field.Pieces) == 0 {
		r.faults.Add(fault.Fault{Rule: fault.MissingKey, Pointer: "/shapes", Detail: "the drawing has no closed shape that is seen", Found: "nothing", Allowed: "path, rect, polygon, circle, ellipse"})
	}
	return f
}

// sign tells an outline by its corners, wherever it begins and whichever way round it
// goes, to a hundredth of a millimetre.
func (r *reader) sign(of ring) string {
	var corners []string
	for _, c := range of.corners {
		corners = append(corners, fmt.Sprintf("%.2f,%.2f", c[0]*r.unit+0, c[1]*r.unit+0))
	}
	slices.Sort(corners)
	return strings.Join(corners, " ")
}

// length gives a length of the drawing in the file's units, to a millionth: the noise
// of transforms is no length.
func (r *reader) length(v float64) layout.Length {
	mm := v * r.unit
	return layout.Length(math.Round(mm/r.o.mm(1)*1e6)/1e6) + 0
}

// own takes what a shape says of its rings and fibres.
func (r *reader) own(s *shape, p *layout.FreePiece) {
	if text, ok := s.attrs["data-ring-angle"]; ok && text != "unknown" {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			r.refuse(s, fault.WrongType, "has a data-ring-angle that is no angle", fault.Short(text), `degrees, or "unknown"`)
			return
		}
		p.Ring = layout.RingAt(v)
	}
	if text, ok := s.attrs["data-grain"]; ok {
		if text == "up" {
			p.Grain.Word = text
			return
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			r.refuse(s, fault.WrongType, "has a data-grain that is no direction", fault.Short(text), `"up", or degrees`)
			return
		}
		p.Grain.Angle = &v
	}
}

// wood finds the key and the wood of a shape.
func (r *reader) wood(s *shape, missing map[string]bool) (key, species string, ok bool) {
	if name := s.attrs["data-stock"]; name != "" {
		if species, ok = r.named(name); ok {
			return name, species, true
		}
		return r.noWood(s, "data-stock", name, missing)
	}
	if name := numbered.ReplaceAllString(s.id, "$1"); name != "" {
		if species, ok = r.named(name); ok {
			return name, species, true
		}
	}
	fill := s.attrs["fill"]
	colour, known := colourOf(fill)
	if !known {
		if fill == "" && r.styled {
			r.refuse(s, fault.NotAllowed, "has its colour from a style sheet, or none", "", "fill on the shape itself, or an id that names its wood")
			return "", "", false
		}
		return r.noWood(s, "fill", fill, missing)
	}
	for _, c := range slices.Sorted(maps.Keys(r.o.Stock)) {
		if of, _ := colourOf(c); of == colour {
			return strings.TrimPrefix(colour, "#"), r.o.Stock[c], true
		}
	}
	return r.noWood(s, "fill", colour, missing)
}

// named finds the wood of a name: one the options give, or one package wood knows.
func (r *reader) named(name string) (string, bool) {
	if !keyed().MatchString(name) {
		return "", false
	}
	if species, ok := r.o.Stock[name]; ok {
		return species, true
	}
	region := wood.Metric
	if r.o.Units == "in" {
		region = wood.Inches
	}
	if _, err := wood.FindIn(name, region); err == nil {
		return name, true
	}
	return "", false
}

// noWood tells once of a colour or a name without a wood.
func (r *reader) noWood(s *shape, by, found string, missing map[string]bool) (string, string, bool) {
	if missing[found] {
		return "", "", false
	}
	missing[found] = true
	fix := "give it an id that names a wood, or a fill"
	if found != "" && found != "none" {
		fix = fmt.Sprintf("tell its wood: stock %s=black-walnut, say", fault.Short(found))
	}
	r.faults.Add(fault.Fault{Rule: fault.MissingKey, Pointer: s.pointer(), Detail: fmt.Sprintf("nobody tells the wood of the %s of %s", by, s.told()), Found: fault.Short(found), Allowed: "a wood for it in stock", Fix: fix})
	return "", "", false
}

// kept are the ids that layout gives: pieces of borders, and those without an id.
var kept = regexp.MustCompile(`^(b[0-9]+\.|p[0-9]+$)`)

// fit is an id as layout takes it, compiled when it is needed like keyed.
var fit = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[\pL\pN._-]{1,32}$`) })

// pieceID keeps a shape's id where a piece can have it; "" is layout's own.
func pieceID(id string, n, of int, taken map[string]bool) string {
	if of > 1 && id != "" {
		id += "." + strconv.Itoa(n+1)
	}
	if !fit().MatchString(id) || kept.MatchString(id) || taken[id] {
		return ""
	}
	taken[id] = true
	return id
}
