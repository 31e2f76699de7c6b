package influence

import (
	"context"
	"math"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// PathMoment is a split of the wood at its worst moment: a plane along the rings, the
// rays or the fibres through the place of one piece that is stressed hardest, and on
// in a straight line through its neighbours.
type PathMoment struct {
	LineMoment
	Piece int // of the board, in which the path was laid
	Path  *layout.Cleft
	m     *Model // of the board cut along the path
	kept  bool   // it will be judged again, under other moistures
}

// Capacity is what a joint of the cleft board on the path bears.
func (p *PathMoment) Capacity(j int) *joint.Capacity { return &p.m.Joints[j].Capacity }

// wood is where the worst stretch of a path lies.
func (p *PathMoment) wood() insideResult {
	l, s := &p.Path.Line, (p.Result.From+p.Result.To)/2/p.Path.Line.Length
	return insideResult{U: p.Result.V, Piece: p.Piece, At: layout.XY{l.From[0] + s*(l.To[0]-l.From[0]), l.From[1] + s*(l.To[1]-l.From[1])}}
}

// acrossRuns is the sine of the angle between a path and fibres in the face (15°) at which
// the path ends: it would have to cut them.
const acrossRuns = 0.26

// place is a place of the wood that may split.
type place struct {
	WoodDemand
	piece int
	load  *Load
}

// fewPieces is up to how many pieces a board is small.
const fewPieces = 12

// What a small board, of which a path costs little, has more: the planes laid under every
// load, and the steps from the worst path to those beside it.
const (
	fewPlanes = 3
	fewSteps  = 4
)

// besideMore is what a split within that distance of a laid one may come to over it: on forty
// small boards with every course solved a tenth was the most.
const besideMore = 1.15

// small tells that a path costs little.
func (m *Model) small() bool { return len(m.Board.Pieces) <= fewPieces }

// curved tells that rings turn within a piece, and with them the planes that may split from
// one place to the next.
func (m *Model) curved() bool {
	return slices.ContainsFunc(m.Board.Pieces, func(p layout.Piece) bool { return p.Pith != nil && p.Grain.Up })
}

// beside is how near to a path another one hardly differs from it, mm.
const beside = 9.0

// judgePaths looks for the splits of the wood. The course that an estimate makes the likeliest
// split of wood dried as a whole is laid and solved, and that of wood wetted, so that one
// board is cut alike whatever is asked about it, and where pieces were glued apart those
// of the loads given that stress wood most; on a small board, where it costs little and
// pieces are few of a kind, the likeliest of three planes, and where rings curve from the worst of all on to
// those beside it as long as they are worse. A generous estimate bounds what is left, in
// proportion to the stress of its piece under the loads given. Errors: the context's.
func (m *Model) judgePaths(ctx context.Context, out *Judged, loads []*Load) error {
	worst, err := m.places(ctx, out, loads)
	if err != nil {
		return err
	}
	for i, w := range worst {
		if verdict.Worse(w.U, out.Pieces[i].U) {
			out.Pieces[i].U = w.U
		}
	}
	most := 1
	if m.small() {
		most = fewPlanes
	}
	left := make([]float64, len(worst)) // per piece, over its stress under a swing
	all, err := m.surveys(ctx, worst)
	if err != nil {
		return err
	}
	for _, sv := range all {
		for i := range left {
			if !sv.looked[i] {
				left[i] = 1
			}
		}
		laid := 0
		var ran []*course
		for i := range sv.ways {
			c := &sv.ways[i]
			if out.laid(&c.place) {
				if len(ran) == 0 {
					laid = max(laid, 1)
				}
				continue
			}
			if laid < most && !slices.ContainsFunc(ran, c.like) {
				path, err := m.pathAlong(ctx, &c.place)
				if err != nil {
					return err
				}
				if path != nil { // else nowhere clear of corners
					if err := path.judge(ctx, out); err != nil {
						return err
					}
					laid, ran = laid+1, append(ran, c)
					out.Paths = append(out.Paths, *path)
					continue
				}
			}
			left[c.piece] = max(left[c.piece], c.most/sv.hardest[c.piece].U)
		}
	}
	if m.small() && m.curved() {
		if err := m.stepBeside(ctx, out, all); err != nil {
			return err
		}
	}
	for i := range worst {
		out.PathBound = max(out.PathBound, left[i]*worst[i].U)
	}
	for i := range out.Paths {
		out.PathBound = max(out.PathBound, besideMore*out.Paths[i].Result.V)
	}
	sort.SliceStable(out.Paths, func(a, b int) bool { return verdict.Worse(out.Paths[a].Result.V, out.Paths[b].Result.V) })
	return nil
}

// stepBeside goes from the worst path to the courses of its piece beside it, nearer than
// a path is taken to stand for, as long as one is worse. Errors: the context's.
func (m *Model) stepBeside(ctx context.Context, out *Judged, all []*survey) error {
	tried := map[pathKey]bool{}
	for range fewSteps {
		var at *PathMoment
		for i := range out.Paths {
			if p := &out.Paths[i]; at == nil || verdict.Worse(p.Result.V, at.Result.V) {
				at = p
			}
		}
		if at == nil { // no path was clear of corners
			return nil
		}
		var next *course
		for _, sv := range all {
			for i := range sv.ways {
				c := &sv.ways[i]
				if c.piece != at.Piece || tried[c.key()] || !at.runsBy(&c.place) || slices.ContainsFunc(out.Paths, func(p PathMoment) bool { return p.offset(&c.place) < sameCourse && p.runsBy(&c.place) }) {
					continue
				}
				if next == nil || verdict.Worse(c.U, next.U) {
					next = c
				}
			}
		}
		if next == nil {
			return nil
		}
		tried[next.key()] = true
		path, err := m.pathAlong(ctx, &next.place)
		if err != nil {
			return err
		}
		if path == nil {
			continue
		}
		if err := path.judge(ctx, out); err != nil {
			return err
		}
		out.Paths = append(out.Paths, *path)
	}
	return nil
}

// sameCourse is how near two courses are one, mm.
const sameCourse = 2.0

// offset is how far a place lies off a path, mm.
func (p *PathMoment) offset(at *place) float64 {
	l := &p.Path.Line
	return math.Abs((l.To[0]-l.From[0])*(at.At[1]-l.From[1])-(l.To[1]-l.From[1])*(at.At[0]-l.From[0])) / l.Length
}

// runsBy tells whether a path runs by a place the same way.
func (p *PathMoment) runsBy(at *place) bool {
	l := &p.Path.Line
	return p.offset(at) < beside && sameWay([2]float64{(l.To[0] - l.From[0]) / l.Length, (l.To[1] - l.From[1]) / l.Length}, at.Along)
}

// hardestLoads are those that stress wood most, of those that dry it and of those that wet it
// on the whole, on a board of many pieces the harder of both; none where none does.
func (m *Model) hardestLoads(worst []place) (out []*Load) {
	var of [2]*Load
	most := [2]float64{Quiet, Quiet}
	for i := range worst {
		if worst[i].load == nil {
			continue
		}
		way := 0
		if m.meanOf(worst[i].load) > 0 {
			way = 1
		}
		if verdict.Worse(worst[i].U, most[way]) {
			most[way], of[way] = worst[i].U, worst[i].load
		}
	}
	for way, l := range of {
		if l != nil && (m.small() || most[way] >= most[1-way]) {
			out = append(out, l)
		}
	}
	return out
}

// apart is how far the pieces of a small board may have been glued from each other in
// moisture, % MC, before what a home does is looked at by itself.
const apart = 1.0

// gluedApart tells that pieces were glued so far apart in moisture, on a board of many pieces
// further than a season, that what a home does may stress other places most than drying and
// wetting as a whole does: paths run where that makes a split likeliest, too.
func (m *Model) gluedApart() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for k := range m.Kinds {
		low, high = min(low, m.Kinds[k].Glued), max(high, m.Kinds[k].Glued)
	}
	return high-low > swing || m.small() && high-low > apart
}

