package check

import (
	"context"
	"errors"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/plate"
	"github.com/tanrad/tanrad/pkg/sparse"
)

// mostCracks is the number of joints whose energy is looked at; each costs two
// more factorisations.
const mostCracks = 3

// jPerM2 turns N/mm into J/m².
const jPerM2 = 1000

// cracks looks at the worst joints above tight: would a crack that starts there
// find the energy to run? Two lengths are tried from the worst end: the
// averaging length, and the whole joint.
func (m *Model) cracks(ctx context.Context, c Conditions, joints []governing) ([]Crack, error) {
	found := append([]governing{}, joints...)
	sort.SliceStable(found, func(a, b int) bool { return found[a].d.u > found[b].d.u })
	var out []Crack
	for _, g := range found {
		if len(out) == mostCracks {
			break
		}
		if g.d.u < 0.5 {
			break
		}
		cr, err := m.crack(ctx, c, g)
		if err != nil {
			return nil, err
		}
		out = append(out, cr)
	}
	return out, nil
}

func (m *Model) crack(ctx context.Context, c Conditions, g governing) (Crack, error) {
	jm := &m.joints[g.joint]
	jt := &m.board.Joints[g.joint]
	win := &jm.windows[g.d.window]
	fromStart := win.From+win.To <= jt.Length
	x := combine(m.shift, g.load.mean)
	amount := make([]float64, len(m.board.Pieces))
	for i := range amount {
		amount[i] = g.load.mean[m.kindOf[i]]
	}
	a, b := m.sides[jt.A].Species.FractureEnergy(), m.sides[jt.B].Species.FractureEnergy()
	out := Crack{Joint: jt.ID, Energy: math.Min(a.V, b.V), Utilisation: g.d.u}
	for _, length := range [2]float64{jm.capacity.Length, jt.Length} {
		opt := plate.Options{Workers: c.Workers, Cache: m.cache}
		r, err := m.Plate.ReleaseOf(ctx, jm.trace, x, amount, length, fromStart, opt)
		var loose *sparse.NotPositiveDefinite
		if errors.As(err, &loose) {
			// The joint is all that holds two parts of the board together: opened
			// whole, one of them floats. The last tenth stays closed.
			r, err = m.Plate.ReleaseOf(ctx, jm.trace, x, amount, 0.9*jt.Length, fromStart, opt)
		}
		if err != nil {
			return out, err
		}
		if e := jPerM2 * (r.Opening + r.Sliding); e > out.Release {
			out.Release, out.Length = e, r.To-r.From
		}
	}
	out.Ratio = out.Release / out.Energy
	out.Starts, out.Runs = g.d.u >= 1, out.Ratio >= 1
	// Both must be met: the harder one to meet governs.
	out.Governs = "start"
	if math.Sqrt(out.Ratio) < g.d.u {
		out.Governs = "run"
	}
	return out, nil
}
