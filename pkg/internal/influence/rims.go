package influence

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/layers"
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// lineEnd is the end of a glue line at the rim of the board. The wood there dries and
// drinks ahead of the middle, which holds it: the joint is pulled or pressed by the
// mean of its two sides.
type lineEnd struct {
	key     rimKey
	modulus float64 // MPa across the line that one per cent of moisture held back brings
	swells  float64 // share of the first side in what swells across the line
	gives   float64 // and in what gives
	joint   int     // of the line
}

// rimKey is what the history of a rim depends on: the kinds of both sides, the lower
// first, whether their fibres run with the line, and its length.
type rimKey struct {
	kind   [2]int
	along  [2]bool
	length float64 // mm
}

// Fibres run with a line, or across it, within these cosines of the angle between.
const (
	withLine   = 0.94 // 20°
	acrossLine = 0.34
)

// findEnds finds the ends of a line at the rim where its wood can run ahead of the
// middle by more than a stress is averaged over, and weakens those of long grain.
func (m *Model) findEnds(lm *LineModel) {
	l := &lm.Line
	for e, lj := range [2]int{0, len(l.Joints) - 1} {
		if lm.Crack.Shut[e] {
			continue
		}
		jt := &m.Board.Joints[l.Joints[lj].Joint]
		_, t, _ := l.Arm(lj)
		end := &lineEnd{joint: lj, key: rimKey{length: l.Length}}
		fits := true
		var swells, gives [2]float64
		for s, p := range [2]int{jt.A, jt.B} {
			pc := &m.Board.Pieces[p]
			with := 0.0 // end grain: the fibres run across the line
			if !pc.Grain.Up {
				sin, cos := math.Sincos(pc.Grain.Angle * math.Pi / 180)
				with = math.Abs(cos*t[0] + sin*t[1])
			}
			end.key.kind[s], end.key.along[s] = m.KindOf[p], with > withLine
			reach := m.Board.Thickness / math.Pi
			if ratio := math.Sqrt(moisture.AlongRatio(m.Sides[p].Species.Class)); end.key.along[s] {
				reach *= ratio
			} else if pc.Grain.Up {
				reach /= ratio
			}
			fits = fits && (with > withLine || with < acrossLine) && reach > joint.AveragingLength().V
			swells[s], gives[s] = m.acrossLine(p, [2]float64{t[1], -t[0]})
		}
		swell, give := swells[0]+swells[1], gives[0]+gives[1]
		if !fits || swell == 0 || give == 0 {
			continue
		}
		end.modulus, end.swells, end.gives = swell/give, swells[0]/swell, gives[0]/give
		if k := &end.key; k.kind[0] > k.kind[1] || k.kind[0] == k.kind[1] && !k.along[0] && k.along[1] {
			k.kind[0], k.kind[1], k.along[0], k.along[1] = k.kind[1], k.kind[0], k.along[1], k.along[0]
			end.swells, end.gives = 1-end.swells, 1-end.gives
		}
		lm.ends[e] = end
		lm.Crack.Least[e] = layers.Default().Deep * m.Board.Thickness // a shorter one is a check, and told as such
		if end.key.along == [2]bool{true, true} {
			m.weaken(lm, e)
		}
	}
}

// acrossLine is what a piece swells by [per % MC] and gives [1/MPa] in the direction of
// a normal, free to move along it.
func (m *Model) acrossLine(p int, n [2]float64) (swells, gives float64) {
	w := &m.Wood[p]
	e := [3]float64{n[0] * n[0], n[1] * n[1], n[0] * n[1]}
	s := matrix.Inverse(&w.Q)
	for a := range e {
		swells += e[a] * w.Unit[a]
		for b := range e {
			gives += e[a] * s[a][b] * e[b]
		}
	}
	return swells, gives
}

// weaken gives the sides near an end of a line a joint of their own, whose bond and
// toughness are those of a weak end.
func (m *Model) weaken(lm *LineModel, e int) {
	c := lm.Crack
	last := len(lm.Line.Joints) + len(lm.weak)
	some := false
	joints := append([]int{}, c.Joint...)
	for i, j := range c.Joint {
		at := (c.Place[2*i] + c.Place[2*i+2]) / 2
		if e == 1 {
			at = lm.Line.Length - at
		}
		if at < joint.EndLength().V && j == lm.ends[e].joint {
			joints[i], some = last, true
		}
	}
	if !some {
		return
	}
	c.Joint = joints
	lm.less(lm.ends[e].joint, joint.EndShare().V)
	lm.weakEnds = true
}

