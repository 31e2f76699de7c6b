package outline

import (
	"math"
	"strconv"
	"strings"
)

// ring is one subpath as corners.
type ring struct {
	corners []xy
	closed  bool
}

// scanner reads the numbers and letters of path data, SVG 1.1 §8.3.
type scanner struct {
	text string
	at   int
}

func (s *scanner) skip() {
	for s.at < len(s.text) && strings.IndexByte(" \t\r\n\f,", s.text[s.at]) >= 0 {
		s.at++
	}
}

// command takes a letter, 0 when a number or the end is next.
func (s *scanner) command() byte {
	s.skip()
	if s.at < len(s.text) && strings.IndexByte("MmLlHhVvCcSsQqTtAaZz", s.text[s.at]) >= 0 {
		s.at++
		return s.text[s.at-1]
	}
	return 0
}

func (s *scanner) end() bool {
	s.skip()
	return s.at >= len(s.text)
}

// number takes one number.
func (s *scanner) number() (float64, bool) {
	s.skip()
	from := s.at
	digits := func() bool {
		n := s.at
		for s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9' {
			s.at++
		}
		return s.at > n
	}
	sign := func() {
		if s.at < len(s.text) && (s.text[s.at] == '+' || s.text[s.at] == '-') {
			s.at++
		}
	}
	sign()
	some := digits()
	if s.at < len(s.text) && s.text[s.at] == '.' {
		s.at++
		some = digits() || some
	}
	if !some {
		return 0, false
	}
	if back := s.at; s.at < len(s.text) && (s.text[s.at] == 'e' || s.text[s.at] == 'E') {
		s.at++
		if sign(); !digits() {
			s.at = back
		}
	}
	v, err := strconv.ParseFloat(s.text[from:s.at], 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// flag takes the 0 or 1 of an arc, which needs no blank behind it.
func (s *scanner) flag() (bool, bool) {
	s.skip()
	if s.at < len(s.text) && (s.text[s.at] == '0' || s.text[s.at] == '1') {
		s.at++
		return s.text[s.at-1] == '1', true
	}
	return false, false
}

// numbers takes a whole text of numbers.
func numbers(text string) ([]float64, bool) {
	s := &scanner{text: text}
	var all []float64
	for !s.end() {
		v, ok := s.number()
		if !ok || len(all) >= 2*mostCorners {
			return nil, false
		}
		all = append(all, v)
	}
	return all, true
}

// tracer turns path data into rings of corners.
type tracer struct {
	scanner
	flat   float64 // how far a chord may lie from its curve, in the path's own units
	rings  []ring
	at     xy
	start  xy
	handle xy // the last control point of a curve, for smooth ones
	last   byte
	count  int
}

// counts is how many numbers each command takes.
var counts = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// trace reads path data. Not ok where the grammar is broken or there are too many
// corners; what says where.
func trace(d string, flat float64) (rings []ring, ok bool, where int) {
	t := &tracer{scanner: scanner{text: d}, flat: flat}
	command := byte(0)
	for !t.end() {
		if c := t.command(); c != 0 {
			command = c
		} else if command == 'M' || command == 'm' {
			command-- // further pairs are lines: L, l
		} else if command == 0 || command == 'Z' || command == 'z' {
			return nil, false, t.scanner.at
		}
		if len(t.rings) == 0 && command != 'M' && command != 'm' {
			return nil, false, t.scanner.at
		}
		if !t.draw(command) || t.count > mostCorners {
			return nil, false, t.scanner.at
		}
	}
	return t.rings, true, 0
}

// draw carries one command out.
func (t *tracer) draw(command byte) bool {
	kind, relative := command, command >= 'a'
	if relative {
		kind -= 'a' - 'A'
	}
	var v [7]float64
	for i := range counts[kind] {
		var ok bool
		if kind == 'A' && (i == 3 || i == 4) {
			var f bool
			if f, ok = t.flag(); f {
				v[i] = 1
			}
		} else {
			v[i], ok = t.number()
		}
		if !ok {
			return false
		}
	}
	place := func(i int) xy {
		if relative {
			return xy{t.at[0] + v[i], t.at[1] + v[i+1]}
		}
		return xy{v[i], v[i+1]}
	}
	smooth := func(after ...byte) xy {
		for _, k := range after {
			if t.last == k {
				return xy{2*t.at[0] - t.handle[0], 2*t.at[1] - t.handle[1]}
			}
		}
		return t.at
	}
	switch kind {
	case 'M':
		t.at = place(0)
		t.start = t.at
		t.rings = append(t.rings, ring{corners: []xy{t.at}})
		t.count++
	case 'Z':
		t.rings[len(t.rings)-1].closed = true
		t.at = t.start
	case 'L':
		t.line(place(0))
	case 'H':
		if relative {
			v[0] += t.at[0]
		}
		t.line(xy{v[0], t.at[1]})
	case 'V':
		if relative {
			v[0] += t.at[1]
		}
		t.line(xy{t.at[0], v[0]})
	case 'C':
		t.cubic(place(0), place(2), place(4))
	case 'S':
		t.cubic(smooth('C', 'S'), place(0), place(2))
	case 'Q':
		t.quadratic(place(0), place(2))
	case 'T':
		t.quadratic(smooth('Q', 'T'), place(0))
	case 'A':
		t.arc(v[0], v[1], v[2], v[3] != 0, v[4] != 0, place(5))
	}
	t.last = kind
	return true
}

// line adds a corner; after a closed subpath it begins the next at the same place.
func (t *tracer) line(to xy) {
	if t.rings[len(t.rings)-1].closed {
		t.rings = append(t.rings, ring{corners: []xy{t.start}})
	}
	r := &t.rings[len(t.rings)-1]
	r.corners = append(r.corners, to)
	t.at = to
	t.count++
}
