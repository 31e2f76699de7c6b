package plate

import (
	"context"
	"math"
)

// Release is the energy set free when a stretch of a joint opens, N/mm (that is
// kJ/m²) of glue line, split by the motion of the two lips: Opening apart,
// Sliding along the joint.
type Release struct {
	From, To         float64 // mm from the joint's start
	Opening, Sliding float64 // N/mm, mean over the stretch
	Pressed          bool    // the lips would run into each other: opening is not counted
}

// ReleaseOf opens a joint from one end over at least the length a (mm) and gives
// the energy released by the closure integral ½∫ t·δ ds, t the traction before
// and δ the jump of displacement after (Irwin 1957; Rybicki and Kanninen,
// Engineering Fracture Mechanics 9, 1977; from memory). fromStart tells which
// end. The board keeps its loads: amounts in % MC per piece. Membrane only.
func (p *Model) ReleaseOf(ctx context.Context, tr *Trace, x, amount []float64, a float64, fromStart bool, opt Options) (Release, error) {
	jt := &p.Board.Joints[tr.Joint]
	nodes := p.jointNodes(jt, tr.t)
	last := len(nodes) - 1
	first, stop := 0, last
	if a < jt.Length {
		if fromStart {
			for stop = 2; stop < last && tr.S[stop] < a; stop += 2 {
			}
			stop-- // the tip stays closed
		} else {
			for first = last - 2; first > 0 && jt.Length-tr.S[first] < a; first -= 2 {
			}
			first++
		}
	}
	cut, lips := p.Mesh.Open(p.Board, tr.Joint, nodes, first, stop)
	q, err := New(ctx, p.Board, cut, p.Woods, opt)
	if err != nil {
		return Release{}, err
	}
	y, err := q.Respond(Membrane, [][]float64{amount})
	if err != nil {
		return Release{}, err
	}
	f := p.Forces(Membrane, tr, [][]float64{x}, [][]float64{amount})[0]
	var r Release
	r.From, r.To = tr.S[max(0, first-1)], tr.S[min(last, stop+1)]
	for _, l := range lips {
		dx := y[0][2*l.B] - y[0][2*l.A]
		dy := y[0][2*l.B+1] - y[0][2*l.A+1]
		r.Opening += f[l.At].N * (dx*tr.n[0] + dy*tr.n[1]) / 2
		r.Sliding += f[l.At].T * (dx*tr.t[0] + dy*tr.t[1]) / 2
	}
	gap := 0.0
	for _, l := range lips {
		gap += (y[0][2*l.B]-y[0][2*l.A])*tr.n[0] + (y[0][2*l.B+1]-y[0][2*l.A+1])*tr.n[1]
	}
	length := r.To - r.From
	r.Opening, r.Sliding = r.Opening/length, r.Sliding/length
	if gap < 0 {
		r.Opening, r.Pressed = 0, true
	}
	r.Opening, r.Sliding = math.Max(0, r.Opening), math.Max(0, r.Sliding)
	return r, nil
}
