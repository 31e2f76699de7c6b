package plate

import (
	"context"
	"errors"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Mode says which equations are meant and what loads them.
type Mode int

const (
	// Membrane takes amounts in % MC, the mean over the thickness, and answers
	// in mm and MPa.
	Membrane Mode = iota
	// Bending takes amounts in % MC per mm, the gradient over the thickness,
	// positive when the top face is wetter, and answers in mm, rad, and MPa per
	// mm from the mid-plane.
	Bending
	// Warp takes amounts in % MC, the mean over the thickness, and answers as
	// Bending does: it is what slanting and curved rings of long-grain pieces
	// bend under an even change of moisture (Wood.Shear, Wood.Bend).
	Warp
)

// dof is the number of unknowns a node.
func (m Mode) dof() int {
	if m == Membrane {
		return 2
	}
	return 3
}

// inPlane is the place of the first in-plane unknown (u or φx) of a node.
func (m Mode) inPlane() int { return m.dof() - 2 }

// Load gives the right-hand side for one amount a piece: h·∫BᵀQε0 [N], or
// h³/12·∫B_κᵀQκ0 + 5/6·h·∫B_γᵀGγ0 [N·mm; N for w].
func (p *Model) Load(mode Mode, amount []float64) []float64 {
	f := make([]float64, mode.dof()*len(p.Mesh.Nodes))
	d := mode.dof()
	var v [24]float64
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		a := amount[el.Piece]
		if a == 0 {
			continue
		}
		p.freeLoad(mode, e, &v)
		for i := 0; i < el.N; i++ {
			to := f[int(el.Nodes[i])*d:]
			for c := 0; c < d; c++ {
				to[c] += a * v[i*d+c]
			}
		}
	}
	return f
}

func (p *Model) rigidity(mode Mode) float64 {
	if mode == Membrane {
		return p.H
	}
	return p.H * p.H * p.H / 12
}

// gather takes an element's values from a full vector.
func (p *Model) gather(mode Mode, e int, x []float64, v *[24]float64) {
	el := &p.Mesh.Elements[e]
	d := mode.dof()
	for i := 0; i < el.N; i++ {
		from := x[int(el.Nodes[i])*d:]
		for c := 0; c < d; c++ {
			v[i*d+c] = from[c]
		}
	}
}

// Solve gives displacements for any number of right-hand sides: u, v [mm] a
// node, or w [mm], φx, φy [rad].
func (p *Model) Solve(ctx context.Context, mode Mode, rhs [][]float64) ([][]float64, error) {
	dst := make([][]float64, len(rhs))
	for i := range dst {
		dst[i] = make([]float64, len(rhs[i]))
	}
	return dst, p.solve(ctx, mode, dst, rhs)
}

func (p *Model) solve(ctx context.Context, mode Mode, dst, rhs [][]float64) error {
	f := p.membrane
	if mode != Membrane {
		f = p.bending
	}
	if f == nil {
		return errors.New("plate: the model was made without bending")
	}
	return f.Solve(ctx, dst, rhs)
}

// Respond is Load and Solve for several cases of amounts (% MC, or % MC per mm in
// bending, a piece); the answers are displacements [mm, rad]. Errors: the context's, and
// that of a mode the model was made without.
func (p *Model) Respond(ctx context.Context, mode Mode, amounts [][]float64) ([][]float64, error) {
	rhs := make([][]float64, len(amounts))
	for i := range amounts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		rhs[i] = p.Load(mode, amounts[i])
	}
	return rhs, p.solve(ctx, mode, rhs, rhs)
}

// Warps tells whether any piece bends under an even change of moisture, that
// is, whether Warp can give anything but nil.
func (p *Model) Warps() bool {
	for i := range p.Woods {
		w := &p.Woods[i]
		if w.At != nil || w.Shear != [2]float64{} || w.Bend != [3]float64{} {
			return true
		}
	}
	return false
}

// Stress gives the mean stress of one element [MPa, or MPa/mm in bending],
// order xx, yy, xy.
func (p *Model) Stress(mode Mode, e int, x []float64, amount float64) [3]float64 {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	var v [24]float64
	p.gather(mode, e, x, &v)
	d, o := mode.dof(), mode.inPlane()
	points := s.full
	if w.At == nil {
		points = s.reduced
	}
	var mean [3]float64
	total := 0.0
	for g := range points {
		pt := &points[g]
		q, free := &w.Q, &w.Unit
		if mode == Warp {
			free = &w.Bend
		}
		if w.At != nil {
			sp := &p.materialPoints[e][g]
			q, free = &sp.q, &sp.unit
			if mode == Warp {
				free = &sp.bend
			}
		}
		var eps [3]float64
		for r := range eps {
			eps[r] = -amount * free[r]
		}
		for i := 0; i < el.N; i++ {
			eps[0] += pt.dx[i] * v[i*d+o]
			eps[1] += pt.dy[i] * v[i*d+o+1]
			eps[2] += pt.dy[i]*v[i*d+o] + pt.dx[i]*v[i*d+o+1]
		}
		sig := mul(q, &eps)
		for r := range mean {
			mean[r] += pt.weight * sig[r]
		}
		total += pt.weight
	}
	for r := range mean {
		mean[r] /= total
	}
	return mean
}

// Area gives the area of one element, mm².
func (p *Model) Area(e int) float64 { return p.shapes[p.Mesh.Elements[e].Shape].area }

// Centre gives the middle of one element, mm.
func (p *Model) Centre(e int) layout.XY { return p.centre(e) }
