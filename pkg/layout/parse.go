package layout

import (
	"errors"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// Parse reads a board file as it is written. What it says may still make no
// board: Board tells that. The faults are those of the text (no JSON, a key that
// is unknown, missing or stands twice, a value of the wrong type); the File is
// nil then. Read tells the faults of the text and those of the board together.
func Parse(src []byte) (*File, fault.List) {
	f, doc, faults := parse(src, Limits{})
	if len(faults) > 0 {
		return nil, faults
	}
	if l := doc.Faults(); len(l) > 0 {
		return nil, l
	}
	return f, nil
}

// depth is how deep lists and objects may be nested; a file needs six levels.
const depth = 16

// parse reads what can be read. The list is of a text that is no JSON object;
// all other faults are collected in the Doc.
func parse(src []byte, limits Limits) (*File, *strictjson.Doc, fault.List) {
	limits = limits.orDefault()
	doc, err := strictjson.Parse(src, strictjson.Limits{Bytes: limits.Bytes, Depth: depth})
	if err != nil {
		var l fault.List
		errors.As(err, &l)
		return nil, nil, l
	}
	p := &parser{doc: doc, unit: quantity.Millimetre}
	if f := p.file(); f != nil {
		return f, doc, nil
	}
	return nil, nil, doc.Faults()
}

// parser takes the parts of a file from its text. It looks at types and keys;
// what the values may be is for Board to say.
type parser struct {
	doc  *strictjson.Doc
	unit quantity.Unit
}

func (p *parser) file() *File {
	root := p.doc.Root().Object("tanrad", "name", "units", "thickness", "stock", "field", "tiles",
		"borders", "pieces", "glue", "finish", "ends_finish", "bottom_finish", "finish_renewed", "stands", "glue_up", "home", "exposures", "starved")
	if root == nil {
		return nil
	}
	f := &File{}
	root.Need("tanrad").Whole(version, version)
	f.Name = p.text(root.Get("name"), maxName)
	if f.Units, _ = root.Need("units").Word("mm", "in"); f.Units == "in" {
		p.unit = quantity.Inch
	}
	f.Thickness = p.length(root.Need("thickness"))
	f.Stock = each(root.Need("stock"), p.material)
	f.Tiles = each(root.Get("tiles"), p.tile)
	f.Field = p.field(root.Need("field"))
	for _, v := range list(root.Get("borders"), 0, maxBorders) {
		f.Borders = append(f.Borders, p.edging(v))
	}
	f.Pieces = each(root.Get("pieces"), p.override)
	f.Glue, f.Finish = p.text(root.Get("glue"), maxWord), p.text(root.Get("finish"), maxWord)
	f.Ends = p.text(root.Get("ends_finish"), maxWord)
	f.Renewed = p.renewal(root.Get("finish_renewed"))
	f.FinishBottom, f.Stands = p.text(root.Get("bottom_finish"), maxWord), p.text(root.Get("stands"), maxWord)
	if g := root.Get("glue_up"); g.Here() {
		r := p.air(g)
		f.GlueUp = &r
	}
	f.Home = p.home(root.Get("home"))
	for _, v := range list(root.Get("exposures"), 0, maxExposures) {
		f.Exposures = append(f.Exposures, p.exposure(v))
	}
	for _, v := range list(root.Get("starved"), 0, maxStarved) {
		f.Starved = append(f.Starved, p.starved(v))
	}
	return f
}

// each takes an object of named things, the first of each name.
func each[T any](v strictjson.Value, take func(strictjson.Value) T) map[string]T {
	members, ok := v.AnyObject(0, -1)
	if !ok {
		return nil
	}
	m := make(map[string]T, len(members))
	for _, c := range members {
		m[c.Key()] = take(c)
	}
	return m
}

func list(v strictjson.Value, min, max int) []strictjson.Value {
	items, _ := v.List(min, max)
	return items
}

// text takes a text that may be left out.
func (p *parser) text(v strictjson.Value, most int) string {
	s, _ := v.Text(most)
	return s
}

// number takes any finite number.
func (p *parser) number(v strictjson.Value) float64 {
	f, _ := v.Number(strictjson.Any)
	return f
}

// maybe takes a number that may be left out.
func (p *parser) maybe(v strictjson.Value) *float64 {
	if !v.Here() {
		return nil
	}
	f := p.number(v)
	return &f
}

// length takes a number in the file's units, or a length written out.
func (p *parser) length(v strictjson.Value) Length {
	if v.Kind() != strictjson.String {
		return Length(p.number(v))
	}
	text, ok := v.Text(maxWord)
	if !ok {
		return 0
	}
	n, err := quantity.LengthIn(text, p.unit)
	for _, f := range fault.Of(fault.At(err, v.Pointer())) {
		p.doc.Add(f)
	}
	return Length(n)
}

func (p *parser) lengths(v strictjson.Value, min, max int) []Length {
	if !v.Here() {
		return nil
	}
	items := list(v, min, max)
	all := make([]Length, len(items))
	for i, item := range items {
		all[i] = p.length(item)
	}
	return all
}

// pair takes two lengths; nil when v is absent.
func (p *parser) pair(v strictjson.Value) *[2]Length {
	if !v.Here() {
		return nil
	}
	var pair [2]Length
	copy(pair[:], p.lengths(v, 2, 2))
	return &pair
}

// ring takes degrees or "unknown".
func (p *parser) ring(v strictjson.Value) *Ring {
	switch v.Kind() {
	case strictjson.Absent:
		return nil
	case strictjson.Number:
		return RingAt(p.number(v))
	case strictjson.String:
		word, ok := v.Text(maxWord)
		if word == unknown {
			return RingUnknown()
		}
		if !ok {
			return RingAt(0)
		}
	}
	v.Fault(fault.WrongType, "a ring angle is a number of degrees, or the word unknown", `degrees, or "unknown"`)
	return RingAt(0) // told: nothing else is to be missed here
}

// unknown is the word for rings nobody has looked at.
const unknown = "unknown"

// renewal takes months or "never".
func (p *parser) renewal(v strictjson.Value) *moisture.Renewal {
	switch v.Kind() {
	case strictjson.Absent:
		return nil
	case strictjson.String:
		if word, _ := v.Word("never"); word != "" {
			return &moisture.Renewal{Never: true}
		}
		return nil
	case strictjson.Number:
		return &moisture.Renewal{Months: p.number(v)}
	}
	v.Fault(fault.WrongType, "a finish is renewed every so many months, or never", `months, or "never"`)
	return nil
}

// fibres takes "up" or degrees.
func (p *parser) fibres(v strictjson.Value) Fibres {
	switch v.Kind() {
	case strictjson.Absent:
		return Fibres{}
	case strictjson.String:
		word, _ := v.Word("up")
		return Fibres{Word: word}
	}
	return Fibres{Angle: p.maybe(v)}
}

func (p *parser) material(v strictjson.Value) Material {
	m := v.Object("species", "ring_angle", "moisture", "moisture_is", "grain", "pith", "colour", "heart", "length", "slope")
	long := Length(0)
	if l := m.Get("length"); l.Here() {
		long = p.length(l)
		p.notZero(l, float64(long))
	}
	return Material{
		Species: p.text(m.Need("species"), maxWord), Ring: p.ring(m.Get("ring_angle")), Moisture: p.maybe(m.Get("moisture")),
		Known: p.text(m.Get("moisture_is"), maxWord), Grain: p.fibres(m.Get("grain")), Pith: p.pair(m.Get("pith")), Colour: p.text(m.Get("colour"), 7), Heart: p.text(m.Get("heart"), maxWord), Length: long,
		Slope: p.number(m.Get("slope")),
	}
}

func (p *parser) tile(v strictjson.Value) Tile {
	m := v.Object("cut", "stock")
	t := Tile{}
	t.Cut, _ = m.Need("cut").Word(cuts...)
	for _, s := range list(m.Need("stock"), 1, -1) {
		t.Stock = append(t.Stock, p.text(s, maxKeyRunes))
	}
	return t
}

func (p *parser) field(v strictjson.Value) Field {
	m := v.Object("grid", "slices", "build", "pieces")
	var f Field
	if g := m.Get("grid"); g.Here() {
		f.Grid = p.grid(g)
	}
	if s := m.Get("slices"); s.Here() {
		f.Slices = p.slices(s)
	}
	if b := m.Get("build"); b.Here() {
		f.Build = p.build(b)
	}
	if l := m.Get("pieces"); l.Here() {
		f.Pieces = make([]FreePiece, 0, l.Len())
		for _, item := range list(l, 0, -1) {
			f.Pieces = append(f.Pieces, p.freePiece(item))
		}
	}
	return f
}

func (p *parser) grid(v strictjson.Value) *Grid {
	m := v.Object("block", "columns", "row_heights", "rows", "rings", "stagger", "ends")
	g := &Grid{Block: p.pair(m.Get("block")), Columns: p.lengths(m.Get("columns"), 1, -1), RowHeights: p.lengths(m.Get("row_heights"), 1, -1)}
	for _, row := range list(m.Need("rows"), 1, -1) {
		g.Rows = append(g.Rows, p.row(row))
	}
	if rings := m.Get("rings"); rings.Here() {
		g.Rings = [][]*Ring{}
		for _, row := range list(rings, 1, -1) {
			var line []*Ring
			for _, item := range list(row, 1, -1) {
				if item.Kind() == strictjson.Null {
					line = append(line, nil)
				} else {
					line = append(line, p.ring(item))
				}
			}
			g.Rings = append(g.Rings, line)
		}
	}
	switch s := m.Get("stagger"); s.Kind() {
	case strictjson.Absent:
	case strictjson.List:
		g.Stagger = &Stagger{Shift: p.lengths(s, 1, -1)}
	default:
		g.Stagger = &Stagger{Part: p.number(s)}
	}
	g.Ends, _ = m.Get("ends").Word(ends...)
	return g
}

func (p *parser) row(v strictjson.Value) Row {
	if v.Kind() != strictjson.List {
		text, _ := v.Text(-1)
		return Row{Text: text}
	}
	keys := make([]string, 0, v.Len())
	for _, item := range list(v, 1, -1) {
		keys = append(keys, p.text(item, maxKeyRunes))
	}
	return Row{Keys: keys}
}

func (p *parser) slices(v strictjson.Value) *Slices {
	m := v.Object("strips", "height", "count", "turn")
	s := &Slices{Height: p.length(m.Need("height"))}
	s.Count, _ = m.Need("count").Whole(1, maxSlices)
	s.Turn, _ = m.Need("turn").Word(turns...)
	for _, item := range list(m.Need("strips"), 1, maxStrips) {
		parts := list(item, 2, 3)
		var strip Strip
		if len(parts) > 1 {
			strip = Strip{Stock: p.text(parts[0], maxKeyRunes), Width: p.length(parts[1])}
		}
		if len(parts) > 2 {
			strip.Ring = p.ring(parts[2])
		}
		s.Strips = append(s.Strips, strip)
	}
	return s
}

func (p *parser) freePiece(v strictjson.Value) FreePiece {
	if p.isMotif(v) {
		return p.motif(v)
	}
	m := v.Object("id", "stock", "outline", "grain", "ring_angle", "pith")
	f := FreePiece{
		ID: p.text(m.Get("id"), maxKeyRunes), Stock: p.text(m.Need("stock"), maxKeyRunes),
		Grain: p.fibres(m.Get("grain")), Ring: p.ring(m.Get("ring_angle")), Pith: p.pair(m.Get("pith")),
	}
	for _, corner := range list(m.Need("outline"), 3, maxCorners) {
		f.Outline = append(f.Outline, *p.pair(corner))
	}
	return f
}

func (p *parser) edging(v strictjson.Value) Edging {
	m := v.Object("stock", "panel", "turn", "grain", "width", "sides", "corner", "blocks", "rest")
	e := Edging{Panel: p.text(m.Get("panel"), maxKeyRunes)}
	if m.Get("panel").Here() {
		e.Stock = p.text(m.Get("stock"), maxKeyRunes)
		if w := m.Get("width"); w.Here() {
			e.Width = p.length(w)
		}
	} else {
		e.Stock, e.Width = p.text(m.Need("stock"), maxKeyRunes), p.length(m.Need("width"))
	}
	e.Turn, _ = m.Get("turn").Word(turns...)
	e.Grain, _ = m.Need("grain").Word(edgingGrains...)
	e.Corner, _ = m.Get("corner").Word(corners...)
	if n := m.Get("blocks"); n.Here() {
		e.Blocks, _ = n.Whole(1, maxBorderBlocks)
	}
	sides := m.Get("sides")
	if e.Corner != "mitre" {
		sides = m.Need("sides")
	}
	for _, s := range list(sides, 1, 4) {
		word, _ := s.Word(allSides...)
		e.Sides = append(e.Sides, word)
	}
	if w := m.Get("rest"); w.Here() {
		e.Rest = p.rest(w)
	}
	return e
}

func (p *parser) rest(v strictjson.Value) *Rest {
	m := v.Object("days", "air", "moisture")
	r := &Rest{Days: p.number(m.Get("days"))}
	if a := m.Get("air"); a.Here() {
		air := p.air(a)
		r.Air = &air
	}
	if l := m.Get("moisture"); l.Here() {
		r.Moisture = each(l, p.number)
	}
	return r
}

func (p *parser) override(v strictjson.Value) Override {
	m := v.Object("stock", "species", "ring_angle", "pith", "moisture")
	return Override{
		Stock: p.text(m.Get("stock"), maxKeyRunes), Species: p.text(m.Get("species"), maxWord),
		Ring: p.ring(m.Get("ring_angle")), Pith: p.pair(m.Get("pith")), Moisture: p.maybe(m.Get("moisture")),
	}
}

// air takes an object with humidity and temperature.
func (p *parser) air(v strictjson.Value) moisture.Room {
	m := v.Object("humidity", "temperature")
	return moisture.Room{Humidity: p.number(m.Need("humidity")), Temperature: p.number(m.Need("temperature"))}
}

// home takes the name of a climate, or twelve months.
func (p *parser) home(v strictjson.Value) Home {
	switch v.Kind() {
	case strictjson.Absent:
		return Home{}
	case strictjson.String:
		return Home{Name: p.text(v, maxWord)}
	case strictjson.Object:
		var h Home
		for _, item := range list(v.Object("months").Need("months"), 12, 12) {
			h.Months = append(h.Months, p.air(item))
		}
		return h
	}
	v.Fault(fault.WrongType, "a home is a name or an object with months", "a name, or {\"months\": […]}")
	return Home{}
}

// exposure takes a name and any further numbers and words; what they mean is
// for package moisture to say.
func (p *parser) exposure(v strictjson.Value) moisture.Event {
	e := moisture.Event{}
	members, ok := v.AnyObject(0, maxExposureTerms)
	if !ok {
		return e
	}
	for _, m := range members {
		switch {
		case m.Key() == "name":
			e.Name = p.text(m, maxWord)
		case m.Key() == "patch":
			e.Patch = p.patch(m)
		case m.Kind() == strictjson.Number:
			if e.Values == nil {
				e.Values = map[string]float64{}
			}
			e.Values[m.Key()] = p.number(m)
		case m.Kind() == strictjson.String:
			if e.Words == nil {
				e.Words = map[string]string{}
			}
			e.Words[m.Key()] = p.text(m, maxWord)
		default:
			m.Fault(fault.WrongType, "an exposure takes numbers and words", "a number or text")
		}
	}
	return e
}

// patch takes the centre of the part of a face that is wetted or heated, with the size of a
// rectangle or the radius of a circle.
func (p *parser) patch(v strictjson.Value) *moisture.Patch {
	m := v.Object("centre", "size", "radius")
	if m == nil {
		return nil
	}
	var patch moisture.Patch
	if c := p.pair(m.Need("centre")); c != nil {
		patch.Centre = [2]float64{float64(c[0]), float64(c[1])}
	}
	size, radius := m.Get("size"), m.Get("radius")
	switch {
	case size.Here() == radius.Here():
		v.Fault(fault.WrongType, "a patch has the size of a rectangle or the radius of a circle", `"size": [width, height] or "radius"`)
	case radius.Here():
		patch.Radius = float64(p.length(radius))
		p.notZero(radius, patch.Radius)
	default:
		if s := p.pair(size); s != nil {
			patch.Size = [2]float64{float64(s[0]), float64(s[1])}
		}
	}
	return &patch
}
