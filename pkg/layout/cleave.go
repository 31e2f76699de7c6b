package layout

import "math"

// Cleft is a board whose pieces are cut in two along a straight path: the same wood
// in more pieces, so that a split of the wood can be followed as a glue line is.
type Cleft struct {
	*Board
	Of   []int // per piece of the cleft board: the piece it comes from
	Line Line  // the path, with the glue lines it runs on along
}

// clearances are the distances [mm] that a path keeps from vertices, best first. Nearer than
// the last the map would need edges that cannot be worked with.
var clearances = [...]float64{3, 1.5, 2 * Narrow}

// pathSteps are the places [mm] beside the wanted one where a path is tried that would
// pass too near to a vertex: nearest first.
var pathSteps = [...]float64{0, 0.5, -0.5, 1, -1, 1.5, -1.5, 2, -2, 3, -3}

// Cleave cuts the pieces on a straight path through a place of the board [mm] along a
// direction (dimensionless), both ways, to the rim or to the first piece that runs tells it not to
// enter. A path that would come too near to a corner is moved by up to 3 mm. ok is
// false when there is none.
func (b *Board) Cleave(through, along XY, runs func(piece int) bool) (c *Cleft, ok bool) {
	length := math.Hypot(along[0], along[1])
	d := XY{along[0] / length, along[1] / length}
	home := b.pieceAt(through)
	if home < 0 {
		return nil, false
	}
	for _, clear := range clearances {
		for _, aside := range pathSteps {
			p := XY{through[0] - aside*d[1], through[1] + aside*d[0]}
			if !Inside(b.Pieces[home].Outline, p) {
				continue
			}
			chords, ok := b.path(home, p, d, clear, runs)
			if !ok {
				continue
			}
			if c, ok := b.cleave(chords); ok {
				return c, true
			}
		}
	}
	return nil, false
}

// chord is the way of a path through one piece.
type chord struct {
	piece    int
	from, to XY
}

// path follows a straight line from a place within a piece, both ways.
func (b *Board) path(home int, p, d XY, clear float64, runs func(int) bool) ([]chord, bool) {
	var out []chord
	back := XY{-d[0], -d[1]}
	from, ok := b.leave(home, p, back, clear)
	if !ok {
		return nil, false
	}
	to, ok := b.leave(home, p, d, clear)
	if !ok {
		return nil, false
	}
	out = append(out, chord{home, from, to})
	for _, way := range [2]struct {
		at, d XY
	}{{to, d}, {from, back}} {
		at := way.at
		for range b.Pieces {
			const ahead = 4 * Snap
			next := b.pieceAt(XY{at[0] + ahead*way.d[0], at[1] + ahead*way.d[1]})
			if next < 0 || !runs(next) {
				break
			}
			end, ok := b.leave(next, XY{at[0] + ahead*way.d[0], at[1] + ahead*way.d[1]}, way.d, clear)
			if !ok {
				return nil, false
			}
			for i := range out {
				if out[i].piece == next {
					return nil, false // a piece that bends back
				}
			}
			out = append(out, chord{next, at, end})
			at = end
		}
	}
	return out, true
}

// leave gives where a ray leaves a piece; ok is false nearer than clear to a vertex.
func (b *Board) leave(piece int, p, d XY, clear float64) (XY, bool) {
	o := b.Pieces[piece].Outline
	best := math.Inf(1)
	for i := range o {
		a, e := o[i], sub(o[(i+1)%len(o)], o[i])
		den := cross(d, e)
		if math.Abs(den) < 1e-9*math.Hypot(e[0], e[1]) {
			continue
		}
		t, u := cross(sub(a, p), e)/den, cross(sub(a, p), d)/den
		if u >= 0 && u <= 1 && t > 1e-9 {
			best = min(best, t)
		}
	}
	if math.IsInf(best, 1) {
		return XY{}, false
	}
	at := XY{p[0] + best*d[0], p[1] + best*d[1]}
	for _, ring := range b.Partition.Rings[piece] {
		e := &b.Partition.Edges[ring.Edge]
		for _, v := range [2]int{e.V0, e.V1} {
			if distance(b.Partition.Vertices[v], at) < clear-Snap { // as near as it may be stays so however the drawing lies
				return XY{}, false
			}
		}
	}
	return at, true
}

// pieceAt finds the piece at a place, −1 for none.
func (b *Board) pieceAt(p XY) int {
	for i := range b.Pieces {
		if Inside(b.Pieces[i].Outline, p) {
			return i
		}
	}
	return -1
}

// cleave lays the board out anew with every chord cut.
func (b *Board) cleave(chords []chord) (*Cleft, bool) {
	out := &Cleft{Board: &Board{}}
	*out.Board = *b
	out.Stages = nil // they number the joints of whole pieces
	out.Pieces = make([]Piece, len(b.Pieces), len(b.Pieces)+len(chords))
	copy(out.Pieces, b.Pieces)
	for i := range out.Pieces {
		out.Of = append(out.Of, i)
		out.Pieces[i].Outline = append([]XY(nil), b.Pieces[i].Outline...)
	}
	for _, c := range chords {
		left, right, ok := halves(b.Pieces[c.piece].Outline, c.from, c.to)
		if !ok {
			return nil, false
		}
		out.Pieces[c.piece].Outline = left
		other := b.Pieces[c.piece]
		other.ID += "'"
		other.Outline = right
		out.Pieces = append(out.Pieces, other)
		out.Of = append(out.Of, c.piece)
	}
	part, joints, faults := cut(out.Pieces)
	if len(faults) > 0 {
		return nil, false
	}
	out.Partition, out.Joints = part, joints
	w := newLineWork(out.Board)
	for _, chain := range w.chains() { // a split does not bend
		for _, e := range chain {
			j := &out.Joints[e.joint]
			if out.Of[j.A] == chords[0].piece && out.Of[j.B] == chords[0].piece {
				out.Line = w.line([][]jointEnd{chain})
				return out, true
			}
		}
	}
	return nil, false
}

// halves cuts an outline along a chord between two places on its sides.
func halves(o []XY, from, to XY) (left, right []XY, ok bool) {
	ring := make([]XY, 0, len(o)+2)
	at := map[bool]int{}
	for i := range o {
		a, e := o[i], o[(i+1)%len(o)]
		ring = append(ring, a)
		on := func(p XY) bool {
			s := sub(e, a)
			l := math.Hypot(s[0], s[1])
			t := dot(sub(p, a), s) / l
			return math.Abs(cross(s, sub(p, a))) < 1e-6*l && t > 0 && t < l
		}
		f, t := on(from), on(to)
		if f && t {
			return nil, nil, false
		}
		if f {
			at[false] = len(ring)
			ring = append(ring, from)
		}
		if t {
			at[true] = len(ring)
			ring = append(ring, to)
		}
	}
	if len(at) != 2 {
		return nil, nil, false
	}
	walk := func(i, j int) (out []XY) {
		for k := i; ; k = (k + 1) % len(ring) {
			out = append(out, ring[k])
			if k == j {
				return out
			}
		}
	}
	// Counter-clockwise from to to from lies what is left of from→to.
	return walk(at[true], at[false]), walk(at[false], at[true]), true
}
