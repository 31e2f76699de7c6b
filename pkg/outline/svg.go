package outline

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Bounds of a drawing.
const (
	mostShapes  = 20_000
	mostDepth   = 64
	mostCorners = 200_000 // of one shape
	mostFaults  = 100
)

// shape is one outline of a drawing.
type shape struct {
	name    string // of its element
	id      string
	line    int
	index   int // among the shapes, from 0
	attrs   map[string]string
	rings   []ring // in the units of the drawing, moved by every transform
	ignored bool
}

// told is how a fault names a shape.
func (s *shape) told() string {
	if s.id != "" {
		return fmt.Sprintf("%s %q in line %d", s.name, fault.Short(s.id), s.line)
	}
	return fmt.Sprintf("%s in line %d", s.name, s.line)
}

func (s *shape) pointer() string { return "/shapes/" + strconv.Itoa(s.index) }

// group is what an element hands to those inside it.
type group struct {
	matrix affine
	style  map[string]string // fill, display, visibility, as they are inherited
	skip   bool              // definitions and whatever is not drawn
}

// reader walks a drawing.
type reader struct {
	o      Options
	faults fault.Collector
	shapes []shape
	of     []*shape // of each piece
	ids    []string // of each piece, as layout names it
	stack  []group
	unit   float64 // mm of one unit of the drawing
	root   bool
	styled bool // the drawing has a style sheet
}

// containers are elements whose content is drawn as it stands.
var containers = map[string]bool{"svg": true, "g": true, "a": true, "switch": true}

// drawn are the elements that are outlines.
var drawn = map[string]bool{"path": true, "rect": true, "polygon": true, "polyline": true, "circle": true, "ellipse": true}

// read walks the whole drawing. False when it is no drawing that can be read.
func (r *reader) read(src []byte) bool {
	d := xml.NewDecoder(bytes.NewReader(src))
	d.Strict = true
	d.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) {
		if strings.EqualFold(charset, "utf-8") || strings.EqualFold(charset, "us-ascii") {
			return in, nil
		}
		return nil, fmt.Errorf("its letters are in %s: save it as UTF-8", fault.Short(charset))
	}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line, _ := d.InputPos()
			r.faults.Add(fault.Fault{Rule: fault.Syntax, Detail: fmt.Sprintf("the drawing is not XML that can be read, in line %d", line), Found: fault.Short(err.Error()), Allowed: "an SVG document"})
			return false
		}
		switch e := tok.(type) {
		case xml.StartElement:
			line, _ := d.InputPos()
			if !r.open(e, line) {
				return false
			}
		case xml.EndElement:
			r.stack = r.stack[:len(r.stack)-1]
		}
	}
	if !r.root {
		r.faults.Add(fault.Fault{Rule: fault.Syntax, Detail: "there is no drawing in it", Found: "nothing", Allowed: "an SVG document"})
	}
	return r.root
}

// open takes one element. False ends the reading.
func (r *reader) open(e xml.StartElement, line int) bool {
	name, attrs := e.Name.Local, map[string]string{}
	for _, a := range e.Attr {
		if a.Name.Space == "" {
			attrs[a.Name.Local] = a.Value
		}
	}
	if !r.root {
		if name != "svg" {
			r.faults.Add(fault.Fault{Rule: fault.Syntax, Detail: "the document is not a drawing", Found: fault.Short(name), Allowed: "an SVG document"})
			return false
		}
		r.root = true
		r.unit = r.scale(attrs)
		r.stack = append(r.stack, group{matrix: identity, style: map[string]string{}})
		return true
	}
	if len(r.stack) >= mostDepth {
		r.faults.Add(fault.Fault{Rule: fault.TooLarge, Detail: "the drawing is nested too deeply", Allowed: fmt.Sprintf("up to %d levels", mostDepth)})
		return false
	}
	above := r.stack[len(r.stack)-1]
	here := group{matrix: above.matrix, style: above.style, skip: above.skip}
	r.styled = r.styled || name == "style"
	if !above.skip && (containers[name] || drawn[name] || name == "use") {
		here.style = inherited(above.style, attrs)
		here.skip = here.style["display"] == "none"
	} else {
		here.skip = true
	}
	if !here.skip {
		if !r.take(name, attrs, line, &here) {
			return false
		}
	}
	r.stack = append(r.stack, here)
	return true
}

