package influence

import (
	"context"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// course is a straight way through the wood that a split may take: through a place of one
// piece along one of its planes, and on through its neighbours.
type course struct {
	place
	most float64 // what no split along it passes, by stress and a generous estimate of energy
}

func (c *course) key() pathKey { return pathKey{c.piece, c.At, c.Along} }

// like says that two courses run through one piece along one plane.
func (c *course) like(o *course) bool { return o.piece == c.piece && sameWay(o.Along, c.Along) }

// Spacing of the search, mm: courses through one piece beside each other, the places along
// each at which stress is taken, how far it is followed beyond its own piece, where the
// neighbours have courses of their own, and the shortest bit of it that is looked at.
const (
	coursesApart = 5.0
	sampleStep   = 3.0
	fineStep     = 1.0 // on a small board
	followed     = 45.0
	leastSample  = 0.2
)

// What a large piece or board has at most: courses side by side, places of a grid along a
// side of it where rings curve, samples along its longest side, fine ones and all. Beyond, they stand wider
// apart: the field of a piece varies over a share of its size, and what is looked at would
// else grow with its fourth or fifth power.
const (
	mostCourses = 100
	mostGrid    = 40
	fineSamples = 900
	mostSamples = 1000
)

// generous is the factor on the estimated energy that makes a bound of it. On forty small
// boards with every course solved none freed as much.
const generous = 4.0

// unseen is the factor on stress for what lies between the samples, likewise.
const unseen = 1.15

// sample is the stress on a course at one place, for a part of its length.
type sample struct {
	length      float64 // mm
	n, t        float64 // MPa
	open, slide float64 // over strength
	tough       fracture.Toughness
	gives       float64 // strain for 1 MPa across the course
}

// surveyor finds the element at a place of a board.
type surveyor struct {
	m     *Model
	from  layout.XY
	wide  int
	cells [][]int32 // elements by cell
	step  float64   // mm between samples
}

// cellSize is the side of the cells in which elements are looked up, mm.
const cellSize = 6.0

func (m *Model) newSurveyor() *surveyor {
	lo, hi := Bounds(m.Mesh.Nodes)
	long := max(hi[0]-lo[0], hi[1]-lo[1])
	s := &surveyor{m: m, from: lo, wide: int((hi[0]-lo[0])/cellSize) + 1, step: sampleStep}
	if m.small() {
		s.step = max(fineStep, min(sampleStep, long/fineSamples))
	}
	s.step = max(s.step, long/mostSamples)
	s.cells = make([][]int32, s.wide*(int((hi[1]-lo[1])/cellSize)+1))
	for e := range m.Mesh.Elements {
		lo, hi := Bounds(m.corners(int32(e)))
		for y := s.cell(lo, 1); y <= s.cell(hi, 1); y++ {
			for x := s.cell(lo, 0); x <= s.cell(hi, 0); x++ {
				s.cells[y*s.wide+x] = append(s.cells[y*s.wide+x], int32(e))
			}
		}
	}
	return s
}

func (s *surveyor) cell(p layout.XY, axis int) int {
	return int(math.Floor((p[axis] - s.from[axis]) / cellSize))
}

// at is the element at a place, −1 off the board.
func (s *surveyor) at(p layout.XY) int32 {
	x, y := s.cell(p, 0), s.cell(p, 1)
	if x < 0 || x >= s.wide || y < 0 || y*s.wide >= len(s.cells) {
		return -1
	}
	for _, e := range s.cells[y*s.wide+x] {
		if layout.Inside(s.m.corners(e), p) {
			return e
		}
	}
	return -1
}

// starts lists where courses through a piece are begun, and along what: in the middle of
// the chords of straight rings, and on a grid where rings curve.
func (m *Model) starts(piece int, mid layout.XY) (out []place) {
	pc := &m.Board.Pieces[piece]
	lo, hi := Bounds(pc.Outline)
	if pc.Pith == nil {
		for _, p := range joint.Planes(m.Sides[piece]) {
			if turnsAway(&p, pc.Centre, mid) { // half a turn of the rings is none
				p.N, p.T = [2]float64{-p.N[0], -p.N[1]}, [2]float64{-p.T[0], -p.T[1]}
			}
			from, to := math.Inf(1), math.Inf(-1)
			for _, q := range pc.Outline {
				d := p.N[0]*q[0] + p.N[1]*q[1]
				from, to = min(from, d), max(to, d)
			}
			// From both sides alike, however wide the piece is.
			apart := max(coursesApart, (to-from)/mostCourses)
			for d := min(apart, to-from) / 2; d <= (to-from)/2; d += apart {
				for _, d := range [2]float64{from + d, to - d} {
					if at, ok := chordMiddle(pc.Outline, &p, d); ok {
						out = append(out, place{WoodDemand: WoodDemand{At: at, Along: p.T}, piece: piece})
					}
				}
			}
		}
		return out
	}
	apart := max(coursesApart, (hi[0]-lo[0])/mostGrid, (hi[1]-lo[1])/mostGrid)
	for x := lo[0] + apart/2; x < hi[0]; x += apart {
		for y := lo[1] + apart/2; y < hi[1]; y += apart {
			at := layout.XY{x, y}
			if !layout.Inside(pc.Outline, at) || pc.Grain.Up && math.Hypot(x-pc.Pith[0], y-pc.Pith[1]) < atPith {
				continue
			}
			side := m.Sides[piece]
			side.Frame = pc.Frame(at)
			for _, p := range joint.Planes(side) {
				out = append(out, place{WoodDemand: WoodDemand{At: at, Along: p.T}, piece: piece})
			}
		}
	}
	return out
}

// turnsAway tells that the normal of a plane of a piece points away from the middle of the
// board, or, where it points past it, its tangent.
func turnsAway(p *joint.Plane, centre, mid layout.XY) bool {
	x, y := mid[0]-centre[0], mid[1]-centre[1]
	n, t := p.N[0]*x+p.N[1]*y, p.T[0]*x+p.T[1]*y
	switch {
	case math.Abs(n) > Flat:
		return n < 0
	case math.Abs(t) > Flat:
		return t < 0
	}
	return p.N[0] < -Flat || p.N[0] < Flat && p.N[1] < 0
}

// middle is the centre of the board's area, mm.
func (m *Model) middle() (mid layout.XY) {
	area := 0.0
	for i := range m.Board.Pieces {
		pc := &m.Board.Pieces[i]
		mid[0], mid[1], area = mid[0]+pc.Area*pc.Centre[0], mid[1]+pc.Area*pc.Centre[1], area+pc.Area
	}
	return layout.XY{mid[0] / area, mid[1] / area}
}

// chordMiddle is the middle of the chord of an outline on which places lie at a distance
// along the normal of a plane [mm]; ok is false where it lies outside.
func chordMiddle(o []layout.XY, p *joint.Plane, d float64) (at layout.XY, ok bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range o {
		a, b := o[i], o[(i+1)%len(o)]
		da, db := p.N[0]*a[0]+p.N[1]*a[1]-d, p.N[0]*b[0]+p.N[1]*b[1]-d
		if (da > 0) == (db > 0) {
			continue
		}
		u := da / (da - db)
		s := p.T[0]*(a[0]+u*(b[0]-a[0])) + p.T[1]*(a[1]+u*(b[1]-a[1]))
		lo, hi = min(lo, s), max(hi, s)
	}
	s := (lo + hi) / 2
	at = layout.XY{p.N[0]*d + p.T[0]*s, p.N[1]*d + p.T[1]*s}
	return at, hi > lo && layout.Inside(o, at)
}

// follow takes the stress along a course, both ways to the rim, to fibres that it would have
// to cut, or far enough beyond its piece; rim tells which of its ends is the rim.
func (s *surveyor) follow(c *place, sig [][3]float64) (list []sample, rim [2]bool) {
	m := s.m
	t := c.Along
	n := [2]float64{t[1], -t[0]}
	runs := m.runs(t)
	for way, sign := range [2]float64{-1, 1} {
		last, beyond := -1, 0.0
		var of sample
		var law joint.Criterion
		from := len(list)
		at := func(d float64) layout.XY { // a little beside it: whole millimetres often lie on the side of an element, and so in none
			d = sign * (d + 0.7e-4)
			return layout.XY{c.At[0] + d*t[0] + 1.3e-4*n[0], c.At[1] + d*t[1] + 1.3e-4*n[1]}
		}
		for d := 0.0; !rim[way]; d += s.step {
			of.length = s.step
			q := at(d + s.step/2)
			e := s.at(q)
			if e < 0 { // the rim: where stress is highest at an end, the last bit counts
				rim[way] = true
				if of.length = s.inside(at, d, d+s.step/2) - d; of.length < leastSample {
					break
				}
				q = at(d + of.length/2)
				if e = s.at(q); e < 0 {
					break
				}
			}
			if p := int(m.Mesh.Elements[e].Piece); p != last {
				if p != c.piece && !runs(p) {
					break
				}
				last = p
				side := m.Sides[p]
				if pc := &m.Board.Pieces[p]; pc.Pith != nil {
					side.Frame = pc.Frame(q)
				}
				whole := joint.WholeWood(side, n, t)
				k := m.strengthOf(c.load, p)
				law = whole.Parts(joint.Scale{TensionA: k.Tension, ShearA: k.Shear})[0]
				of.tough = toughness(&m.Sides[p], &m.Sides[p])
				_, of.gives = m.acrossLine(p, n)
			}
			if last != c.piece {
				if beyond += s.step; beyond > followed {
					break
				}
			}
			x, y := sig[e][0]*n[0]+sig[e][2]*n[1], sig[e][2]*n[0]+sig[e][1]*n[1]
			of.n, of.t = n[0]*x+n[1]*y, t[0]*x+t[1]*y
			of.open, of.slide = law.Terms(of.n, of.t)
			list = append(list, of)
		}
		if way == 0 {
			for i, j := from, len(list)-1; i < j; i, j = i+1, j-1 {
				list[i], list[j] = list[j], list[i]
			}
		}
	}
	return list, rim
}

// inside is the last distance along a course that is still on the board, of one that is and
// one that is not.
func (s *surveyor) inside(at func(float64) layout.XY, in, out float64) float64 {
	for out-in > leastSample/2 {
		if mid := (in + out) / 2; s.at(at(mid)) >= 0 {
			in = mid
		} else {
			out = mid
		}
	}
	return in
}

// runs tells of a piece whether a split along a direction may enter it: fibres in the face
// are not cut.
func (m *Model) runs(along [2]float64) func(piece int) bool {
	return func(i int) bool {
		pc := &m.Board.Pieces[i]
		if pc.Grain.Up {
			return true
		}
		sin, cos := math.Sincos(pc.Grain.Angle * math.Pi / 180)
		return math.Abs(cos*along[1]-sin*along[0]) < acrossRuns
	}
}

// estimate is the coupled criterion on a course with the energy of a crack of a length a in
// a wide plate under the mean stress of the stretch,
//
//	G = (π/4)·a·σ²/E across it, twice that from the rim                             (1)
//
// (Griffith, Philosophical Transactions A 221, 1921, averaged over the growth of the
// crack; from memory), and with generous times that. It ranks courses and solves nothing.
func estimate(list []sample, rim [2]bool) (likely, most float64) {
	for i := range list {
		var sum sample
		a := 0.0
		for k := i; k < len(list); k++ {
			s := &list[k]
			w := s.length
			a += w
			sum.n, sum.t, sum.open, sum.slide = sum.n+w*s.n, sum.t+w*s.t, sum.open+w*s.open, sum.slide+w*s.slide
			sum.gives += w * s.gives
			sum.tough.Open, sum.tough.Slide = sum.tough.Open+w*s.tough.Open, sum.tough.Slide+w*s.tough.Slide
			stress := joint.Together(sum.open, sum.slide) / a
			if unseen*stress <= likely || a < sampleStep {
				continue
			}
			n, t := max(0, sum.n)/a, sum.t/a
			pull := n*n + t*t
			g := math.Pi / 4 * pull * sum.gives
			if i == 0 && rim[0] || k == len(list)-1 && rim[1] {
				g *= 2
			}
			tough := fracture.Toughness{Open: sum.tough.Open / a, Slide: sum.tough.Slide / a, Exponent: s.tough.Exponent}
			energy := math.Sqrt(g / tough.Energy(t*t/pull))
			likely, most = max(likely, min(stress, energy)), max(most, min(unseen*stress, math.Sqrt(generous)*energy))
		}
	}
	return likely, most
}

// peakOf is the highest stress over strength on a course: no stretch of it has more.
func peakOf(list []sample) (u float64) {
	for i := range list {
		u = max(u, joint.Together(list[i].open, list[i].slide))
	}
	return u
}

// courses ranks the ways through the wood under one load, the likeliest split first. worst
// has the stress over strength of every piece: none is looked at whose stress nowhere comes
// to the best of all. Errors: the context's.
func (m *Model) courses(ctx context.Context, s *surveyor, l *Load, worst []place) (out []course, looked []bool, err error) {
	mid := m.middle()
	sig := m.stressUnder(l)
	order := make([]int, len(worst))
	looked = make([]bool, len(worst))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return verdict.Worse(worst[order[a]].U, worst[order[b]].U) })
	best := Quiet
	for _, i := range order {
		if worst[i].U <= best {
			break
		}
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		looked[i] = true
		for _, p := range m.starts(i, mid) {
			if err := ctx.Err(); err != nil {
				return nil, nil, err
			}
			p.load = l
			c := course{place: p}
			list, rim := s.follow(&p, sig)
			if peakOf(list) < Quiet {
				continue
			}
			c.U, c.most = estimate(list, rim)
			if c.U >= Quiet {
				out = append(out, c)
				best = max(best, c.U)
			}
		}
	}
	// Of equals that which may be more, and then the one nearer to the middle: an order that
	// turns with the board.
	off := func(c *course) float64 { return math.Hypot(c.At[0]-mid[0], c.At[1]-mid[1]) }
	sort.SliceStable(out, func(a, b int) bool {
		x, y := &out[a], &out[b]
		switch {
		case verdict.Worse(x.U, y.U) || verdict.Worse(y.U, x.U):
			return x.U > y.U
		case verdict.Worse(x.most, y.most) || verdict.Worse(y.most, x.most):
			return x.most > y.most
		}
		return verdict.Worse(off(y), off(x))
	})
	return out, looked, nil
}

// survey is where a board may split under one load.
type survey struct {
	hardest []place  // per piece
	ways    []course // the likeliest first
	looked  []bool   // per piece
}

// surveys are those under the swings, which nothing changes that the board has to bear, and
// where pieces were glued far apart that under the hardest load given. Errors: the context's.
func (m *Model) surveys(ctx context.Context, worst []place) ([]*survey, error) {
	out := m.laid.surveys()
	along := m.swings()[len(out):]
	if m.gluedApart() {
		along = append(along, m.hardestLoads(worst)...)
	}
	if len(along) == 0 {
		return out, nil
	}
	s := m.newSurveyor()
	for _, l := range along {
		hardest, err := m.places(ctx, nil, []*Load{l})
		if err != nil {
			return nil, err
		}
		sv := &survey{hardest: hardest}
		if sv.ways, sv.looked, err = m.courses(ctx, s, l, hardest); err != nil {
			return nil, err
		}
		out = append(out, sv)
	}
	m.laid.putSurveys(out)
	return out, nil
}
