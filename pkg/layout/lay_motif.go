package layout

import (
	"fmt"
	"math"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// motif lays pieces again and again: the first repeat makes a group of copies, the
// next one copies of that group, and so on.
func (l *outlined) motif(pointer string, f *FreePiece, id string) bool {
	if len(f.Motif) == 0 {
		l.fault(fault.MissingKey, pointer+"/motif", "a repeat needs pieces to lay again", "at least one piece")
		return true
	}
	if f.Stock != "" || f.ID != "" || f.Outline != nil || f.Grain != (Fibres{}) || f.Ring != nil || f.Pith != nil {
		l.fault(fault.NotAllowed, pointer, "a motif has no stock, outline or rings of its own: its pieces have", "motif and repeat")
		return true
	}
	if n := len(f.Repeat); n < 1 || n > maxRepeats {
		l.fault(fault.WrongLength, pointer+"/repeat", "a motif needs repeats", fmt.Sprintf("1 to %d elements", maxRepeats))
		return true
	}
	group := []carried{{dx: XY{1, 0}, dy: XY{0, 1}}}
	ok, total := true, len(f.Motif)
	for i := range f.Repeat {
		here := at(pointer+"/repeat", i)
		copies, good := l.copies(here, &f.Repeat[i])
		if ok = ok && good; !good {
			continue
		}
		if total *= len(copies); !l.layer.room(here+"/count", total) {
			return true
		}
		next := make([]carried, 0, len(copies)*len(group))
		for _, c := range copies {
			for _, g := range group {
				next = append(next, g.then(c))
			}
		}
		group = next
	}
	for m := range f.Motif {
		here, f := at(pointer+"/motif", m), &f.Motif[m]
		if len(f.Motif) > 0 || len(f.Repeat) > 0 {
			l.fault(fault.NotAllowed, here, "a motif within a motif", "pieces; a second repeat repeats what the first made")
			continue
		}
		p, good := l.outline(here, f, id+"."+strconv.Itoa(m+1))
		if !good || !ok {
			continue
		}
		for k, c := range group {
			q := c.piece(p)
			q.ID += "." + strconv.Itoa(k+1)
			if !l.add(here, q) {
				return false
			}
		}
	}
	return true
}

// copies gives where each copy of a repeat lies.
func (l *outlined) copies(pointer string, a *Again) ([]carried, bool) {
	ok := l.whole(pointer+"/count", a.Count, 1, maxRows)
	var step, about XY
	for i := range step {
		v, good := l.lengthAt(pointer+"/step", i, a.Step[i], place)
		step[i], ok = v, ok && good
		if a.About != nil {
			v, good := l.lengthAt(pointer+"/about", i, a.About[i], place)
			about[i], ok = v, ok && good
		}
	}
	ok = l.number(pointer, "/turn", a.Turn, strictjson.Between(-360, 360, "degrees")) && ok
	if a.Mirror != "" {
		ok = l.word(pointer+"/mirror", a.Mirror, mirrors...) && ok
	}
	if !ok || !l.layer.room(pointer+"/count", a.Count) {
		return nil, false
	}
	all := make([]carried, a.Count)
	for k := range all {
		c := carried{dx: XY{1, 0}, dy: XY{0, 1}}
		if k%2 == 1 {
			switch a.Mirror {
			case "left-right":
				c.dx, c.axis, c.over = XY{-1, 0}, 180, true
			case "upside-down":
				c.dy, c.axis, c.over = XY{0, -1}, 0, true
			}
		}
		if turn := math.Mod(float64(k)*a.Turn, 360); turn != 0 {
			c = c.then(rotation(turn))
		}
		to := c.of(about)
		c.by = XY{about[0] - to[0] + float64(k)*step[0], about[1] - to[1] + float64(k)*step[1]}
		all[k] = c
	}
	return all, true
}

// carried is where a copy lies: dx and dy are where the directions of x and y went. A
// copy in a mirror is turned over, so that what was at an angle a lies at axis − a,
// else at axis + a.
type carried struct {
	dx, dy, by XY
	axis       float64 // degrees
	over       bool
}

// rotation turns about the origin, exactly for quarters.
func rotation(degrees float64) carried {
	s, c := math.Sincos(degrees * math.Pi / 180)
	if q := math.Round(degrees / 90); degrees == 90*q {
		s, c = math.Round(s), math.Round(c)
	}
	return carried{dx: XY{c, s}, dy: XY{0 - s, c}, axis: degrees}
}

// of carries a place along.
func (c carried) of(p XY) XY {
	return XY{c.dx[0]*p[0] + c.dy[0]*p[1] + c.by[0], c.dx[1]*p[0] + c.dy[1]*p[1] + c.by[1]}
}

// direction carries a direction along.
func (c carried) direction(p XY) XY { return sub(c.of(p), c.by) }

// angle carries the angle [degrees] of a direction along.
func (c carried) angle(a float64) float64 {
	if c.over {
		a = -a
	}
	return within180(math.Remainder(c.axis+a, 360))
}

// then is c followed by d.
func (c carried) then(d carried) carried {
	e := carried{dx: d.direction(c.dx), dy: d.direction(c.dy), by: d.of(c.by), over: c.over != d.over}
	if e.axis = d.axis + c.axis; d.over {
		e.axis = d.axis - c.axis
	}
	return e
}

// piece is a copy of a piece where it comes to lie.
func (c carried) piece(p Piece) Piece {
	q := p
	q.Outline = make([]XY, len(p.Outline))
	for i, v := range p.Outline {
		k := i
		if c.over {
			k = len(p.Outline) - 1 - i
		}
		q.Outline[k] = c.of(v)
	}
	if p.Grain.Up {
		if p.Pith != nil {
			at := c.of(*p.Pith)
			q.Pith = &at
		}
		if !p.RingUnknown {
			q.RingAngle = c.angle(p.RingAngle)
		}
		return q
	}
	// Long grain: its ring angle is told from the face and stays; turned over, the pith
	// goes to the other side of the fibres and of the mid-plane.
	q.Grain.Angle = c.angle(p.Grain.Angle)
	if p.Pith != nil {
		_, was := areaAndCentre(p.Outline)
		rel := XY{p.Pith[0] - dot(was, acrossFibres(p.Grain.Angle)), p.Pith[1]}
		if c.over {
			rel = XY{-rel[0], -rel[1]}
		}
		_, is := areaAndCentre(q.Outline)
		q.Pith = absolute(&rel, q.Grain, is)
	}
	return q
}
