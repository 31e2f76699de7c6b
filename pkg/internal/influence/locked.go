package influence

import (
	"context"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// locked is what one spell left in the board, per unit: the stress that its changes of
// moisture brought in the sub-assemblies of the time, which later glue-ups locked in.
type locked struct {
	parts []lockedPart
	// Per joint, what its nodes bear; nil for a joint that there was not.
	forces, warps [][]plate.Traction
}

// lockedPart is one sub-assembly in one spell.
type lockedPart struct {
	of      []int // per piece of the sub-assembly: its number on the board
	jointOf []int
	amount  []float64 // per piece, change of bound water, % MC
	plate   *plate.Model
	stress  [][3]float64 // per element of the sub-assembly, MPa
}

// lock solves the sub-assemblies of every spell and lays the tractions on the joints
// that there were then, and on the lines they belong to.
func (m *Model) lock(ctx context.Context) error {
	m.spells = make([]locked, len(m.past.spells))
	if len(m.spells) == 0 {
		return nil
	}
	n := len(m.spells)
	for k := range m.spells {
		if err := m.lockSpell(ctx, k); err != nil {
			return err
		}
	}
	for j := range m.Joints {
		jm := &m.Joints[j]
		if jm.Trace == nil {
			continue // not on the path
		}
		jm.Locked = make([]MeanTraction, len(jm.Intervals)*n)
		if m.Warps {
			jm.LockedWarp = make([]MeanTraction, len(jm.Intervals)*n)
		}
		for k := range m.spells {
			s := &m.spells[k]
			for w := range jm.Intervals {
				if s.forces[j] != nil {
					jm.Locked[w*n+k] = mean(&jm.Intervals[w], s.forces[j])
				}
				if m.Warps && s.warps[j] != nil {
					jm.LockedWarp[w*n+k] = mean(&jm.Intervals[w], s.warps[j])
				}
			}
		}
	}
	for _, lm := range m.Lines {
		lm.lock(m)
	}
	return nil
}

// lock gives a line what every spell left as cases of its own.
func (lm *LineModel) lock(m *Model) {
	for k := range m.spells {
		lm.Crack.Membrane = append(lm.Crack.Membrane, lm.oneCase(m, m.spells[k].forces))
		if m.Warps {
			lm.Crack.Bending = append(lm.Crack.Bending, lm.oneCase(m, m.spells[k].warps))
		}
	}
}

// oneCase takes the forces on the joints [MPa·mm, MPa/mm·mm] as a case of a line.
func (lm *LineModel) oneCase(m *Model, forces [][]plate.Traction) fracture.Load {
	joints := make([][]plate.Traction, len(lm.Line.Joints))
	for k, lj := range lm.Line.Joints {
		if joints[k] = forces[lj.Joint]; joints[k] == nil {
			joints[k] = make([]plate.Traction, len(m.Joints[lj.Joint].Trace.S))
		}
	}
	f := lm.lips.Load(&lm.Line, joints)
	return fracture.Load{N: f.N, T: f.T, SideN: f.SideN, SideT: f.SideT}
}

// lockSpell solves every sub-assembly of one spell for what its pieces changed by.
func (m *Model) lockSpell(ctx context.Context, k int) error {
	s, out := &m.past.spells[k], &m.spells[k]
	out.forces, out.warps = make([][]plate.Traction, len(m.Joints)), make([][]plate.Traction, len(m.Joints))
	for i, root := range s.assembly {
		if root != i { // an assembly is known by its root
			continue
		}
		p := m.Board.Part(func(piece int) bool { return s.assembly[piece] == root })
		part := lockedPart{of: p.Of, jointOf: p.JointOf, amount: make([]float64, len(p.Of))}
		woods := make([]plate.Wood, len(p.Of))
		changed := false
		for i, of := range p.Of {
			woods[i] = m.Wood[of]
			sp := m.Kinds[m.KindOf[of]].Species
			part.amount[i] = sp.BoundWater(s.to[of]) - sp.BoundWater(s.from[of])
			changed = changed || part.amount[i] != 0
		}
		if len(p.Of) == 1 && woods[0].At == nil {
			continue // nothing holds it
		}
		if !changed {
			continue
		}
		o := &m.solved
		var err error
		if part.plate, err = plate.New(ctx, p.Board, m.Mesh.Part(p), woods, plate.Options{Bending: m.Warps, Workers: o.Workers, Cache: o.Cache.Membrane(), Bend: o.Cache.Bending()}); err != nil {
			return err
		}
		if err := m.lockPart(ctx, &part, plate.Membrane, out.forces); err != nil {
			return err
		}
		if m.Warps {
			if err := m.lockPart(ctx, &part, plate.Warp, out.warps); err != nil {
				return err
			}
		}
		out.parts = append(out.parts, part)
	}
	return nil
}

// lockPart solves one sub-assembly in one mode and keeps what its joints bear.
func (m *Model) lockPart(ctx context.Context, part *lockedPart, mode plate.Mode, forces [][]plate.Traction) error {
	amounts := [][]float64{part.amount}
	x, err := part.plate.Respond(ctx, mode, amounts)
	if err != nil {
		return err
	}
	if mode == plate.Membrane && m.patches != nil {
		part.stresses(x[0])
	}
	for j, of := range part.jointOf {
		if m.Joints[of].Trace != nil {
			forces[of] = part.plate.Forces(mode, part.plate.Trace(j), x, amounts)[0]
		}
	}
	return nil
}

// stresses keeps the stress of every element under displacements x.
func (p *lockedPart) stresses(x []float64) {
	els := p.plate.Mesh.Elements
	p.stress = make([][3]float64, len(els))
	for e := range els {
		p.stress[e] = p.plate.Stress(plate.Membrane, e, x, p.amount[els[e].Piece])
	}
}

// addLocked adds the locked-in stress of a load to that of the elements of the board,
// MPa.
func (m *Model) addLocked(sig [][3]float64, l *Load) {
	for k, f := range l.Locked {
		for i := range m.spells[k].parts {
			p := &m.spells[k].parts[i]
			for q, of := range p.of {
				for n, e := range p.plate.Mesh.ByPiece[q] {
					s := &sig[m.Mesh.ByPiece[of][n]]
					for r := range s {
						s[r] += f * p.stress[e][r]
					}
				}
			}
		}
	}
}

// addLockedForces adds what a load has locked in on a joint to the forces at its nodes.
func (m *Model) addLockedForces(mode plate.Mode, j int, l *Load, to []plate.Traction) {
	for k, share := range l.Locked {
		of := m.spells[k].forces
		switch mode {
		case plate.Bending:
			return
		case plate.Warp:
			of = m.spells[k].warps
		}
		for i, t := range of[j] {
			to[i].N += share * t.N
			to[i].T += share * t.T
		}
	}
}

// lockedInfluence is what the pieces of one sub-assembly brought to a demand in one
// spell, per unit of what is left of it.
type lockedInfluence struct {
	spell  int
	of     []int
	amount []float64 // per piece of the sub-assembly
}

// lockedInfluences linearises what is locked in about a demand: weights are those of
// the nodes of its joint. A free strain that all pieces of a sub-assembly share
// stresses nothing, so each piece counts by what sets it apart from their mean.
func (m *Model) lockedInfluences(ctx context.Context, in *Linear, weights []plate.Traction) error {
	for k := range m.spells {
		for i := range m.spells[k].parts {
			p := &m.spells[k].parts[i]
			j := slices.Index(p.jointOf, in.joint)
			if j < 0 {
				continue
			}
			found := lockedInfluence{spell: k, of: p.of, amount: make([]float64, len(p.of))}
			w := []plate.Weights{{Trace: p.plate.Trace(j), Node: weights}}
			mem, err := p.plate.Influences(ctx, plate.Membrane, w)
			if err != nil {
				return err
			}
			var mean [3]float64
			area := 0.0
			for q, of := range p.of {
				a := m.Board.Pieces[of].Area
				area += a
				for c, u := range m.Wood[of].Unit {
					mean[c] += a * p.amount[q] * u
				}
			}
			for c := range mean {
				mean[c] /= area
			}
			for q := range p.of {
				found.amount[q] = mem[0][q].Amount*p.amount[q] - dot(&mem[0][q].Strain, &mean)
			}
			if m.Warps && in.demand.Level != 0 {
				warp, err := p.plate.Influences(ctx, plate.Warp, w)
				if err != nil {
					return err
				}
				z := m.heightOf(in.joint, in.demand.Level)
				for q := range p.of {
					found.amount[q] += z * warp[0][q].Amount * p.amount[q]
				}
			}
			in.locked = append(in.locked, found)
		}
	}
	return nil
}

// addLocked adds what is locked in to the shares of the pieces of the board.
func (in *Linear) addLocked(to []float64, l *Load) []float64 {
	for i := range in.locked {
		p := &in.locked[i]
		for q, of := range p.of {
			if p.spell < len(l.Locked) {
				to[of] += l.Locked[p.spell] * p.amount[q]
			}
		}
	}
	return to
}