// pathAlong lays a path, or finds the one that was laid there before. Errors: those of
// layPath.
func (m *Model) pathAlong(ctx context.Context, p *place) (*PathMoment, error) {
	if path := m.laid.find(p); path != nil {
		return path, nil
	}
	var path *PathMoment
	err := plate.Within(ctx, "boards cut for splits", func(ctx context.Context) (err error) {
		path, err = m.layPath(ctx, p)
		return err
	})
	if err == nil {
		m.laid.put(p, path)
	}
	return path, err
}

// swing is how far wood is dried and wetted as a whole to find where it may split,
// % MC: about a season. It matters only where pieces were glued at different moistures.
const swing = 3

// swings is that of the loads of a swing: dried and wetted.
const swings = 2

// swings are the loads of wood dried and wetted as a whole, from the mean of its pieces
// at gluing.
func (m *Model) swings() []*Load {
	mean := 0.0
	for k := range m.Kinds {
		mean += m.Kinds[k].share * m.Kinds[k].Glued
	}
	var out []*Load
	for _, mc := range [swings]float64{math.Max(0, mean-swing), mean + swing} {
		_, l := m.LoadOf(&EndState{Moisture: m.same(mc), left: 1})
		out = append(out, l)
	}
	return out
}

// loadsOf are those of the end states and, of every exposure that counts, its worst,
// its driest and its dampest moment.
func (m *Model) loadsOf(out *Judged) (loads []*Load) {
	for i := range out.States {
		loads = append(loads, out.States[i].Load)
	}
	for _, h := range out.Histories {
		if h.LoadHistory.Aside() {
			continue
		}
		at := map[int]bool{h.Place: true, h.Line.Time: true}
		dry, damp := 0, 0
		for i := range h.loads {
			if m.meanOf(h.loads[i]) < m.meanOf(h.loads[dry]) {
				dry = i
			}
			if m.meanOf(h.loads[i]) > m.meanOf(h.loads[damp]) {
				damp = i
			}
		}
		at[dry], at[damp] = true, true
		for i := range h.loads {
			if at[i] {
				loads = append(loads, h.loads[i])
			}
		}
	}
	return loads
}

