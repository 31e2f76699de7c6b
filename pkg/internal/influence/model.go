package influence

import (
	"context"
	"sync"
	"time"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Model is a board prepared once: stiffness factorised, and for every kind of
// piece the tractions that one per cent of moisture brings on every stretch of
// every joint. Any season, exposure or what-if of moisture is then a sum.
type Model struct {
	Parts
	Plate    *plate.Model
	Mesh     *mesh.Mesh
	Joints   []JointModel
	Lines    []*LineModel
	Adhesive adhesive.Class
	Bends    bool           // bending was prepared
	Warps    bool           // some piece has slanting or curved rings and bends under an even change of moisture
	units    [3][][]float64 // by mode and kind, displacements for one % MC (mm; per % MC per mm in bending); nil where they were not kept
	rims     [][]float64    // per kind, displacement of the rim [mm] for one % MC
	warps    []plate.Curve  // nil where nothing warps
	curves   []plate.Curve  // nil without bending
	acrossX  bool           // the cup is told along x, not along y
	patches  [][]patch      // squares of wood to judge, per piece
	held     *lineMemory
	shares   *sync.Mutex
	share    [2][2]float64 // see crackShare: by step, swelling and drying; 0 until asked for
	solved   Options       // how it was solved, for paths through the wood
	laid     *laidPaths    // nil where splits are not kept
	pulls    *pulls
	spells   []locked // what each rest between two glue-ups left in the board
}

// JointModel is one joint ready for sums. The influence tables hold, for window
// w and kind k at w*kinds+k, the mean traction per % MC (membrane) or per % MC
// per mm (bending, MPa/mm).
type JointModel struct {
	Capacity  joint.Capacity
	Trace     *plate.Trace
	Intervals []joint.Interval
	Membrane  []MeanTraction
	Bending   []MeanTraction
	Warp      []MeanTraction // per % MC, MPa/mm; nil where nothing warps
	// What the rests between glue-ups left, for window w and spell k at w*spells+k:
	// MPa, and MPa/mm where something warps.
	Locked, LockedWarp []MeanTraction
	a, b               int // pieces of the two sides
}

// Options say how a board is solved.
type Options struct {
	Bending  bool             // also out of its plane; exposures need it
	Refine   int              // 0 is the documented mesh; each step halves every element
	Coarsest float64          // mm, largest element; 0 is the documented mesh
	Joints   bool             // of joints alone, by stress: neither the wood between them nor whole lines are judged
	Budget   int64            // bytes that solving may take, refused before anything is made; 0 is DefaultBudget
	Longest  time.Duration    // that checking may take of one core, by an estimate, refused likewise; 0 is without bounds
	Workers  int              // 0 means 1
	Events   []moisture.Event // that are asked for beside those of the board: their patches make kinds of pieces
	ByStress bool             // no crack is asked for: nothing need be kept for boards cut along a path
	Cache    *Cache           // nil keeps one for this board only
	large    int              // elements above which a board is large; 0 is the documented number
}

// Prepare does the part of a check that does not depend on moisture: geometry,
// stiffness and the influence of every kind of piece.
//
// Errors: faults of woods, glue or geometry that cannot be used; the context's.
func Prepare(ctx context.Context, b *layout.Board, o Options) (*Model, error) {
	p, err := translate(ctx, b, o.Events)
	if err != nil {
		return nil, err
	}
	m := &Model{shares: &sync.Mutex{}, pulls: &pulls{}, Parts: *p}
	if o.Cache == nil && !o.ByStress {
		o.Cache = &Cache{}
	}
	m.solved = o
	if m.Adhesive, err = adhesive.Find(b.Glue); err != nil {
		return nil, fault.At(err, "/glue")
	}
	budget := newBudget(b, o)
	m.held = &lineMemory{most: min(linesMost, budget.bytes/lineShare)}
	if err := budget.tables(len(m.Kinds)); err != nil {
		return nil, err
	}
	var known geometry
	if err := plate.Within(ctx, "mesh", func(ctx context.Context) (err error) {
		m.Mesh, known, err = o.Cache.known().meshed(ctx, b, mesh.Options{Refine: o.Refine, Most: o.Coarsest, Bound: budget.elements()})
		return err
	}); err != nil {
		return nil, budget.refuse(err)
	}
	if m.Plate, err = plate.New(ctx, b, m.Mesh, m.Wood, plate.Options{Bending: o.Bending, Workers: o.Workers, Cache: o.Cache.Membrane(), Bend: o.Cache.Bending(), Late: true, Like: known.g}); err != nil {
		return nil, err
	}
	m.Bends = o.Bending
	m.Warps = o.Bending && m.Plate.Warps()
	switch {
	case o.Joints:
		m.patches = make([][]patch, len(b.Pieces))
	case known.patches == nil:
		if err := m.preparePatches(ctx); err != nil {
			return nil, err
		}
		known.patches = m.patches
	default:
		m.patches = known.patches
	}
	known.g = m.Plate.Geometry
	o.Cache.known().put(known, 0)
	if err := plate.Within(ctx, "joints", func(ctx context.Context) error {
		m.Joints = make([]JointModel, len(b.Joints))
		for j := range b.Joints {
			m.prepareJoint(j)
		}
		if !o.Joints {
			for _, l := range b.Lines() {
				lm := m.lineModel(l)
				m.findEnds(lm)
				m.starve(lm)
				m.Lines = append(m.Lines, lm)
			}
		}
		return m.respond(ctx)
	}); err != nil {
		return nil, err
	}
	if err := m.lock(ctx); err != nil {
		return nil, err
	}
	m.acrossX = m.cupsAlongX()
	return m, nil
}

// Normal gives a joint's unit normal (A to B) and tangent (From to To),
// dimensionless.
func Normal(j *layout.Joint) (n, t [2]float64) {
	t = [2]float64{(j.To[0] - j.From[0]) / j.Length, (j.To[1] - j.From[1]) / j.Length}
	return [2]float64{t[1], -t[0]}, t
}

func (m *Model) prepareJoint(j int) {
	jt := &m.Board.Joints[j]
	jm := &m.Joints[j]
	n, t := Normal(jt)
	mid := layout.XY{(jt.From[0] + jt.To[0]) / 2, (jt.From[1] + jt.To[1]) / 2}
	sa, sb := m.Sides[jt.A], m.Sides[jt.B]
	if m.Board.Pieces[jt.A].Pith != nil {
		sa.Frame = m.Board.Pieces[jt.A].Frame(mid)
	}
	if m.Board.Pieces[jt.B].Pith != nil {
		sb.Frame = m.Board.Pieces[jt.B].Frame(mid)
	}
	jm.Capacity = joint.CapacityOf(sa, sb, n, t, m.Adhesive.GluedAt(m.GluedAt(j)))
	jm.a, jm.b = jt.A, jt.B
	jm.Trace = m.Plate.Trace(j)
	jm.Intervals = joint.Intervals(jm.Trace.S, jm.Capacity.Length)
	jm.Membrane = make([]MeanTraction, len(jm.Intervals)*len(m.Kinds))
	if m.Bends {
		jm.Bending = make([]MeanTraction, len(jm.Membrane))
	}
	if m.Warps {
		jm.Warp = make([]MeanTraction, len(jm.Membrane))
	}
}

// Load is the moisture of every kind at one moment, relative to gluing.
type Load struct {
	Mean     []float64   // % MC per kind, mean over the thickness
	Slope    []float64   // % MC per mm; nil when there is no bending
	Locked   []float64   // per rest between two glue-ups: share of the stress it left that is still there
	Strength []KindScale // per kind
	Residual Residual
	Change   float64    // % MC since gluing, mean over the area, without sign
	rims     *rims      // of the history; nil for an end state
	at       int        // index of the time in the history
	rim      float64    // factor on what the rims bring
	wet      [2]float64 // h that water has stood on the bottom and on the top face
}

// KindScale is the strength at the present moisture over that at gluing.
type KindScale struct{ Tension, Shear, Crush float64 }

// Unscaled is the strength at gluing itself.
var Unscaled = KindScale{1, 1, 1}

// Critical is the worst place of one joint at one moment. Once its line is judged U
// is the load over the one at which a crack starts and runs, and until then what
// stress alone asks.
type Critical struct {
	U      float64
	Stress float64     // mean stress over strength, over the averaging length; 0 until the line is judged
	Crack  *LineMoment // the line's crack where this joint bears most of it; nil elsewhere, where U is a bound
	Bound  *LineMoment // a path that turns through the joint, whose crack bounds U where it is worse than that of its line; else nil
	N, T   float64     // MPa
	How    joint.How
	Part   joint.Part
	Mode   string // how that part gives
	Window int
	Level  int     // −1 bottom face, 0 through or middle, 1 top face
	Press  float64 // worst pressure on the joint over what crushes the wood
}

// Worst finds the worst stretch and level of a joint under a load: the middle,
// and the outer layers as the bent board strains them. What the profile leaves
// over beyond mean and gradient balances itself inside every piece; it pulls at
// stretches that open from a face, see faceJudge, and checks the wood, see surfaceStresses.
func (m *Model) Worst(j int, l *Load) Critical {
	lim := m.limitsAt(&m.Joints[j], l)
	return m.worst(&m.Joints[j], l, &lim)
}

// worst is Worst where what the joint bears is known.
func (m *Model) worst(jm *JointModel, l *Load, lim *limits) (best Critical) {
	for w := range jm.Intervals {
		m.levels(jm, l, w, func(level int, n, t float64) { jm.keep(&best, n, t, lim.at(level), lim.crush, w, level) })
	}
	return best
}

// limits are what a joint bears at one moment: by level, and the pressure that crushes it.
type limits struct {
	inner joint.Limits
	outer [2]*joint.Limits // of the bottom and of the top face where they are wet
	crush float64          // MPa
}

func (m *Model) limitsAt(jm *JointModel, l *Load) (out limits) {
	out.inner, out.crush = jm.Capacity.At(m.Scale(jm, l, 0)), m.crush(jm, l)
	for side, h := range l.wet {
		if h > 0 {
			wet := jm.Capacity.At(m.Scale(jm, l, 2*side-1))
			out.outer[side] = &wet
		}
	}
	return out
}

// at is what is borne at a level: the faces bear what the middle bears unless they are wet.
func (l *limits) at(level int) *joint.Limits {
	if level != 0 && l.outer[(level+1)/2] != nil {
		return l.outer[(level+1)/2]
	}
	return &l.inner
}

// levels gives the mean traction [MPa] on a stretch of a joint at every level that is
// judged, the middle first.
func (m *Model) levels(jm *JointModel, l *Load, w int, do func(level int, n, t float64)) {
	kinds := len(m.Kinds)
	var me, be MeanTraction
	me.add(l.Mean, jm.Membrane[w*kinds:])
	me.add(l.Locked, jm.Locked[w*len(l.Locked):])
	do(0, me.N, me.T)
	bent := l.Slope != nil && jm.Bending != nil
	if !bent && jm.Warp == nil {
		return
	}
	if bent {
		be.add(l.Slope, jm.Bending[w*kinds:])
	}
	if jm.Warp != nil {
		be.add(l.Mean, jm.Warp[w*kinds:])
		be.add(l.Locked, jm.LockedWarp[w*len(l.Locked):])
	}
	h := m.Board.Thickness / 2
	z := h - min(jm.Capacity.Length, h)/2 // the outer layers are averaged like the stretch
	do(-1, me.N-z*be.N, me.T-z*be.T)
	do(1, me.N+z*be.N, me.T+z*be.T)
}

// add adds amounts of unit tractions.
func (t *MeanTraction) add(amounts []float64, of []MeanTraction) {
	for k, f := range amounts {
		t.N += f * of[k].N
		t.T += f * of[k].T
	}
}

// crush is the pressure [MPa] that crushes the softer side at its moisture.
func (m *Model) crush(jm *JointModel, l *Load) float64 {
	a, b := m.crushes(jm, l)
	return min(a, b)
}

// crushes is the pressure [MPa] that crushes the wood of A and of B at its moisture.
func (m *Model) crushes(jm *JointModel, l *Load) (a, b float64) {
	return jm.Capacity.Crush[0].Value * m.strengthOf(l, jm.a).Crush, jm.Capacity.Crush[1].Value * m.strengthOf(l, jm.b).Crush
}

func (jm *JointModel) keep(best *Critical, n, t float64, lim *joint.Limits, crush float64, w, level int) {
	press := max(best.Press, -n/crush)
	if best.How == "" || verdict.Worse(lim.Square(n, t), best.U*best.U) {
		j := lim.Judge(n, t)
		*best = Critical{U: j.U, N: n, T: t, How: j.How, Part: j.Part, Mode: j.Mode, Window: w, Level: level}
	}
	best.Press = press
}

// Scale is what the moment does to a joint's strengths near the bottom face
// (level −1), in the middle (0) or near the top face (1).
func (m *Model) Scale(jm *JointModel, l *Load, level int) joint.Scale {
	if l.Strength == nil {
		return joint.Scale{}
	}
	a, b := m.strengthOf(l, jm.a), m.strengthOf(l, jm.b)
	s := joint.Scale{TensionA: a.Tension, TensionB: b.Tension, ShearA: a.Shear, ShearB: b.Shear, Bond: 1}
	if level != 0 {
		s.Bond = m.Adhesive.Wet(l.wet[(level+1)/2])
	}
	return s
}

// Place gives the middle of a stretch of a joint on the board.
func (m *Model) Place(j, interval int) layout.XY {
	jt := &m.Board.Joints[j]
	w := &m.Joints[j].Intervals[interval]
	s := (w.From + w.To) / 2 / jt.Length
	return layout.XY{jt.From[0] + s*(jt.To[0]-jt.From[0]), jt.From[1] + s*(jt.To[1]-jt.From[1])}
}

// Strengths gives the scale of strengths when every kind is at its own moisture
// [% MC].
func (p *Parts) Strengths(mc []float64) []KindScale {
	out := make([]KindScale, len(p.Kinds))
	for k := range p.Kinds {
		kd := &p.Kinds[k]
		now, then := kd.Species.Strength(mc[k]), kd.Species.Strength(kd.Glued)
		out[k] = KindScale{now.TensionT / then.TensionT, now.ShearRolling / then.ShearRolling, now.CompressionPerp / then.CompressionPerp}
	}
	return out
}
