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
}

// Capacity is what a joint of the cleft board on the path bears.
func (p *PathMoment) Capacity(j int) *joint.Capacity { return &p.m.Joints[j].Capacity }

// wood is where the worst stretch of a path lies.
func (p *PathMoment) wood() insideResult {
	l, s := &p.Path.Line, (p.Result.From+p.Result.To)/2/p.Path.Line.Length
	return insideResult{U: p.Result.V, Piece: p.Piece, At: layout.XY{l.From[0] + s*(l.To[0]-l.From[0]), l.From[1] + s*(l.To[1]-l.From[1])}}
}

// Limits of the search for splits.
const (
	settled    = 4    // pieces that are looked at closely before the hardest stressed is chosen
	acrossRuns = 0.26 // sine of the angle between path and fibres in the face (15°) at which a path ends: it would have to cut them
)

// place is a place of the wood that may split.
type place struct {
	WoodDemand
	piece int
	load  *Load
}

// reach is the radius [mm] of the round over which stress is averaged to find where
// to lay a path.
const reach = 4.5

// settle finds the place of the piece where a round mean of the stress is highest, and
// takes that mean. It turns with the piece, which the squares that bound the stress do
// not, and hardly asks how fine the mesh is.
func (m *Model) settle(p *place) {
	x := m.Stretched(p.load)
	pc := &m.Board.Pieces[p.piece]
	els := m.Mesh.ByPiece[p.piece]
	sig := make([][3]float64, len(m.Mesh.Elements))
	for _, e := range els {
		sig[e] = m.Plate.Stress(plate.Membrane, int(e), x, m.Of(p.load.Mean, p.piece))
	}
	m.addLocked(sig, p.load)
	ks := m.strengthOf(p.load, p.piece)
	planes := joint.Planes(m.Sides[p.piece])
	best := 0.0
	for i, e := range els {
		at := m.Plate.Centre(int(e))
		if pc.Pith != nil {
			if pc.Grain.Up && math.Hypot(at[0]-pc.Pith[0], at[1]-pc.Pith[1]) < atPith {
				continue
			}
			side := m.Sides[p.piece]
			side.Frame = pc.Frame(at)
			planes = joint.Planes(side)
		}
		var s [3]float64
		total := 0.0
		for k, o := range els {
			c := m.Plate.Centre(int(o))
			d := math.Hypot(c[0]-at[0], c[1]-at[1]) / reach
			if k != i && d >= 1 {
				continue
			}
			w := m.Plate.Area(int(o)) * (1 - d*d)
			total += w
			for r := range s {
				s[r] += w * sig[o][r]
			}
		}
		for r := range s {
			s[r] /= total
		}
		if u, n := joint.Split(planes, s, ks.Tension, ks.Shear); verdict.Worse(u, best) {
			best, p.At, p.Along = u, at, planes[n].T
		}
	}
	p.U = best
}

// judgePaths looks for the splits of the wood. One path is laid through the place that
// wood dried as a whole stresses hardest and one through that of wood wetted, so that
// one board is cut alike whatever is asked about it. The stress at a place bounds what
// a path through it can reach, so that of the pieces without a path, under the loads given,
// bounds what is left. Errors: the context's.
func (m *Model) judgePaths(ctx context.Context, out *Judged, loads []*Load) error {
	worst, err := m.places(ctx, loads)
	if err != nil {
		return err
	}
	for i, w := range worst {
		if verdict.Worse(w.U, out.Pieces[i].U) {
			out.Pieces[i].U = w.U
		}
	}
	cut := make([]bool, len(worst))
	for _, l := range m.swings() {
		hardest, err := m.places(ctx, []*Load{l})
		if err != nil {
			return err
		}
		byStress := func(a, b int) bool { return verdict.Worse(hardest[a].U, hardest[b].U) }
		sort.SliceStable(hardest, byStress)
		hardest = hardest[:min(settled, len(hardest))]
		for i := range hardest {
			if hardest[i].load != nil { // bone-dry wood dries no further, and is not stressed
				m.settle(&hardest[i])
			}
		}
		sort.SliceStable(hardest, byStress)
		if err := m.cutFirst(ctx, out, hardest, cut); err != nil {
			return err
		}
	}
	if m.gluedApart() {
		asked := slices.Clone(worst)
		sort.SliceStable(asked, func(a, b int) bool { return verdict.Worse(asked[a].U, asked[b].U) })
		asked = slices.DeleteFunc(asked, func(p place) bool { return cut[p.piece] && out.laid(&p) || p.load == nil })
		asked = asked[:min(settled, len(asked))]
		for i := range asked {
			m.settle(&asked[i])
		}
		if err := m.cutFirst(ctx, out, asked, cut); err != nil {
			return err
		}
	}
	for i := range worst {
		if !cut[i] {
			out.PathBound = max(out.PathBound, worst[i].U)
		}
	}
	sort.SliceStable(out.Paths, func(a, b int) bool { return verdict.Worse(out.Paths[a].Result.V, out.Paths[b].Result.V) })
	return nil
}

