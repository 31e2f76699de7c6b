package outline

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// outlines traces a shape's corners and moves them. False when it cannot be a piece,
// which has been told.
func (r *reader) outlines(s *shape, m affine) bool {
	flat := r.o.tolerance() / r.unit / math.Max(m.stretch(), 1e-12)
	t := &tracer{flat: flat}
	ok := true
	switch s.name {
	case "use":
		r.refuse(s, fault.NotAllowed, "is a copy of another shape", "", "unlink the copy, so that it is a shape of its own")
		return false
	case "path":
		var where int
		if t.rings, ok, where = trace(s.attrs["d"], flat); !ok {
			found := s.attrs["d"]
			found = found[:min(where, len(found))]
			r.refuse(s, fault.Syntax, "has path data that cannot be read", fmt.Sprintf("after %d letters: …%s", len(found), fault.Short(found[max(0, len(found)-20):])), "M, L, H, V, C, S, Q, T, A, Z with their numbers")
			return false
		}
	case "polygon", "polyline":
		ok = t.points(s.attrs["points"], s.name == "polygon")
	case "rect":
		ok = t.rect(s.number)
	case "circle", "ellipse":
		ok = t.ellipse(s.number, s.name == "circle")
	}
	if !ok {
		r.refuse(s, fault.WrongType, "has a size or points that cannot be read", "", "numbers above 0 without a unit")
		return false
	}
	return r.kept(s, t.rings, m)
}

// kept moves the rings and checks that each can be a piece.
func (r *reader) kept(s *shape, rings []ring, m affine) bool {
	for i := range rings {
		c := rings[i].corners
		for k := range c {
			c[k] = m.of(c[k])
			if math.IsNaN(c[k][0]+c[k][1]) || math.IsInf(c[k][0]+c[k][1], 0) {
				r.refuse(s, fault.OutOfRange, "has a corner that is no finite place", "", "finite numbers")
				return false
			}
		}
		if n := len(c); n > 2 && math.Hypot(c[0][0]-c[n-1][0], c[0][1]-c[n-1][1])*r.unit <= snap {
			rings[i].closed = true
			rings[i].corners = c[:n-1]
		}
	}
	for i := range rings {
		switch c := rings[i].corners; {
		case len(c) == 1 && len(rings) > 1: // a move and nothing drawn
			continue
		case len(c) < 3:
			r.refuse(s, fault.Outline, "encloses nothing", fmt.Sprintf("%d corners", len(c)), "at least three corners that enclose wood")
			return false
		case !rings[i].closed:
			r.refuse(s, fault.Outline, "is not closed", "", "close the path (Z)")
			return false
		default:
			s.rings = append(s.rings, rings[i])
		}
	}
	if len(s.rings) == 0 {
		r.refuse(s, fault.Outline, "encloses nothing", "", "at least three corners that enclose wood")
		return false
	}
	for i := range s.rings {
		for k := range s.rings {
			if i != k && layout.Inside(s.rings[k].corners, s.rings[i].corners[0]) {
				r.refuse(s, fault.Outline, "has a hole in it", "", "a piece is solid; a ring of wood is several pieces")
				return false
			}
		}
	}
	return true
}

// snap is how near [mm] the ends of a path must come to be one place: as in layout.
const snap = 0.05

func (r *reader) refuse(s *shape, rule fault.Rule, what, found, allowed string) {
	r.faults.Add(fault.Fault{Rule: rule, Pointer: s.pointer(), Detail: s.told() + " " + what, Found: found, Allowed: allowed})
}

// number reads an attribute that is a plain number, or def when it is absent.
func (s *shape) number(key string, def float64) (float64, bool) {
	text, ok := s.attrs[key]
	if !ok {
		return def, true
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(text), "px"), 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// points takes the corners of a polygon.
func (t *tracer) points(text string, closed bool) bool {
	v, ok := numbers(text)
	if !ok || len(v)%2 == 1 || len(v) == 0 {
		return false
	}
	r := ring{closed: closed}
	for i := 0; i < len(v); i += 2 {
		r.corners = append(r.corners, xy{v[i], v[i+1]})
	}
	t.rings = append(t.rings, r)
	return true
}

// get reads a named number.
type get func(key string, def float64) (float64, bool)

// all reads several numbers, 0 for what is absent.
func (g get) all(keys ...string) ([]float64, bool) {
	out, good := make([]float64, len(keys)), true
	for i, key := range keys {
		v, ok := g(key, 0)
		out[i], good = v, good && ok
	}
	return out, good
}

// rect takes a rectangle, its corners rounded where it tells (SVG 1.1 §9.2).
func (t *tracer) rect(number get) bool {
	v, ok := number.all("x", "y", "width", "height")
	rx, ok1 := number("rx", math.NaN())
	ry, ok2 := number("ry", math.NaN())
	if !ok || !ok1 || !ok2 || !(v[2] > 0) || !(v[3] > 0) || rx < 0 || ry < 0 {
		return false
	}
	if math.IsNaN(rx) {
		rx = ry
	}
	if math.IsNaN(ry) {
		ry = rx
	}
	x, y, w, h := v[0], v[1], v[2], v[3]
	rx, ry = math.Min(rx, w/2), math.Min(ry, h/2)
	if !(rx > 0) || !(ry > 0) {
		t.rings = append(t.rings, ring{closed: true, corners: []xy{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}})
		return true
	}
	t.begin(xy{x + rx, y})
	for _, side := range [][2]xy{{{x + w - rx, y}, {x + w, y + ry}}, {{x + w, y + h - ry}, {x + w - rx, y + h}}, {{x + rx, y + h}, {x, y + h - ry}}, {{x, y + ry}, {x + rx, y}}} {
		if t.at != side[0] {
			t.line(side[0])
		}
		t.arc(rx, ry, 0, false, true, side[1])
	}
	t.rings[len(t.rings)-1].closed = true
	return true
}

func (t *tracer) begin(at xy) {
	t.at, t.start = at, at
	t.rings = append(t.rings, ring{corners: []xy{at}})
}

// ellipse takes a circle or an ellipse.
func (t *tracer) ellipse(number get, circle bool) bool {
	v, ok := number.all("cx", "cy", "r", "rx", "ry")
	rx, ry := v[3], v[4]
	if circle {
		rx, ry = v[2], v[2]
	}
	if !ok || !(rx > 0) || !(ry > 0) {
		return false
	}
	t.begin(xy{v[0] + rx, v[1]})
	t.arc(rx, ry, 0, false, true, xy{v[0] - rx, v[1]})
	t.arc(rx, ry, 0, false, true, xy{v[0] + rx, v[1]})
	t.rings[len(t.rings)-1].closed = true
	return true
}