// weakened are the criteria of a joint whose bond bears a share: the wood beside it is sound.
func weakened(parts [fracture.Parts]joint.Criterion, share float64) [fracture.Parts]joint.Criterion {
	for _, bond := range [2]int{1, 2} {
		parts[bond] = parts[bond].Scaled(share, share)
	}
	return parts
}

// jointOf is the joint of the line of a number that a result names.
func (lm *LineModel) jointOf(number int) int {
	if n := len(lm.Line.Joints); number >= n {
		return lm.weak[number-n].joint
	}
	return number
}

// FromEnd says that what opens begins at the rim of the board, where the wood runs ahead
// of the middle.
func (l *LineMoment) FromEnd(m *Model) bool {
	if l.Line < 0 || l.Load == nil || l.Load.rims == nil {
		return false
	}
	lm, r := l.lm, &l.Result
	return r.Opens && (lm.ends[0] != nil && r.From < Flat || lm.ends[1] != nil && r.To > lm.Line.Length-Flat)
}

// EndRange is the utilisation of a line that opens from the rim with the strongest and
// the weakest ends of their range (dimensionless): strength and the root of toughness
// go with the share, so that where the stretch lies in the weak end v goes with its
// inverse.
func (m *Model) EndRange(l *LineMoment) (low, high float64) {
	v := l.Result.V
	if !m.Lines[l.Line].weakEnds {
		return v, v
	}
	share := joint.EndShare()
	return v * share.V / share.Hi, v * share.V / share.Lo
}

// rims are the rims of a board in one history.
type rims struct{ of map[rimKey]*rimHistory }

// rimHistory is the stress across a line near its end, over time, for the modulus it
// was worked out with.
type rimHistory struct {
	at      []float64 // mm from the end, rising
	stress  [][]float64
	modulus float64
}

// followRims follows the rims of all lines of the board. middles are the histories of
// the kinds. Errors: those of package moisture.
func (m *Model) followRims(ctx context.Context, middles []*moisture.History, phases []moisture.Phase) (*rims, error) {
	out := &rims{of: map[rimKey]*rimHistory{}}
	type oneKey struct {
		kind   int
		along  bool
		length float64
	}
	known := map[oneKey]*moisture.Rim{}
	typical := m.typicalEnds()
	for _, lm := range m.Lines {
		for _, end := range lm.ends {
			if end == nil || out.of[end.key] != nil {
				continue
			}
			var sides [2]*moisture.Rim
			for s, k := range end.key.kind {
				one := oneKey{k, end.key.along[s], end.key.length}
				if known[one] == nil {
					kd := &m.Kinds[k]
					line := moisture.Column{Species: kd.Species, Along: one.along, Finish: m.Board.Ends, Renewed: m.Board.Renewed, M0: middles[k].Mean[0]}
					across := m.Column(k, line.M0)
					r, err := moisture.SimulateRim(ctx, line, across, one.length, middles[k], phases)
					if err != nil {
						return nil, err
					}
					known[one] = r
				}
				sides[s] = known[one]
			}
			out.of[end.key] = m.rimStress(typical[end.key], sides, middles)
		}
	}
	return out, nil
}

// typicalEnds are the ends that stand for all of a key, whose rings may differ: their
// means, so that it does not matter which line is told first.
func (m *Model) typicalEnds() map[rimKey]*lineEnd {
	all := map[rimKey][]*lineEnd{}
	for _, lm := range m.Lines {
		for _, end := range lm.ends {
			if end != nil {
				all[end.key] = append(all[end.key], end)
			}
		}
	}
	out := map[rimKey]*lineEnd{}
	for key, ends := range all {
		mean := *ends[0]
		for i, end := range ends[1:] { // what is added to a mean of equals is nothing
			n := float64(i + 2)
			mean.modulus += (end.modulus - mean.modulus) / n
			mean.swells += (end.swells - mean.swells) / n
			mean.gives += (end.gives - mean.gives) / n
		}
		out[key] = &mean
	}
	return out
}

