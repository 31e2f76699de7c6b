package check

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

// cracks looks at the worst joints above tight: would a crack that starts there
// find the energy to run? Lengths from the averaging length to the whole joint
// are tried from its worse end, and the one that releases most is told.
func (m *Model) cracks(ctx context.Context, joints []governing) ([]Crack, error) {
	found := append([]governing{}, joints...)
	sort.SliceStable(found, func(a, b int) bool { return found[a].d.u > found[b].d.u })
	var out []Crack
	for _, g := range found {
		if len(out) == m.mostCracks() {
			break
		}
		if g.d.u < verdict.FromTight {
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

func (m *Model) crack(g governing) (Crack, error) {
	jm := &m.joints[g.joint]
	jt := &m.board.Joints[g.joint]
	win := &jm.windows[g.d.window]
	x := combine(m.shift, g.load.mean)
	amount := make([]float64, len(m.board.Pieces))
	for i := range amount {
		amount[i] = g.load.mean[m.kindOf[i]]
	}
	a, b := m.sides[jt.A].Species.FractureEnergy(0), m.sides[jt.B].Species.FractureEnergy(0)
	out := Crack{Joint: jt.ID, Energy: math.Min(a.V, b.V), Utilisation: g.d.u}
	lips, err := m.Plate.Lips(jm.trace)
	if err != nil {
		return out, err
	}
	for _, share := range openings {
		length := math.Max(share*jt.Length, math.Min(jm.capacity.Length, jt.Length))
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
	out.Starts, out.Runs = g.d.u >= verdict.FromFails, out.Ratio >= 1
	// Both must be met: the harder one to meet governs.
	out.Governs = "start"
	if math.Sqrt(out.Ratio) < g.d.u {
		out.Governs = "run"
	}
	return out, nil
}

// openings are the shares of a joint that are tried, from its worse end. Where
// the joint is all that holds two parts of a board together, opening all of it
// lets one float, and the largest share below counts.
var openings = [...]float64{0, 0.25, 0.5, 0.75, 0.95, 1}
