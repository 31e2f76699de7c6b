package pair

import (
	"strconv"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// readPlain reads the bodies that have nothing wrong with them and nothing odd
// in them, in a fraction of the time that a tree with pointers takes. Of
// anything else, be it a fault or only an escape in a text, it says no, and Read
// goes the careful way. It must never take what Read would refuse, nor read it
// differently; a fuzz test holds the two together.
func readPlain(src []byte) (Request, bool) {
	var q Request
	s := scanner{src: src}
	var a, b, change bool
	ok := s.object(func(key string) bool {
		switch key {
		case "a":
			return once(&a) && s.piece(&q.A)
		case "b":
			return once(&b) && s.piece(&q.B)
		case "moisture":
			return once(&change) && s.moisture(&q)
		case "length":
			return q.Length == 0 && s.number(&q.Length, MinLength, MaxLength)
		case "thickness":
			return q.Thickness == 0 && s.number(&q.Thickness, MinLength, MaxLength)
		}
		return false
	})
	return q, ok && s.atEnd() && a && b && change
}

func once(seen *bool) bool {
	first := !*seen
	*seen = true
	return first
}

func (s *scanner) piece(p *Piece) bool {
	var ring bool
	ok := s.object(func(key string) bool {
		switch key {
		case "species":
			return p.Species == "" && s.text(&p.Species) && len(p.Species) <= 100
		case "ring_angle":
			return once(&ring) && s.number(&p.RingAngle, -180, 180)
		case "grain":
			var word string
			if p.Grain != "" || !s.text(&word) {
				return false
			}
			p.Grain = Grain(word)
			return p.Grain == Up || p.Grain == Along || p.Grain == Across
		case "width":
			return p.Width == 0 && s.number(&p.Width, MinLength, MaxLength)
		case "moisture":
			var mc float64
			if p.Moisture != nil || !s.number(&mc, 0, MaxMoisture) {
				return false
			}
			p.Moisture = &mc
			return true
		}
		return false
	})
	return ok && p.Species != "" && ring
}

// moisture takes exactly one of the three ways to give a change.
func (s *scanner) moisture(q *Request) bool {
	var any bool
	ok := s.object(func(key string) bool {
		if !once(&any) {
			return false
		}
		switch key {
		case "mc":
			return s.two(func(to *float64) bool { return s.number(to, 0, MaxMoisture) }, &q.From, &q.To)
		case "air":
			return s.two(s.room, &q.From, &q.To)
		case "change":
			var change float64
			if !s.number(&change, -DefaultMoisture, MaxMoisture-DefaultMoisture) {
				return false
			}
			q.From, q.To = DefaultMoisture, DefaultMoisture+change
			return true
		}
		return false
	})
	return ok && any
}

// two takes {"from": …, "to": …}.
func (s *scanner) two(take func(*float64) bool, from, to *float64) bool {
	var f, t bool
	ok := s.object(func(key string) bool {
		switch key {
		case "from":
			return once(&f) && take(from)
		case "to":
			return once(&t) && take(to)
		}
		return false
	})
	return ok && f && t
}

func (s *scanner) room(mc *float64) bool {
	var r moisture.Room
	var h, t bool
	ok := s.object(func(key string) bool {
		switch key {
		case "humidity":
			return once(&h) && s.number(&r.Humidity, 0, moisture.MaxHumidity)
		case "temperature":
			return once(&t) && s.number(&r.Temperature, moisture.MinTemperature, moisture.MaxTemperature)
		}
		return false
	})
	if !ok || !h || !t {
		return false
	}
	var err error
	*mc, err = r.EMC()
	return err == nil
}

// scanner walks over plain JSON.
type scanner struct {
	src []byte
	at  int
}

// next skips blanks and gives the byte that follows, 0 at the end.
func (s *scanner) next() byte {
	for s.at < len(s.src) {
		switch c := s.src[s.at]; c {
		case ' ', '\t', '\n', '\r':
			s.at++
		default:
			return c
		}
	}
	return 0
}

func (s *scanner) take(c byte) bool {
	if s.next() != c {
		return false
	}
	s.at++
	return true
}

func (s *scanner) atEnd() bool { return s.next() == 0 && s.at == len(s.src) }

// object hands every key to member, which must take the value.
func (s *scanner) object(member func(key string) bool) bool {
	if !s.take('{') {
		return false
	}
	if s.take('}') {
		return true
	}
	for {
		key, ok := s.plain()
		if !ok || !s.take(':') || !member(string(key)) {
			return false
		}
		if s.take('}') {
			return true
		}
		if !s.take(',') {
			return false
		}
	}
}

// plain takes a text of printable ASCII without escapes.
func (s *scanner) plain() ([]byte, bool) {
	if !s.take('"') {
		return nil, false
	}
	for i := s.at; i < len(s.src); i++ {
		switch c := s.src[i]; {
		case c == '"':
			text := s.src[s.at:i]
			s.at = i + 1
			return text, true
		case c < ' ' || c == '\\' || c > '~':
			return nil, false
		}
	}
	return nil, false
}

func (s *scanner) text(to *string) bool {
	text, ok := s.plain()
	*to = string(text)
	return ok && len(text) > 0
}

// number takes a number as JSON writes it, within lo to hi.
func (s *scanner) number(to *float64, lo, hi float64) bool {
	s.next()
	start := s.at
	digits := func() bool {
		from := s.at
		for s.at < len(s.src) && s.src[s.at]-'0' <= 9 {
			s.at++
		}
		return s.at > from
	}
	if s.at < len(s.src) && s.src[s.at] == '-' {
		s.at++
	}
	first := s.at
	if !digits() || s.src[first] == '0' && s.at > first+1 {
		return false
	}
	if s.at < len(s.src) && s.src[s.at] == '.' {
		s.at++
		if !digits() {
			return false
		}
	}
	if s.at < len(s.src) && (s.src[s.at] == 'e' || s.src[s.at] == 'E') {
		return false // nobody writes these by hand; the careful way reads them
	}
	if s.at-start > 20 {
		return false
	}
	v, err := strconv.ParseFloat(string(s.src[start:s.at]), 64)
	if err != nil || !(v >= lo && v <= hi) {
		return false
	}
	if v == 0 {
		v = 0 // −0 is 0
	}
	*to = v
	return true
}
