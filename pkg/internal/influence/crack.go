package influence

import (
	"context"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// crackWork bounds the joints whose energy is looked at: each costs a batch of
// solves with all unknowns of the membrane. A board of 8×6 blocks gets twelve,
// the largest boards three.
const (
	crackWork    = 120_000
	fewestCracks = 3
)

func (m *Model) mostCracks() int {
	return max(fewestCracks, min(12, crackWork/len(m.Mesh.Nodes)))
}

// jPerM2 turns N/mm into J/m².
const jPerM2 = 1000

// Cracks looks at the worst joints above tight: would a crack that starts there
// find the energy to run? Lengths from the averaging length to the whole joint
// are tried from its worse end, and the one that releases most is told.
func (m *Model) Cracks(ctx context.Context, joints []Moment) ([]Crack, error) {
	found := append([]Moment{}, joints...)
	sort.SliceStable(found, func(a, b int) bool { return verdict.Worse(found[a].D.U, found[b].D.U) })
	var out []Crack
	for _, g := range found {
		if len(out) == m.mostCracks() {
			break
		}
		if g.D.U < verdict.FromTight {
			break
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		cr, err := m.crack(g)
		if err != nil {
			return nil, err
		}
		out = append(out, cr)
	}
	return out, nil
}

// Crack is the energy check of one joint.
type Crack struct {
	Joint   int
	U       float64 // stress, over the averaging length
	Length  float64 // mm, of the opening that releases most
	Release float64 // J/m², energy released by opening it
	Energy  float64 // J/m², fracture energy of the weaker side
	Ratio   float64 // release over fracture energy
}

func (m *Model) crack(g Moment) (Crack, error) {
	jm := &m.Joints[g.Joint]
	jt := &m.Board.Joints[g.Joint]
	win := &jm.Windows[g.D.Window]
	x, amount := m.Stretched(g.Load), m.amountsOf(g.Load.Mean)
	a, b := m.Sides[jt.A].Species.FractureEnergy(0), m.Sides[jt.B].Species.FractureEnergy(0)
	out := Crack{Joint: g.Joint, Energy: math.Min(a.V, b.V), U: g.D.U}
	lips, err := m.Plate.Lips(jm.Trace)
	if err != nil {
		return out, err
	}
	for _, share := range openings {
		length := math.Max(share*jt.Length, math.Min(jm.Capacity.Length, jt.Length))
		from, to := 0.0, length
		if win.From+win.To > jt.Length {
			from, to = jt.Length-length, jt.Length
		}
		r, ok := lips.Release(x, amount, from, to)
		if e := jPerM2 * (r.Opening + r.Sliding); ok && e > out.Release {
			out.Release, out.Length = e, r.To-r.From
		}
	}
	out.Ratio = out.Release / out.Energy
	return out, nil
}

// openings are the shares of a joint that are tried, from its worse end. Where
// the joint is all that holds two parts of a board together, opening all of it
// lets one float, and the largest share below counts.
var openings = [...]float64{0, 0.25, 0.5, 0.75, 0.95, 1}
