package layout

import "math"

// motion is a turn of a section in its plane, as seen on the sawn end or from
// above: quarter turns counter-clockwise, and before them a mirror left to right
// where the wood was rolled over or its ends were changed.
type motion struct {
	mirror   bool // (x, y) → (−x, y), first
	quarters int  // 0 to 3, then
}

// of carries a place, told from the middle, along.
func (m motion) of(p XY) XY {
	if m.mirror {
		p[0] = 0 - p[0]
	}
	for range m.quarters {
		p = XY{0 - p[1], p[0]}
	}
	return p
}

// then is m followed by n.
func (m motion) then(n motion) motion {
	if n.mirror { // a mirror after a turn is that turn the other way after the mirror
		return motion{!m.mirror, (4 - m.quarters + n.quarters) % 4}
	}
	return motion{m.mirror, (m.quarters + n.quarters) % 4}
}

// back undoes m. A mirror and a turn undo themselves.
func (m motion) back() motion {
	if m.mirror {
		return m
	}
	return motion{quarters: (4 - m.quarters) % 4}
}

// ring carries an axis of rings [degrees] along: it is the same after half a turn.
func (m motion) ring(angle float64) float64 {
	if m.mirror && angle != 0 {
		angle = -angle
	}
	if m.quarters%2 == 1 {
		return within180(angle + 90)
	}
	return angle
}

// swaps reports whether width and height change places.
func (m motion) swaps() bool { return m.quarters%2 == 1 }

// outline carries an outline along and keeps it counter-clockwise.
func (m motion) outline(of []XY) []XY {
	out := make([]XY, len(of))
	for i, p := range of {
		k := i
		if m.mirror {
			k = len(of) - 1 - i
		}
		out[k] = m.of(p)
	}
	return out
}

// sliceMotion is what a turn does to a slice, seen from above:
//
//	none         (x, y) stays
//	end-for-end  half a turn about z: (x, y) → (−x, −y)
//	over         half a turn about x: (x, y) → (x, −y)
//	both         one after the other: (x, y) → (−x, y)
func sliceMotion(turn string) motion {
	switch turn {
	case "end-for-end":
		return motion{quarters: 2}
	case "over":
		return motion{mirror: true, quarters: 2}
	case "both":
		return motion{mirror: true}
	}
	return motion{}
}

// stickMotion is what a stick's turn before its glue-up does, seen on the sawn
// end: quarters counter-clockwise about its length, then a mirror left to right
// when its ends are changed, which shows the other end.
func stickMotion(turn string, endForEnd bool) motion {
	m := motion{}
	for i, word := range StickTurns {
		if word == turn {
			m.quarters = i
		}
	}
	if endForEnd {
		m = m.then(motion{mirror: true})
	}
	return m
}

// onto moves a place to the line v where rounding has left it just beside.
func onto(p, v float64) float64 {
	const rounding = 1e-9 // mm
	if math.Abs(p-v) < rounding {
		return v
	}
	return p
}
