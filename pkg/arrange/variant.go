package arrange

import (
	"context"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// variant is one thing that can lie in a place: a piece of the board as the file
// has it, in one position.
type variant struct {
	item     int // the piece it was
	pos      position
	wood     plate.Wood // at its centre
	side     joint.Side
	load     []float64 // per uniform state, % MC
	moisture float64   // % MC when glued
	// strength at the end of each state over strength at gluing
	tension, shear []float64
}

// space is all arrangements that the locks allow.
type space struct {
	file     *layout.File
	board    *layout.Board // of file
	cond     check.Conditions
	variants []variant
	of       [][]int // variants that may lie in every place, the present first
	units    []unit  // what is turned as one
	unitOf   []int   // per place, −1 when it stays
	like     [][]int // sets of places whose pieces may change places; nil when the pattern is fixed
	states   int
	bond     func(mcA, mcB float64) float64
	swaps    []Swap       // woods of the board as the file has it that others stand for
	origin   *layout.File // file before work, which is what else is done otherwise
	work     *work
	done     int // actions of work
}

// unit is a set of places that are turned together: one block, or everything
// cut from one strip or stick.
type unit struct {
	group
	places []int
	ways   int // positions, the same for each of its places
}

// arrangement tells which variant lies in every place.
type arrangement []int

func (a arrangement) clone() arrangement { return append(arrangement(nil), a...) }

// newSpace lists the variants of every piece.
func newSpace(ctx context.Context, f *layout.File, c check.Conditions, o Options) (*space, error) {
	b, faults := f.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	s := &space{file: f, origin: f, work: &work{}, board: b, cond: c, of: make([][]int, len(b.Pieces)), unitOf: make([]int, len(b.Pieces))}
	if l := Unglued(b, o.Glued); len(l) > 0 {
		return nil, l
	}
	ways, groups := options(f, b, o.Glued)
	most := 1
	for i := range ways {
		most = max(most, len(ways[i]))
	}
	for w := 0; w < most; w++ {
		turned := f.Clone()
		told := map[string]bool{}
		for i := range b.Pieces {
			switch {
			case w == 0 || w >= len(ways[i]):
			case groups[i].unit != PanelStick:
				s.put(turned, i, ways[i][w].item, ways[i][w].pos)
			case !told[groups[i].key]:
				told[groups[i].key] = true
				s.turnStick(turned, &b.Pieces[i], ways[i][w].pos)
			}
		}
		lies, faults := turned.Board()
		if len(faults) > 0 {
			return nil, faults
		}
		k, err := influence.ConstantsOf(ctx, lies, c.Demand())
		if err != nil {
			return nil, err
		}
		s.states, s.bond = len(k.Uniforms), k.Bond
		for i := range b.Pieces {
			if w >= len(ways[i]) {
				continue
			}
			item := ways[i][w].item
			v := variant{item: item, pos: ways[i][w].pos, wood: k.Wood[i], side: k.Sides[i], moisture: b.Pieces[item].Moisture}
			for _, u := range k.Uniforms {
				v.load = append(v.load, u.Load[i])
				v.tension = append(v.tension, u.Tension[i])
				v.shear = append(v.shear, u.Shear[i])
			}
			s.of[i] = append(s.of[i], len(s.variants))
			s.variants = append(s.variants, v)
		}
	}
	s.findUnits(groups)
	if o.FreePattern {
		s.findLike()
	}
	return s, nil
}

// findUnits puts together what is turned as one.
func (s *space) findUnits(groups []group) {
	known := map[group]int{}
	for i := range s.board.Pieces {
		s.unitOf[i] = -1
		if len(s.of[i]) < 2 {
			continue
		}
		u, ok := known[groups[i]]
		if groups[i].key == "" || !ok {
			u = len(s.units)
			s.units = append(s.units, unit{group: groups[i], ways: len(s.of[i])})
			known[groups[i]] = u
		}
		s.units[u].places = append(s.units[u].places, i)
		s.units[u].ways = min(s.units[u].ways, len(s.of[i]))
		s.unitOf[i] = u
	}
}

// at lists the variants that may lie in a place of an arrangement, by way: those
// of the block that lies there, or of the place where it is turned with others.
func (s *space) at(place int, a arrangement) []int {
	if u := s.unitOf[place]; u >= 0 && s.units[u].key != "" {
		return s.of[place]
	}
	return s.of[s.variants[a[place]].item]
}

// findLike collects places of equal outline whose pieces are turned alone.
func (s *space) findLike() {
	var single []int
	for u := range s.units {
		if s.units[u].key == "" {
			single = append(single, s.units[u].places[0])
		}
	}
	done := map[int]bool{}
	for a, i := range single {
		if done[i] {
			continue
		}
		set := []int{i}
		for _, k := range single[a+1:] {
			if !done[k] && congruent(&s.board.Pieces[i], &s.board.Pieces[k]) {
				set = append(set, k)
				done[k] = true
			}
		}
		if len(set) > 1 {
			s.like = append(s.like, set)
		}
	}
}

// congruent reports whether two pieces have the same outline up to a shift.
func congruent(a, b *layout.Piece) bool {
	if len(a.Outline) != len(b.Outline) || (a.Border >= 0) != (b.Border >= 0) {
		return false
	}
	for i := range a.Outline {
		dx := a.Outline[i][0] - a.Centre[0] - b.Outline[i][0] + b.Centre[0]
		dy := a.Outline[i][1] - a.Centre[1] - b.Outline[i][1] + b.Centre[1]
		if dx*dx+dy*dy > fits*fits {
			return false
		}
	}
	return true
}

// start is the board as the file has it.
func (s *space) start() arrangement {
	a := make(arrangement, len(s.board.Pieces))
	for i := range a {
		a[i] = s.of[i][0]
	}
	return a
}

// fileOf is the file with the pieces of an arrangement. A strip of a panel that
// is turned whole is told as a strip, every other piece for itself.
func (s *space) fileOf(a arrangement) *layout.File {
	f := s.file.Clone()
	told := map[int]bool{}
	for u := range s.units {
		if un := &s.units[u]; a[un.places[0]] != s.of[un.places[0]][0] && s.asStick(f, un, a) || s.asStrip(f, un, a) {
			for _, p := range s.units[u].places {
				told[p] = true
			}
		}
	}
	for place, id := range a {
		if v := &s.variants[id]; id != s.of[place][0] && !told[place] {
			s.put(f, place, v.item, v.pos)
		}
	}
	return f
}

// boardOf lays an arrangement out.
func (s *space) boardOf(a arrangement) (*layout.Board, error) {
	b, faults := s.fileOf(a).Board()
	return b, faults.Err()
}

// put tells in a file that a piece of the board lies in a place, in a position.
func (s *space) put(f *layout.File, place, item int, pos position) {
	from, to := &s.board.Pieces[item], &s.board.Pieces[place]
	o := f.Pieces[to.ID]
	if item != place {
		o = layout.Override{Stock: from.Stock}
		stock := s.board.Stock[from.Stock]
		if from.Species != stock.Species {
			o.Species = from.Species
		}
		if mc := from.Moisture; mc != stock.Moisture {
			o.Moisture = &mc
		}
	}
	switch {
	case from.Pith != nil:
		rel := pos.of(layout.XY{from.Pith[0] - from.Centre[0], from.Pith[1] - from.Centre[1]})
		o.Ring, o.Pith = nil, &[2]layout.Length{f.MM(rel[0]), f.MM(rel[1])}
	case from.RingUnknown:
		o.Ring, o.Pith = layout.RingUnknown(), nil
	default:
		o.Ring, o.Pith = layout.RingAt(fine(pos.ring(from.RingAngle))), nil
	}
	if f.Pieces == nil {
		f.Pieces = map[string]layout.Override{}
	}
	f.Pieces[to.ID] = o
}

// fine takes the noise of floating point off an angle, degrees.
func fine(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// asStrip tells a strip of a panel with straight rings that is turned whole, in
// the file's own words. It reports whether it did.
func (s *space) asStrip(f *layout.File, u *unit, a arrangement) bool {
	first := u.places[0]
	p := &s.board.Pieces[first]
	id := a[first]
	at, strip := stripNumber(p.Pointer)
	if !strip || id == s.of[first][0] || p.Pith != nil || p.Row != 0 {
		return false
	}
	for _, place := range u.places {
		if _, own := f.Pieces[s.board.Pieces[place].ID]; own || s.variants[a[place]].item != place || a[place] == s.of[place][0] {
			return false
		}
	}
	// Slices turned over see the strip in a mirror: the same only for axes at right angles to where they were.
	v := &s.variants[id]
	if quarter := math.Remainder(v.pos.turn, 90); math.Abs(quarter) > 1e-9 {
		return false
	}
	f.Field.Slices.Strips[at].Ring = layout.RingAt(fine(v.pos.ring(p.RingAngle)))
	return true
}

// changed counts the units that do not lie as the file has them, and what else is done
// otherwise.
func (s *space) changed(a arrangement) int {
	n := s.done
	for u := range s.units {
		for _, p := range s.units[u].places {
			if a[p] != s.of[p][0] {
				n++
				break
			}
		}
	}
	return n
}

// stripOf gives the strip of a sliced field a piece was cut from, "" for others.
func stripOf(pointer string) string {
	if strings.HasPrefix(pointer, strips) {
		return pointer
	}
	return ""
}

// inStrip keeps the positions that mean the same in every slice, turned or not:
// with curved rings a quarter turn of the strip is one way in one slice and the
// other way in the next.
func inStrip(p *layout.Piece, ways []position) []position {
	if p.Pith == nil || stripOf(p.Pointer) == "" {
		return ways
	}
	var out []position
	for _, w := range ways {
		if axisApart(w.turn, 0) < 1e-6 {
			out = append(out, w)
		}
	}
	return out
}
