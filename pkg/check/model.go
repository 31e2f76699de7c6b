package check

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Model is a board prepared once: stiffness factorised, and for every kind of
// piece the tractions that one per cent of moisture brings on every stretch of
// every joint. Any season, exposure or what-if of moisture is then a sum.
type Model struct {
	parts
	Plate   *plate.Model
	Mesh    *mesh.Mesh
	joints  []jointModel
	cache   *sparse.Cache
	glue    adhesive.Class
	shift   [][]float64   // membrane displacement per kind, mm per % MC
	bend    [][]float64   // bending displacement per kind, per % MC/mm; nil without bending
	warp    [][]float64   // bending displacement per kind, per % MC: slanting and curved rings; nil where no piece has them
	rims    [][]float64   // per kind, displacement of the rim [mm] for one % MC
	warps   []plate.Curve // nil where nothing warps
	curves  []plate.Curve // nil without bending
	acrossX bool          // the cup is told along x, not along y
	patches [][]patch     // squares of wood to judge, per piece
}

// jointModel is one joint ready for sums. The influence tables hold, for window
// w and kind k at w*kinds+k, the mean traction per % MC (membrane) or per % MC
// per mm (bending, MPa/mm).
type jointModel struct {
	capacity joint.Capacity
	trace    *plate.Trace
	windows  []joint.Window
	membrane []plate.Traction
	bending  []plate.Traction
	warp     []plate.Traction // per % MC, MPa/mm; nil where nothing warps
	a, b     int              // kinds of the two sides
}

func build(ctx context.Context, b *layout.Board, c Conditions, bending bool) (*Model, error) {
	p, err := translate(b)
	if err != nil {
		return nil, err
	}
	m := &Model{parts: *p, cache: c.Cache}
	if m.cache == nil {
		m.cache = &sparse.Cache{}
	}
	if m.glue, err = adhesive.Find(b.Glue); err != nil {
		return nil, err
	}
	if m.Mesh, err = mesh.Build(b, mesh.Options{Refine: c.Refine}); err != nil {
		return nil, err
	}
	if m.Plate, err = plate.New(ctx, b, m.Mesh, m.wood, plate.Options{Bending: bending, Workers: c.Workers, Cache: m.cache, Bend: c.BendCache}); err != nil {
		return nil, err
	}
	amounts := m.unitAmounts()
	if m.shift, err = m.Plate.Respond(plate.Membrane, amounts); err != nil {
		return nil, err
	}
	if bending {
		if m.bend, err = m.Plate.Respond(plate.Bending, amounts); err != nil {
			return nil, err
		}
		if m.Plate.Warps() {
			if m.warp, err = m.Plate.Respond(plate.Warp, amounts); err != nil {
				return nil, err
			}
		}
	}
	m.prepareShapes()
	m.preparePatches()
	m.joints = make([]jointModel, len(b.Joints))
	for j := range b.Joints {
		m.prepareJoint(j, amounts)
	}
	return m, nil
}

// unitAmounts gives, per kind, one per cent on its pieces and none elsewhere.
func (m *Model) unitAmounts() [][]float64 {
	out := make([][]float64, len(m.kinds))
	for k := range m.kinds {
		out[k] = make([]float64, len(m.board.Pieces))
		for _, i := range m.kinds[k].pieces {
			out[k][i] = 1
		}
	}
	return out
}

// normal gives a joint's unit normal (A to B) and tangent (From to To).
func normal(j *layout.Joint) (n, t [2]float64) {
	t = [2]float64{(j.To[0] - j.From[0]) / j.Length, (j.To[1] - j.From[1]) / j.Length}
	return [2]float64{t[1], -t[0]}, t
}

func (m *Model) prepareJoint(j int, amounts [][]float64) {
	jt := &m.board.Joints[j]
	jm := &m.joints[j]
	n, t := normal(jt)
	mid := layout.XY{(jt.From[0] + jt.To[0]) / 2, (jt.From[1] + jt.To[1]) / 2}
	sa, sb := m.sides[jt.A], m.sides[jt.B]
	if m.board.Pieces[jt.A].Pith != nil {
		sa.Frame = m.board.Pieces[jt.A].Frame(mid)
	}
	if m.board.Pieces[jt.B].Pith != nil {
		sb.Frame = m.board.Pieces[jt.B].Frame(mid)
	}
	a, b := &m.board.Pieces[jt.A], &m.board.Pieces[jt.B]
	jm.capacity = joint.CapacityOf(sa, sb, n, t, m.glue.GluedAt(a.Moisture, b.Moisture))
	jm.a, jm.b = m.kindOf[jt.A], m.kindOf[jt.B]
	jm.trace = m.Plate.Trace(j)
	jm.windows = joint.Windows(jm.trace.S, jm.capacity.Length)
	jm.membrane = m.means(plate.Membrane, jm, m.shift, amounts)
	if m.bend != nil {
		jm.bending = m.means(plate.Bending, jm, m.bend, amounts)
	}
	if m.warp != nil {
		jm.warp = m.means(plate.Warp, jm, m.warp, amounts)
	}
}