// take moves a container, or keeps a shape.
func (r *reader) take(name string, attrs map[string]string, line int, here *group) bool {
	s := shape{name: name, id: attrs["id"], line: line, index: len(r.shapes), attrs: attrs}
	if t := attrs["transform"]; t != "" {
		m, ok := transform(t)
		if !ok {
			r.faults.Add(fault.Fault{Rule: fault.Syntax, Pointer: s.pointer(), Detail: "the transform of " + s.told() + " cannot be read", Found: fault.Short(t), Allowed: "matrix, translate, scale, rotate, skewX, skewY"})
			here.skip = true
			if !containers[name] {
				r.shapes = append(r.shapes, shape{ignored: true})
			}
			return true
		}
		here.matrix = here.matrix.times(m)
	}
	if name == "svg" { // one within the other
		x, _ := strconv.ParseFloat(attrs["x"], 64)
		y, _ := strconv.ParseFloat(attrs["y"], 64)
		if attrs["viewBox"] != "" {
			r.faults.Add(fault.Fault{Rule: fault.NotAllowed, Pointer: s.pointer(), Detail: s.told() + " is a drawing within the drawing, with a viewBox of its own", Fix: "ungroup it"})
			here.skip = true
		}
		here.matrix = here.matrix.times(affine{a: 1, d: 1, e: x, f: y})
	}
	if containers[name] {
		return true
	}
	if len(r.shapes) >= mostShapes {
		r.faults.Add(fault.Fault{Rule: fault.TooLarge, Detail: "the drawing has too many shapes", Allowed: fmt.Sprintf("up to %d", mostShapes)})
		return false
	}
	if v := here.style["visibility"]; v == "hidden" || v == "collapse" {
		s.ignored = true
	}
	s.attrs["fill"] = here.style["fill"]
	if !s.ignored && !r.outlines(&s, here.matrix) {
		s.ignored = true
	}
	r.shapes = append(r.shapes, s)
	return !r.faults.Full()
}

// inherited is the style of an element: presentation attributes, and over them those
// of its style attribute.
func inherited(above, attrs map[string]string) map[string]string {
	out := map[string]string{}
	for _, key := range []string{"fill", "visibility"} {
		if v, ok := above[key]; ok {
			out[key] = v
		}
	}
	set := func(key, v string) {
		if v = strings.TrimSpace(v); v != "" && v != "inherit" {
			out[key] = v
		}
	}
	for _, key := range []string{"fill", "visibility", "display"} {
		set(key, attrs[key])
	}
	for _, part := range strings.Split(attrs["style"], ";") {
		key, v, _ := strings.Cut(part, ":")
		if key = strings.ToLower(strings.TrimSpace(key)); key == "fill" || key == "visibility" || key == "display" {
			set(key, strings.TrimSuffix(strings.TrimSpace(v), "!important"))
		}
	}
	return out
}

// scale is how many mm one unit of the drawing is.
func (r *reader) scale(attrs map[string]string) float64 {
	unit := r.o.mm(1)
	if r.o.Scale != 0 {
		return unit * r.o.Scale
	}
	box, ok := numbers(attrs["viewBox"])
	if !ok || len(box) != 4 || !(box[2] > 0) || !(box[3] > 0) {
		return unit
	}
	w, wide := absolute(attrs["width"])
	h, high := absolute(attrs["height"])
	if !wide || !high {
		return unit
	}
	kx, ky := w/box[2], h/box[3]
	if math.Abs(kx-ky) > 0.001*kx { // one tenth of a per cent: rounded decimals of a drawing program
		r.faults.Add(fault.Fault{Rule: fault.NotAllowed, Pointer: "/viewBox", Detail: "the drawing is scaled otherwise across than down, so its measure is not known",
			Found: fmt.Sprintf("%.4g and %.4g mm a unit", kx, ky), Fix: "give width and height in the proportion of viewBox, or a scale"})
	}
	return kx
}

// absolute reads a length with a unit of the world, in mm; CSS pixels say nothing of
// the size of a board.
func absolute(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	for unit, mm := range map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6} {
		if number, ok := strings.CutSuffix(text, unit); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			return v * mm, err == nil && v > 0 && !math.IsInf(v, 0)
		}
	}
	return 0, false
}