// rimStress holds the rim to the strain of the middle: a section along the line that
// stays straight, with one end running ahead and no force in all. Both sides bear one
// stress: their strains add up, each by its share, what swells and what gives. Wood that is
// wetter is crushed where it yields, and drier wood opens in fine checks where it bears no
// more.
func (m *Model) rimStress(end *lineEnd, sides [2]*moisture.Rim, middles []*moisture.History) *rimHistory {
	r := sides[0]
	a, b := &m.Kinds[end.key.kind[0]], &m.Kinds[end.key.kind[1]]
	mat, other := a.material(), b.material()
	for i := range mat.Yield {
		mat.Yield[i] = min(mat.Yield[i], other.Yield[i])
		mat.Tension[i] = min(mat.Tension[i], other.Tension[i])
	}
	if mat.Stiff != other.Stiff {
		for i, f := range mat.Stiff {
			mat.Stiff[i] = 1 / (end.gives/f + (1-end.gives)/other.Stiff[i])
		}
	}
	mat.Modulus = end.modulus
	s := &layers.Section{Width: r.Width}
	for _, x := range r.At {
		s.Z = append(s.Z, x-end.key.length/2)
	}
	bound := func(k *kind, r *moisture.Rim, h *moisture.History, t, i int) float64 {
		ahead := 0.0
		if i < len(r.At)/2 { // the other end has its own history
			ahead = r.Ahead[t][i]
		}
		return k.Species.BoundWater(max(0, h.Mean[t]+ahead))
	}
	ha, hb := middles[end.key.kind[0]], middles[end.key.kind[1]]
	rows := make([][]float64, len(ha.Times))
	for t := range rows {
		rows[t] = make([]float64, len(r.At))
		for i := range rows[t] {
			rows[t][i] = end.swells*bound(a, sides[0], ha, t, i) + (1-end.swells)*bound(b, sides[1], hb, t, i)
		}
	}
	return &rimHistory{at: r.At, stress: s.Follow(mat, ha.Times, rows).Stress, modulus: end.modulus}
}

// stressAt is the stress [MPa] at a distance from the end [mm] at a time.
func (r *rimHistory) stressAt(t int, x float64, modulus float64) float64 {
	row := r.stress[t]
	f := modulus / r.modulus
	if x <= r.at[0] {
		return f * row[0]
	}
	lo, hi := 0, len(r.at)-1
	if x >= r.at[hi] {
		return f * row[hi]
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; r.at[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return f * (row[lo] + (x-r.at[lo])/(r.at[hi]-r.at[lo])*(row[hi]-row[lo]))
}

// rimParts is the number of parts of a side over which the stress of a rim is added up.
const rimParts = 6

// rimLoad is what the rims exert on a line; nil where nothing.
func (l *Load) rimLoad(lm *LineModel) *fracture.Load {
	if l.rims == nil || lm.ends == [2]*lineEnd{} {
		return nil
	}
	c := lm.Crack
	n := len(c.Joint)
	out := &fracture.Load{N: make([]float64, len(c.Place)), T: make([]float64, len(c.Place)), SideN: make([]float64, n), SideT: make([]float64, n)}
	for e, end := range lm.ends {
		if end == nil {
			continue
		}
		r := l.rims.of[end.key]
		if r == nil {
			return nil // a line of another board
		}
		for i := range n {
			h := c.Place[2*i+2] - c.Place[2*i]
			for k := range rimParts {
				u := (float64(k) + 0.5) / rimParts
				x := c.Place[2*i] + u*h
				if e == 1 {
					x = lm.Line.Length - x
				}
				f := l.rim * r.stressAt(l.at, x, end.modulus) * h / rimParts
				out.SideN[i] += f
				// The jump is a parabola over the side.
				for q, shape := range [3]float64{(1 - u) * (1 - 2*u), 4 * u * (1 - u), u * (2*u - 1)} {
					out.N[2*i+q] += shape * f * c.Thickness
				}
			}
		}
	}
	return out
}

// rimPeak is the highest stress over strength of any line with a rim at the moment of
// a load.
func (m *Model) rimPeak(l *Load) float64 {
	most := 0.0
	for _, lm := range m.Lines {
		if lm.ends != [2]*lineEnd{} {
			most = max(most, lm.Crack.Peak(m.stateOf(lm, l)))
		}
	}
	return most
}