// means averages the tractions of every kind over every window.
func (m *Model) means(mode plate.Mode, jm *jointModel, x, amounts [][]float64) []plate.Traction {
	f := m.Plate.Forces(mode, jm.trace, x, amounts)
	out := make([]plate.Traction, len(jm.windows)*len(m.kinds))
	for w := range jm.windows {
		for k := range f {
			sum := &out[w*len(m.kinds)+k]
			for i, c := range jm.windows[w].Weight {
				sum.N += c * f[k][i].N
				sum.T += c * f[k][i].T
			}
		}
	}
	return out
}

// load is the moisture of every kind at one moment, relative to gluing.
type load struct {
	mean     []float64   // % MC per kind, mean over the thickness
	slope    []float64   // % MC per mm; nil when there is no bending
	strength []kindScale // per kind
	wet      [2]float64  // h that water has stood on the bottom and on the top face
}

// kindScale is the strength at the present moisture over that at gluing.
type kindScale struct{ tension, shear float64 }

// demand is the worst place of one joint at one moment.
type demand struct {
	u      float64
	n, t   float64 // MPa
	how    joint.How
	part   joint.Part
	mode   string // how that part gives
	window int
	level  int     // −1 bottom face, 0 through or middle, 1 top face
	press  float64 // worst pressure on the joint over what crushes the wood
}

// worst finds the worst stretch and level of a joint under a load: the middle,
// and the outer layers as the bent board strains them. What the profile leaves
// over beyond mean and gradient balances itself inside every piece, glued or
// not; it is no joint's business but that of checking; see skins.
func (m *Model) worst(j int, l *load) demand {
	jm := &m.joints[j]
	var best demand
	inner := jm.capacity.At(m.scale(jm, l, 0))
	kinds := len(m.kinds)
	h := m.board.Thickness / 2
	for w := range jm.windows {
		var me, be plate.Traction
		for k, f := range l.mean {
			me.N += f * jm.membrane[w*kinds+k].N
			me.T += f * jm.membrane[w*kinds+k].T
		}
		bent := l.slope != nil && jm.bending != nil
		if !bent && jm.warp == nil {
			jm.keep(&best, me.N, me.T, &inner, w, 0)
			continue
		}
		if bent {
			for k, f := range l.slope {
				be.N += f * jm.bending[w*kinds+k].N
				be.T += f * jm.bending[w*kinds+k].T
			}
		}
		if jm.warp != nil {
			for k, f := range l.mean {
				be.N += f * jm.warp[w*kinds+k].N
				be.T += f * jm.warp[w*kinds+k].T
			}
		}
		for level := -1; level <= 1; level++ {
			z := float64(level) * (h - math.Min(jm.capacity.Length, h)/2) // the outer layers are averaged like the stretch
			n, t := me.N+z*be.N, me.T+z*be.T
			lim := &inner
			if level != 0 && l.wet[(level+1)/2] > 0 {
				wet := jm.capacity.At(m.scale(jm, l, level))
				lim = &wet
			}
			jm.keep(&best, n, t, lim, w, level)
		}
	}
	return best
}

func (jm *jointModel) keep(best *demand, n, t float64, lim *joint.Limits, w, level int) {
	press := math.Max(best.press, -n/jm.capacity.Crush.Value)
	if best.how == "" || lim.Square(n, t) > best.u*best.u {
		j := lim.Judge(n, t)
		*best = demand{u: j.U, n: n, t: t, how: j.How, part: j.Part, mode: j.Mode, window: w, level: level}
	}
	best.press = press
}

// scale is what the moment does to a joint's strengths near the bottom face
// (level −1), in the middle (0) or near the top face (1).
func (m *Model) scale(jm *jointModel, l *load, level int) joint.Scale {
	if l.strength == nil {
		return joint.Scale{}
	}
	a, b := l.strength[jm.a], l.strength[jm.b]
	s := joint.Scale{TensionA: a.tension, TensionB: b.tension, ShearA: a.shear, ShearB: b.shear, Bond: 1}
	if level != 0 {
		s.Bond = m.glue.Wet(l.wet[(level+1)/2])
	}
	return s
}

// place gives the middle of a stretch of a joint on the board.
func (m *Model) place(j, window int) layout.XY {
	jt := &m.board.Joints[j]
	w := &m.joints[j].windows[window]
	s := (w.From + w.To) / 2 / jt.Length
	return layout.XY{jt.From[0] + s*(jt.To[0]-jt.From[0]), jt.From[1] + s*(jt.To[1]-jt.From[1])}
}

// strengths gives the scale of strengths when every kind is at its own moisture.
func (m *Model) strengths(mc []float64) []kindScale {
	out := make([]kindScale, len(m.kinds))
	for k := range m.kinds {
		kd := &m.kinds[k]
		now, then := kd.species.Strength(mc[k]), kd.species.Strength(kd.start)
		out[k] = kindScale{now.TensionT / then.TensionT, now.ShearRolling / then.ShearRolling}
	}
	return out
}

// combine sums per-kind displacements.
func combine(x [][]float64, f []float64) []float64 {
	out := make([]float64, len(x[0]))
	for k := range x {
		if f[k] == 0 {
			continue
		}
		for i, v := range x[k] {
			out[i] += f[k] * v
		}
	}
	return out
}