// places lists the hardest stressed place of every piece under any of the loads, of which
// some may be those of states that were judged. Errors: the context's.
func (m *Model) places(ctx context.Context, out *Judged, loads []*Load) ([]place, error) {
	worst := make([]place, len(m.Board.Pieces))
	for _, l := range loads {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for i, w := range m.InsideOf(out, l) {
			if verdict.Worse(w.U, worst[i].U) {
				worst[i] = place{w, i, l}
			}
		}
	}
	return worst, nil
}

// meanOf is the mean load over the area, % MC.
func (m *Model) meanOf(l *Load) float64 {
	sum := 0.0
	for k, v := range l.Mean {
		sum += m.Kinds[k].share * v
	}
	return sum
}

// sameWay says that two directions are within 15° of each other.
func sameWay(a, b [2]float64) bool { return math.Abs(a[0]*b[1]-a[1]*b[0]) < acrossRuns }

// laid tells whether a path already runs by a place the same way.
func (j *Judged) laid(p *place) bool {
	return slices.ContainsFunc(j.Paths, func(o PathMoment) bool { return o.runsBy(p) })
}

// cutsBeside is how many boards as large as one that is cut are in use beside it, where what
// is drawn is changed step by step: the board itself, and the other that is cut. Parts of it
// are kept where there is room for all, for else they push each other out.
const cutsBeside = 2

// layPath cuts the board along a plane of the wood and solves it anew: what the cut
// does not touch is known already. nil when no path is clear of corners.
func (m *Model) layPath(ctx context.Context, p *place) (*PathMoment, error) {
	c, ok := m.Board.Cleave(p.At, p.Along, m.runs(p.Along))
	if !ok {
		return nil, nil
	}
	parts, err := translated(c.Board, m.past.of(c.Of), m.wet.of(c.Of))
	if err != nil {
		return nil, err
	}
	sub := &Model{Parts: *parts, Adhesive: m.Adhesive, Bends: m.Bends, Warps: m.Warps, solved: m.solved}
	o := &m.solved
	var known geometry
	if sub.Mesh, known, err = o.Cache.known().meshed(ctx, c.Board, mesh.Options{Refine: o.Refine, Most: o.Coarsest}); err != nil {
		return nil, err
	}
	if sub.Plate, err = plate.New(ctx, c.Board, sub.Mesh, sub.Wood, plate.Options{Bending: m.Bends, Workers: o.Workers, Cache: o.Cache.Membrane(), Bend: o.Cache.Bending(), Borrow: m.laid == nil, Beside: cutsBeside, Late: true, Like: known.g, Shapes: m.Plate.Geometry}); err != nil {
		return nil, err
	}
	if m.laid != nil {
		known.g = sub.Plate.Geometry
		o.Cache.known().put(known, cutsBeside)
	}
	sub.Joints = make([]JointModel, len(c.Joints))
	for _, lj := range c.Line.Joints {
		sub.prepareJoint(lj.Joint)
		if jt := &c.Joints[lj.Joint]; c.Of[jt.A] == c.Of[jt.B] {
			side := sub.Sides[jt.A]
			if pc := &c.Pieces[jt.A]; pc.Pith != nil {
				side.Frame = pc.Frame(layout.XY{(jt.From[0] + jt.To[0]) / 2, (jt.From[1] + jt.To[1]) / 2})
			}
			n, t := Normal(jt)
			sub.Joints[lj.Joint].Capacity = joint.WholeWood(side, n, t)
		}
	}
	lm := sub.lineModel(c.Line)
	sub.starve(lm)
	lm.Crack.Anywhere = true
	sub.Lines = []*LineModel{lm}
	if err := sub.respond(ctx); err != nil {
		return nil, err
	}
	if err := sub.lock(ctx); err != nil {
		return nil, err
	}
	return &PathMoment{LineMoment: LineMoment{Line: -1}, Piece: p.piece, Path: c, m: sub, kept: m.laid != nil}, nil
}

// judge follows a path through everything that the board was.
func (p *PathMoment) judge(ctx context.Context, out *Judged) error {
	f := follower{m: p.m, take: func(w LineMoment, _ *LineMoment, split *PathMoment) {
		if verdict.Worse(w.Result.V, split.Result.V) {
			*split = PathMoment{LineMoment: w, Piece: p.Piece, Path: p.Path}
		}
	}}
	var err error
	if p.LineMoment, err = f.counting(ctx, out); err != nil {
		return err
	}
	err = f.mishaps(ctx, out)
	p.m.Plate.Forget(plate.Membrane) // the stiffness of the path is what its board was solved for
	if p.m.large() && !p.kept {
		p.m.Lines[0].Crack.Forget()
	}
	return err
}
