package layout

import (
	"math"
	"slices"
)

// Line is a glue line: the longest chain of joints across vertices that runs straight or
// bends gently, one path for a crack however many pieces it passes, and into however many
// chords a curve is divided. Every joint is on one line.
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
	Corner   int     // number of the joint before which the path turns, 0 where it does not
	Via      XY      // where it turns
	arms     []arm   // one where it is straight
}

// arm is a straight part of a line.
type arm struct {
	joint   int // with which it begins
	from, d XY  // mm; dimensionless
	at      float64
}

// Arm is the straight part of a line on which one of its joints lies: where it begins
// [mm], its direction (dimensionless), and how far along the line that is [mm].
func (l *Line) Arm(joint int) (from, d XY, at float64) {
	a := &l.arms[l.armOf(joint)]
	return a.from, a.d, a.at
}

// armOf is the number of the straight part on which a joint lies.
func (l *Line) armOf(joint int) int {
	n := 0
	for n+1 < len(l.arms) && l.arms[n+1].joint <= joint {
		n++
	}
	return n
}

// Bends lists the joints before which the line goes on another way, gently or round a
// corner.
func (l *Line) Bends() []int {
	var out []int
	for i := range l.arms[1:] {
		out = append(out, l.arms[i+1].joint)
	}
	return out
}

// Place is where a distance from the line's start [mm] lies on the board.
func (l *Line) Place(s float64) XY {
	a := &l.arms[0]
	for i := range l.arms {
		if l.arms[i].at < s {
			a = &l.arms[i]
		}
	}
	return XY{a.from[0] + (s-a.at)*a.d[0], a.from[1] + (s-a.at)*a.d[1]}
}

// LineJoint is one joint of a line.
type LineJoint struct {
	Joint    int     // index into Board.Joints
	Reversed bool    // the joint's own From→To runs against the line
	At       float64 // mm from the line's start to where the joint begins
}

// Lines finds the glue lines of the board in the order of their first joint in
// Board.Joints. Two joints are on one straight chain when they share a vertex, leave it in
// opposite directions, and every vertex of the whole chain lies within Snap of the
// straight line between its ends. Chains that end at one vertex and bend there by no more
// than gentle are one line, where no third could be meant.
func (b *Board) Lines() []Line {
	w := newLineWork(b)
	var out []Line
	for _, chains := range w.bent(w.chains()) {
		out = append(out, w.line(chains))
	}
	return out
}

// gentle is the cosine of the sharpest bend that a line follows (25°): chords of an arc of
// 5 mm radius that keep within a tenth of a millimetre of it bend less, the sides of a
// polygon of up to fourteen corners more.
const gentle = 0.9063

// swept is the least cosine between two straight parts of one line (120°), so that no line
// comes back to where it began.
const swept = -0.5

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

// chains collects the straight chains of joints, the way of their first joint.
func (w *lineWork) chains() (out [][]jointEnd) {
	for j := range w.b.Joints {
		if w.done[j] {
			continue
		}
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
		out = append(out, chain)
	}
	return out
}

// bent joins straight chains that bend gently into each other.
func (w *lineWork) bent(chains [][]jointEnd) (out [][][]jointEnd) {
	type end struct {
		chain int
		last  bool // its last joint's end, else its first joint's start
	}
	ends := map[int][]end{}
	for i, c := range chains {
		first := c[0]
		first.to = !first.to
		at := [2]int{w.vertex(first.joint, first.to), w.vertex(c[len(c)-1].joint, c[len(c)-1].to)}
		ends[at[0]], ends[at[1]] = append(ends[at[0]], end{i, false}), append(ends[at[1]], end{i, true})
	}
	// outward is the direction of a chain, seen out of its end.
	outward := func(e end) XY {
		d := w.direction(chains[e.chain])
		if e.last {
			return XY{-d[0], -d[1]}
		}
		return d
	}
	on := map[end]end{}
	for _, es := range ends {
		with := make([][]int, len(es))
		for i := range es {
			for k := range es {
				if a, b := outward(es[i]), outward(es[k]); i != k && -dot(a, b) >= gentle {
					with[i] = append(with[i], k)
				}
			}
		}
		for i := range es {
			if len(with[i]) == 1 && len(with[with[i][0]]) == 1 {
				on[es[i]] = es[with[i][0]]
			}
		}
	}
	used := make([]bool, len(chains))
	for i := range chains {
		if used[i] {
			continue
		}
		used[i] = true
		line := [][]jointEnd{chains[i]}
		way := []XY{w.direction(chains[i])}
		for _, last := range [2]bool{true, false} {
			for e := (end{i, last}); ; {
				next, ok := on[e]
				if !ok || used[next.chain] {
					break
				}
				c := chains[next.chain]
				if next.last == last {
					c = turnedRound(c)
				}
				d := w.direction(c)
				if slices.ContainsFunc(way, func(o XY) bool { return dot(o, d) < swept }) {
					break
				}
				used[next.chain] = true
				way = append(way, d)
				if last {
					line = append(line, c)
				} else {
					line = slices.Insert(line, 0, c)
				}
				e = end{next.chain, !next.last}
			}
		}
		out = append(out, line)
	}
	return out
}

// direction is that from the start of a straight chain to its end.
func (w *lineWork) direction(c []jointEnd) XY {
	d := sub(w.place(c[len(c)-1]), w.place(jointEnd{c[0].joint, !c[0].to}))
	length := math.Hypot(d[0], d[1])
	return XY{d[0] / length, d[1] / length}
}

// line tells straight chains that follow each other as one line.
func (w *lineWork) line(chains [][]jointEnd) (l Line) {
	last := chains[len(chains)-1]
	from, to := w.place(jointEnd{chains[0][0].joint, !chains[0][0].to}), w.place(last[len(last)-1])
	if d := sub(to, from); d[0] < -Snap || math.Abs(d[0]) <= Snap && d[1] < 0 {
		from, to = to, from
		slices.Reverse(chains)
		for i := range chains {
			chains[i] = turnedRound(chains[i])
		}
	}
	l.From, l.To = from, to
	for _, c := range chains {
		begin := w.place(jointEnd{c[0].joint, !c[0].to})
		l.arms = append(l.arms, arm{len(l.Joints), begin, w.direction(c), l.Length})
		for _, e := range c {
			l.Joints = append(l.Joints, LineJoint{Joint: e.joint, Reversed: !e.to, At: l.Length + distance(begin, w.place(jointEnd{e.joint, !e.to}))})
		}
		l.Length += distance(begin, w.place(c[len(c)-1]))
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
