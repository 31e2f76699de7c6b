package layout

import (
	"math"
	"slices"
)

// Line is a glue line: the longest straight chain of joints across vertices, one
// path for a crack however many pieces it passes. Every joint is on one line.
//
// A line runs to the right, or upwards where it is upright. Seen along From→To a
// joint that is not Reversed has its piece A on the left; a Reversed one has it
// on the right.
//
// A path that turns once follows one line to its end within the board and another on
// from there. It runs either way; Lines gives none, see Turns.
type Line struct {
	Joints   []LineJoint // in order From→To
	From, To XY
	Length   float64 // mm, along the path
	Corner   int     // number of the joint before which the path turns, 0 where it is straight
	Via      XY      // where it turns
}

// Arm is the straight part of a line on which one of its joints lies: where it begins
// [mm], its direction (dimensionless), and how far along the line that is [mm].
func (l *Line) Arm(joint int) (from, d XY, at float64) {
	to := l.To
	switch from = l.From; {
	case l.Corner == 0:
	case joint < l.Corner:
		to = l.Via
	default:
		from, at = l.Via, l.Joints[l.Corner].At
	}
	length := distance(from, to)
	return from, XY{(to[0] - from[0]) / length, (to[1] - from[1]) / length}, at
}

// Place is where a distance from the line's start [mm] lies on the board.
func (l *Line) Place(s float64) XY {
	last := 0
	if l.Corner > 0 && s > l.Joints[l.Corner].At {
		last = l.Corner
	}
	from, d, at := l.Arm(last)
	return XY{from[0] + (s-at)*d[0], from[1] + (s-at)*d[1]}
}

// LineJoint is one joint of a line.
type LineJoint struct {
	Joint    int     // index into Board.Joints
	Reversed bool    // the joint's own From→To runs against the line
	At       float64 // mm from the line's start to where the joint begins
}

// Lines finds the glue lines of the board in the order of their first joint in
// Board.Joints. Two joints are on one line when they share a vertex, leave it in
// opposite directions, and every vertex of the whole line lies within Snap of the
// straight line between its ends.
func (b *Board) Lines() []Line {
	w := newLineWork(b)
	var out []Line
	for j := range b.Joints {
		if !w.done[j] {
			out = append(out, w.line(j))
		}
	}
	return out
}

type lineWork struct {
	b    *Board
	at   map[int][]jointEnd // by vertex
	done []bool
}

func newLineWork(b *Board) *lineWork {
	w := &lineWork{b: b, at: make(map[int][]jointEnd, 2*len(b.Joints)), done: make([]bool, len(b.Joints))}
	for j := range b.Joints {
		w.at[w.vertex(j, false)] = append(w.at[w.vertex(j, false)], jointEnd{j, false})
		w.at[w.vertex(j, true)] = append(w.at[w.vertex(j, true)], jointEnd{j, true})
	}
	return w
}

// jointEnd is one end of a joint: To or From.
type jointEnd struct {
	joint int
	to    bool
}

// vertex gives the number of the vertex at an end of a joint.
func (w *lineWork) vertex(j int, to bool) int {
	jt := &w.b.Joints[j]
	e, place := &w.b.Partition.Edges[jt.Edges[0]], jt.From
	if to {
		e, place = &w.b.Partition.Edges[jt.Edges[len(jt.Edges)-1]], jt.To
	}
	v := w.b.Partition.Vertices
	if distance(v[e.V0], place) <= distance(v[e.V1], place) {
		return e.V0
	}
	return e.V1
}

func (w *lineWork) place(e jointEnd) XY {
	if e.to {
		return w.b.Joints[e.joint].To
	}
	return w.b.Joints[e.joint].From
}

// line collects the line through a joint, the joint's own way round first.
func (w *lineWork) line(j int) Line {
	w.done[j] = true
	chain := []jointEnd{{j, true}} // the end each joint is left by
	for back := range 2 {
		if back == 1 {
			chain = turnedRound(chain)
		}
		for {
			next, ok := w.next(chain)
			if !ok {
				break
			}
			w.done[next.joint] = true
			chain = append(chain, next)
		}
	}
	first := jointEnd{chain[0].joint, !chain[0].to}
	if d := sub(w.place(chain[len(chain)-1]), w.place(first)); d[0] < -Snap || math.Abs(d[0]) <= Snap && d[1] < 0 {
		chain = turnedRound(chain)
		first = jointEnd{chain[0].joint, !chain[0].to}
	}
	l := Line{From: w.place(first), To: w.place(chain[len(chain)-1])}
	l.Length = distance(l.From, l.To)
	for _, e := range chain {
		l.Joints = append(l.Joints, LineJoint{Joint: e.joint, Reversed: !e.to, At: distance(l.From, w.place(jointEnd{e.joint, !e.to}))})
	}
	return l
}

// turnedRound turns a chain round: each joint is then left by its other end.
func turnedRound(chain []jointEnd) []jointEnd {
	out := slices.Clone(chain)
	slices.Reverse(out)
	for i := range out {
		out[i].to = !out[i].to
	}
	return out
}

// next finds the joint that carries a chain straight on.
func (w *lineWork) next(chain []jointEnd) (jointEnd, bool) {
	last := chain[len(chain)-1]
	for _, e := range w.at[w.vertex(last.joint, last.to)] {
		if w.done[e.joint] || e.joint == last.joint {
			continue
		}
		on := jointEnd{e.joint, !e.to}
		if w.straight(append(slices.Clip(chain), on)) {
			return on, true
		}
	}
	return jointEnd{}, false
}

// straight tells whether all vertices of a chain lie in order within Snap of the
// line between its ends.
func (w *lineWork) straight(chain []jointEnd) bool {
	a := w.place(jointEnd{chain[0].joint, !chain[0].to})
	d := sub(w.place(chain[len(chain)-1]), a)
	length := math.Hypot(d[0], d[1])
	if length == 0 {
		return false
	}
	last := 0.0
	for _, e := range chain[:len(chain)-1] {
		q := sub(w.place(e), a)
		t := dot(q, d) / length
		if t <= last || t >= length || math.Abs(cross(d, q)) > Snap*length {
			return false
		}
		last = t
	}
	return true
}