// cutFirst lays a path through the first of some places, the hardest first, that is clear of
// corners, and judges it; none where one runs there already. Errors: the context's.
func (m *Model) cutFirst(ctx context.Context, out *Judged, hardest []place, cut []bool) (err error) {
	for _, p := range hardest {
		if p.U < Quiet || out.laid(&p) {
			return nil
		}
		path := m.laid.find(&p)
		if path == nil {
			if path, err = m.layPath(ctx, &p); err != nil {
				return err
			}
			m.laid.put(&p, path)
		}
		if path == nil { // nowhere clear of corners
			continue
		}
		if err := path.judge(ctx, out); err != nil {
			return err
		}
		cut[p.piece] = true
		out.Paths = append(out.Paths, *path)
		return nil
	}
	return nil
}

// gluedApart tells that pieces were glued further apart in moisture than wood is dried and
// wetted to find where it may split: what a home does then may stress other places most,
// and a third path runs through the hardest of those.
func (m *Model) gluedApart() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for k := range m.Kinds {
		low, high = min(low, m.Kinds[k].Glued), max(high, m.Kinds[k].Glued)
	}
	return high-low > swing
}

// swing is how far wood is dried and wetted as a whole to find where it may split,
// % MC: about a season. It matters only where pieces were glued at different moistures.
const swing = 3

// swings are the loads of wood dried and wetted as a whole, from the mean of its pieces
// at gluing.
func (m *Model) swings() []*Load {
	mean := 0.0
	for k := range m.Kinds {
		mean += m.Kinds[k].share * m.Kinds[k].Glued
	}
	var out []*Load
	for _, mc := range [2]float64{max(0, mean-swing), mean + swing} {
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

// places lists the hardest stressed place of every piece under any of the loads.
// Errors: the context's.
func (m *Model) places(ctx context.Context, loads []*Load) ([]place, error) {
	worst := make([]place, len(m.Board.Pieces))
	for _, l := range loads {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for i, w := range m.woodAt(l) {
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

// laid tells whether a path already runs by a place the same way.
func (j *Judged) laid(p *place) bool {
	for i := range j.Paths {
		l := &j.Paths[i].Path.Line
		t := [2]float64{(l.To[0] - l.From[0]) / l.Length, (l.To[1] - l.From[1]) / l.Length}
		off := t[0]*(p.At[1]-l.From[1]) - t[1]*(p.At[0]-l.From[0])
		if math.Abs(off) < 2*reach && math.Abs(t[0]*p.Along[1]-t[1]*p.Along[0]) < acrossRuns {
			return true
		}
	}
	return false
}

// layPath cuts the board along a plane of the wood and solves it anew: what the cut
// does not touch is known already. nil when no path is clear of corners.
func (m *Model) layPath(ctx context.Context, p *place) (*PathMoment, error) {
	runs := func(i int) bool { // fibres in the face are not cut
		pc := &m.Board.Pieces[i]
		if pc.Grain.Up {
			return true
		}
		sin, cos := math.Sincos(pc.Grain.Angle * math.Pi / 180)
		return math.Abs(cos*p.Along[1]-sin*p.Along[0]) < acrossRuns
	}
	c, ok := m.Board.Cleave(p.At, p.Along, runs)
	if !ok {
		return nil, nil
	}
	parts, err := translated(c.Board, m.past.of(c.Of), m.wet.of(c.Of))
	if err != nil {
		return nil, err
	}
	sub := &Model{Parts: *parts, Adhesive: m.Adhesive, Bends: m.Bends, Warps: m.Warps, solved: m.solved}
	o := &m.solved
	if sub.Mesh, err = mesh.Build(ctx, c.Board, mesh.Options{Refine: o.Refine, Most: o.Coarsest}); err != nil {
		return nil, err
	}
	if sub.Plate, err = plate.New(ctx, c.Board, sub.Mesh, sub.Wood, plate.Options{Bending: m.Bends, Workers: o.Workers, Cache: &o.Cache.membrane, Bend: &o.Cache.bending, Borrow: true}); err != nil {
		return nil, err
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
	lm.Crack.Anywhere = true
	sub.Lines = []*LineModel{lm}
	if err := sub.respond(ctx); err != nil {
		return nil, err
	}
	if err := sub.lock(ctx); err != nil {
		return nil, err
	}
	sub.Plate.ForgetBending() // what is left is the stiffness of the path
	return &PathMoment{LineMoment: LineMoment{Line: -1}, Piece: p.piece, Path: c, m: sub}, nil
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
	return f.mishaps(ctx, out)
}
