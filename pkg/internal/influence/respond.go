package influence

import (
	"cmp"
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
)

// MeanTraction is the mean over a stretch of a joint: N along the normal, T
// along the joint, MPa (membrane) or MPa per mm from the mid-plane (bending).
type MeanTraction struct{ N, T float64 }

const (
	sideBytes = 24 << 20 // of the right-hand sides that are solved together
	unitBytes = 32 << 20 // of the displacements that are kept where kinds are many, at most
	sideStep  = 8        // the solver treats so many as fast as one; those of so many kinds take a sixth of the factor
)

// respond solves the plate for one per cent of moisture on every kind, and for
// one per cent per mm, and keeps what the sums need of each answer: tractions,
// the rim, the curve. Bending goes first, so that both factors need not be held at once. The answers themselves are kept where kinds are few, since a sum
// of them costs far less than a solve; where every block was weighed they would be
// pieces squared, and go with their batch.
func (m *Model) respond(ctx context.Context) error {
	kinds := len(m.Kinds)
	m.rims = make([][]float64, kinds)
	var modes []plate.Mode
	if m.Bends {
		modes, m.curves = append(modes, plate.Bending), make([]plate.Curve, kinds)
	}
	if m.Warps {
		modes, m.warps = append(modes, plate.Warp), make([]plate.Curve, kinds)
	}
	each := max(1, sideBytes/(8*3*len(m.Mesh.Nodes)))
	if each > sideStep {
		each -= each % sideStep
	}
	keep := m.patches != nil && (kinds <= sideStep || 8*7*len(m.Mesh.Nodes)*kinds <= unitBytes)
	take := func(mode plate.Mode, from int, amounts, x [][]float64) error {
		if keep {
			m.units[mode] = append(m.units[mode], x...)
		}
		return m.take(ctx, mode, from, amounts, x)
	}
	over := func(mode plate.Mode) error {
		for from := 0; from < kinds; from += each {
			amounts := m.unitAmounts(from, min(from+each, kinds))
			x, err := m.Plate.Respond(ctx, mode, amounts)
			if err == nil {
				err = take(mode, from, amounts, x)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	if m.Bends && m.large() && kinds <= sideStep {
		amounts := m.unitAmounts(0, kinds)
		x, err := m.Plate.RespondOnce(ctx, modes, amounts, m.tracesOfPath())
		if err != nil {
			return err
		}
		for i, mode := range modes {
			if err := take(mode, 0, amounts, x[i]); err != nil {
				return err
			}
		}
		return over(plate.Membrane)
	}
	for _, mode := range modes {
		if err := over(mode); err != nil {
			return err
		}
	}
	// What is asked of bending later is asked of the answers that are kept.
	if m.patches == nil || keep && m.large() {
		m.Plate.Forget(plate.Bending)
	}
	return over(plate.Membrane)
}

// large says that no more is held of a board than is asked often: the causes of what
// happens near a face, which ask once, have bending factorised again.
func (m *Model) large() bool { return len(m.Mesh.Elements) > cmp.Or(m.solved.large, largeFrom) }

// largeFrom is a board of some 250 blocks.
const largeFrom = 8000

// tracesOfPath are those of the joints of a path through the wood, all that is asked of
// its board; nil on any other.
func (m *Model) tracesOfPath() (on []*plate.Trace) {
	if m.patches != nil {
		return nil
	}
	for j := range m.Joints {
		if tr := m.Joints[j].Trace; tr != nil {
			on = append(on, tr)
		}
	}
	return on
}

// take keeps what sums need of the answers x to one per cent of some kinds, the first with
// the number from.
func (m *Model) take(ctx context.Context, mode plate.Mode, from int, amounts, x [][]float64) error {
	for i := range x {
		switch {
		case m.patches == nil: // a path through the wood moves no rim of its own
		case mode == plate.Membrane:
			m.rims[from+i] = m.Plate.Rim(x[i])
		case mode == plate.Bending:
			m.curves[from+i] = m.Plate.Curves(x[i])
		default:
			m.warps[from+i] = m.Plate.Curves(x[i])
		}
	}
	forces := make([][][]plate.Traction, len(m.Joints))
	for j := range m.Joints {
		if err := ctx.Err(); err != nil {
			return err
		}
		jm := &m.Joints[j]
		if jm.Trace == nil {
			continue // not on the path
		}
		to := map[plate.Mode][]MeanTraction{plate.Membrane: jm.Membrane, plate.Bending: jm.Bending, plate.Warp: jm.Warp}[mode]
		f := m.Plate.Forces(mode, jm.Trace, x, amounts)
		for w := range jm.Intervals {
			for i := range f {
				to[w*len(m.Kinds)+from+i] = mean(&jm.Intervals[w], f[i])
			}
		}
		forces[j] = f
	}
	for _, lm := range m.Lines {
		lm.load(m, mode, from, forces)
	}
	return nil
}

// unitAmounts gives, for the kinds from ≤ k < to, 1 % MC on what pieces are of them
// and none elsewhere.
func (m *Model) unitAmounts(from, to int) [][]float64 {
	out := make([][]float64, to-from)
	for k := range out {
		out[k] = make([]float64, len(m.Board.Pieces))
	}
	for i, b := range m.blends {
		if k := b.kind[0]; from <= k && k < to {
			out[k-from][i] += 1 - b.more
		}
		if k := b.kind[1]; from <= k && k < to {
			out[k-from][i] += b.more
		}
	}
	return out
}

// mean averages the forces at the nodes of a joint over a stretch of it.
func mean(w *joint.Interval, f []plate.Traction) (p MeanTraction) {
	for i, c := range w.Weight {
		p.N += c * f[i].N
		p.T += c * f[i].T
	}
	return p
}

// amountsOf spreads amounts per kind [% MC, or % MC per mm] over the pieces.
func (m *Model) amountsOf(perKind []float64) []float64 {
	out := make([]float64, len(m.Board.Pieces))
	for i := range out {
		out[i] = m.Of(perKind, i)
	}
	return out
}

// Stretched gives the displacement of the membrane [mm] under a load, u and v a
// node.
func (m *Model) Stretched(l *Load) []float64 { return m.displaced(plate.Membrane, l.Mean) }

// Deflected gives how a load bends the board: w [mm], φx and φy [rad] a node.
func (m *Model) Deflected(l *Load) []float64 {
	x := make([]float64, 3*len(m.Mesh.Nodes))
	add := func(mode plate.Mode, f []float64) {
		for i, v := range m.displaced(mode, f) {
			x[i] += v
		}
	}
	if m.Bends && l.Slope != nil {
		add(plate.Bending, l.Slope)
	}
	if m.Warps {
		add(plate.Warp, l.Mean)
	}
	return x
}

// displaced gives the displacement [mm, rad] of every node for amounts per kind
// [% MC, or % MC per mm in bending], as a sum of what was kept or by a solve of its
// own, of one side: no longer than a context can wait. Amounts that are not finite
// give displacements that are not, as a sum would.
func (m *Model) displaced(mode plate.Mode, perKind []float64) []float64 {
	if units := m.units[mode]; units != nil {
		sum := make([]float64, len(units[0]))
		for k, f := range perKind {
			if f == 0 {
				continue
			}
			for i, v := range units[k] {
				sum[i] += f * v
			}
		}
		return sum
	}
	x, err := m.Plate.Respond(context.Background(), mode, [][]float64{m.amountsOf(perKind)})
	if err == nil {
		return x[0]
	}
	bad := make([]float64, 3*len(m.Mesh.Nodes))
	for i := range bad {
		bad[i] = math.NaN()
	}
	return bad
}

// AveragedOver judges a joint under a load as if its wood averaged traction over
// another length d [mm].
func (m *Model) AveragedOver(j int, l *Load, d float64) Critical {
	one := *m
	one.Joints = make([]JointModel, len(m.Joints))
	jm := &one.Joints[j]
	*jm = m.Joints[j]
	jm.Capacity.Length = d
	jm.Intervals = joint.Intervals(jm.Trace.S, d)
	// The whole load counts as one kind: that of the first, with an amount of one.
	tractions := func(mode plate.Mode, perKind []float64) []MeanTraction {
		out := make([]MeanTraction, len(jm.Intervals)*len(m.Kinds))
		f := m.Plate.Forces(mode, jm.Trace, [][]float64{m.displaced(mode, perKind)}, [][]float64{m.amountsOf(perKind)})
		m.addLockedForces(mode, j, l, f[0])
		for w := range jm.Intervals {
			out[w*len(m.Kinds)] = mean(&jm.Intervals[w], f[0])
		}
		return out
	}
	unit := *l
	unit.Locked = nil // part of the whole load
	unit.Mean = make([]float64, len(l.Mean))
	unit.Mean[0] = 1
	jm.Membrane = tractions(plate.Membrane, l.Mean)
	if m.Warps {
		jm.Warp = tractions(plate.Warp, l.Mean)
	}
	if m.Bends && l.Slope != nil {
		jm.Bending = tractions(plate.Bending, l.Slope)
		unit.Slope = unit.Mean
	}
	return one.Worst(j, &unit)
}
