package plate

import (
	"context"
	"errors"

	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
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
	s := p.systemOf(mode)
	if s == nil {
		return errNoBending
	}
	return s.use(ctx, func(f sparse.Factor) error {
		return Within(ctx, "solve", func(ctx context.Context) error { return f.Solve(ctx, dst, rhs) })
	})
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

// RespondOnce is Respond for some modes of the same equations, of which nothing more is
// asked afterwards: their factor is not kept, and the answers take about half its memory.
// They are those of Respond to the last bit; where traces are given, only what Forces
// needs of them is worked out. By mode and case; errors: those of Respond.
func (p *Model) RespondOnce(ctx context.Context, modes []Mode, amounts [][]float64, on []*Trace) ([][][]float64, error) {
	var sides [][]float64
	out := make([][][]float64, len(modes))
	for i, mode := range modes {
		for _, a := range amounts {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			sides = append(sides, p.Load(mode, a))
		}
		out[i] = sides[len(sides)-len(amounts) : len(sides) : len(sides)]
	}
	s := p.systemOf(modes[0])
	if s == nil {
		return nil, errNoBending
	}
	return out, s.solveOnce(ctx, sides, p.nodesOf(on))
}

// nodesOf marks the nodes of the elements along some traces; nil for none.
func (p *Model) nodesOf(on []*Trace) []bool {
	if on == nil {
		return nil
	}
	wanted := make([]bool, len(p.Mesh.Nodes))
	for _, tr := range on {
		for _, row := range tr.rows {
			el := &p.Mesh.Elements[row.element]
			for _, n := range el.Nodes[:el.N] {
				wanted[n] = true
			}
		}
	}
	return wanted
}

var errNoBending = errors.New("plate: the model was made without bending")

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
	var v [24]float64
	p.gather(mode, e, x, &v)
	return p.StressOf(mode, e, &v, amount)
}

// StressOf is Stress [MPa, or MPa/mm in bending] of the displacements of the element's own
// nodes, in their order.
func (p *Model) StressOf(mode Mode, e int, v *[24]float64, amount float64) [3]float64 {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	d, o := mode.dof(), mode.inPlane()
	if w.At == nil { // the wood is alike all over, and the mean stress that of the mean strain
		free := &w.Unit
		if mode == Warp {
			free = &w.Bend
		}
		eps := strain(&s.across.x, &s.across.y, v[o:], d, el.N)
		for r := range eps {
			eps[r] = eps[r]/s.area - amount*free[r]
		}
		return matrix.Times(&w.Q, &eps)
	}
	var mean [3]float64
	for g := range s.full {
		pt, sp := &s.full[g], &p.materialPoints[e][g]
		free := &sp.unit
		if mode == Warp {
			free = &sp.bend
		}
		eps := strain(&pt.dx, &pt.dy, v[o:], d, el.N)
		for r := range eps {
			eps[r] -= amount * free[r]
		}
		sig := matrix.Times(&sp.q, &eps)
		for r := range mean {
			mean[r] += pt.weight * sig[r] / s.area
		}
	}
	return mean
}

// strain is xx, yy, xy of displacements u and v, the first two of every d numbers, of
// which derivatives by x and y are told.
func strain(dx, dy *[8]float64, v []float64, d, nodes int) (eps [3]float64) {
	for i := range nodes {
		x, y := v[i*d], v[i*d+1]
		eps[0] += dx[i] * x
		eps[1] += dy[i] * y
		eps[2] += dy[i]*x + dx[i]*y
	}
	return eps
}

// Area gives the area of one element, mm².
func (p *Model) Area(e int) float64 { return p.shapes[p.Mesh.Elements[e].Shape].area }

// Centre gives the middle of one element, mm.
func (p *Model) Centre(e int) layout.XY { return p.centre(e) }
