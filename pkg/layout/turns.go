package layout

// Turn is a path for a crack that follows one glue line to its end within the board,
// where it meets the flank of a piece or the corner of a mitre, and turns there once
// into another.
type Turn struct {
	Line
	Of       [2]int  // the two lines it follows, numbers in the list it was made from
	Reversed [2]bool // it follows them against their own way
	Skipped  int     // joints of the second that lie before the one it begins with, in the path's sense
}

// sharpest is the cosine of the sharpest turn of a path: a right angle, as nearly as it can
// be drawn. A crack that turned back further would part what it has parted already.
const sharpest = -0.05

// Turns lists the paths that turn once, for lines as Lines gives them.
func (b *Board) Turns(lines []Line) []Turn {
	w := newLineWork(b)
	rim := map[int]bool{}
	for i := range b.Partition.Edges {
		if e := &b.Partition.Edges[i]; e.Joint < 0 {
			rim[e.V0], rim[e.V1] = true, true
		}
	}
	type place struct{ line, at int }
	of := make([]place, len(b.Joints))
	for i := range lines {
		for k, lj := range lines[i].Joints {
			of[lj.Joint] = place{i, k}
		}
	}
	var out []Turn
	for i := range lines {
		for _, atStart := range [2]bool{false, true} {
			first := lines[i].toEnd(atStart)
			end := jointEnd{first[len(first)-1].Joint, !first[len(first)-1].Reversed}
			v := w.vertex(end.joint, end.to)
			if rim[v] {
				continue
			}
			for _, e := range w.at[v] {
				o := of[e.joint]
				if o.line == i {
					continue
				}
				second, back := lines[o.line].onFrom(o.at, e.to)
				if len(second) == len(lines[o.line].Joints) && o.line < i {
					continue // both end here: the path is that of the other, seen from its other end
				}
				t := Turn{Of: [2]int{i, o.line}, Reversed: [2]bool{atStart, back}, Skipped: len(lines[o.line].Joints) - len(second)}
				t.Joints, t.Corner = append(append(t.Joints, first...), second...), len(first)
				t.From, t.Via = w.place(jointEnd{first[0].Joint, first[0].Reversed}), w.place(end)
				far := second[len(second)-1]
				t.To = w.place(jointEnd{far.Joint, !far.Reversed})
				for k := range t.Joints {
					t.Joints[k].At = t.Length
					t.Length += b.Joints[t.Joints[k].Joint].Length
				}
				w.arms(&t, lines)
				_, d, _ := t.Arm(t.Corner - 1)
				if _, on, _ := t.Arm(t.Corner); dot(d, on) >= sharpest {
					out = append(out, t)
				}
			}
		}
	}
	return out
}

// arms gives a path that turns the straight parts of its lines.
func (w *lineWork) arms(t *Turn, lines []Line) {
	last := -1
	for k, lj := range t.Joints {
		of, n := 0, k
		if k >= t.Corner {
			of, n = 1, k-t.Corner+t.Skipped
		}
		l, sense := &lines[t.Of[of]], 1.0
		if t.Reversed[of] {
			n, sense = len(l.Joints)-1-n, -1
		}
		a := l.armOf(n)
		if k == t.Corner || a != last {
			d := l.arms[a].d
			t.arms = append(t.arms, arm{k, w.place(jointEnd{lj.Joint, lj.Reversed}), XY{sense * d[0], sense * d[1]}, lj.At})
		}
		last = a
	}
}

// toEnd lists the joints of a line towards one of its ends.
func (l *Line) toEnd(atStart bool) []LineJoint {
	out := make([]LineJoint, 0, len(l.Joints))
	for k := range l.Joints {
		if lj := l.Joints[k]; !atStart {
			out = append(out, lj)
		} else {
			lj = l.Joints[len(l.Joints)-1-k]
			lj.Reversed = !lj.Reversed
			out = append(out, lj)
		}
	}
	return out
}

// onFrom lists the joints of a line from one of its joints on, which is entered by its
// To or its From, and tells whether that is against the line's own way.
func (l *Line) onFrom(k int, byTo bool) (joints []LineJoint, back bool) {
	back = byTo != l.Joints[k].Reversed
	if back {
		return l.toEnd(true)[len(l.Joints)-1-k:], true
	}
	return l.toEnd(false)[k:], false
}
