package plate

import (
	"errors"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Mode says which half of the plate is meant.
type Mode int

// Membrane takes amounts in % MC (mean over the thickness) and answers in MPa;
// Bending takes amounts in % MC per mm (gradient over the thickness, positive
// when the top face is wetter) and answers in MPa per mm from the mid-plane.
const (
	Membrane Mode = iota
	Bending
)

func (m Mode) dof() int { return 2 + int(m) }

// Load gives the right-hand side for one amount a piece: h·∫BᵀQε0 [N] or
// h³/12·∫BᵀQκ0 [N·mm].
func (p *Model) Load(mode Mode, amount []float64) []float64 {
	f := make([]float64, mode.dof()*len(p.Mesh.Nodes))
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		if amount[el.Piece] == 0 {
			continue
		}
		var v [16]float64
		p.strainLoad(e, amount[el.Piece]*p.rigidity(mode), &v)
		p.scatter(mode, e, &v, f)
	}
	return f
}

func (p *Model) rigidity(mode Mode) float64 {
	if mode == Bending {
		return p.H * p.H * p.H / 12
	}
	return p.H
}

// scatter adds the 2n in-plane values of an element to a full vector.
func (p *Model) scatter(mode Mode, e int, v *[16]float64, f []float64) {
	el := &p.Mesh.Elements[e]
	d, o := mode.dof(), int(mode)
	for i := 0; i < el.N; i++ {
		n := int(el.Nodes[i])*d + o
		f[n] += v[2*i]
		f[n+1] += v[2*i+1]
	}
}

// gather takes an element's 2n in-plane values (u, v or φx, φy) from a full vector.
func (p *Model) gather(mode Mode, e int, x []float64, v *[16]float64) {
	el := &p.Mesh.Elements[e]
	d, o := mode.dof(), int(mode)
	for i := 0; i < el.N; i++ {
		n := int(el.Nodes[i])*d + o
		v[2*i], v[2*i+1] = x[n], x[n+1]
	}
}

// Solve gives displacements for any number of right-hand sides: u, v [mm] a
// node, or w [mm], φx, φy [rad].
func (p *Model) Solve(mode Mode, rhs [][]float64) ([][]float64, error) {
	f := p.membrane
	if mode == Bending {
		f = p.bending
	}
	if f == nil {
		return nil, errors.New("plate: the model was made without bending")
	}
	dst := make([][]float64, len(rhs))
	for i := range dst {
		dst[i] = make([]float64, len(rhs[i]))
	}
	if err := f.Solve(dst, rhs); err != nil {
		return nil, err
	}
	return dst, nil
}

// Respond is Load and Solve for several cases of amounts.
func (p *Model) Respond(mode Mode, amounts [][]float64) ([][]float64, error) {
	rhs := make([][]float64, len(amounts))
	for i := range amounts {
		rhs[i] = p.Load(mode, amounts[i])
	}
	return p.Solve(mode, rhs)
}

// Stress gives the mean stress of one element [MPa, or MPa/mm in bending],
// order xx, yy, xy.
func (p *Model) Stress(mode Mode, e int, x []float64, amount float64) [3]float64 {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	var v [16]float64
	p.gather(mode, e, x, &v)
	var mean [3]float64
	total := 0.0
	for g := range s.sparse {
		sig := p.pointStress(e, &s.sparse[g], w, &v, amount)
		for r := range mean {
			mean[r] += s.sparse[g].weight * sig[r]
		}
		total += s.sparse[g].weight
	}
	for r := range mean {
		mean[r] /= total
	}
	return mean
}

func (p *Model) pointStress(e int, pt *point, w *Wood, v *[16]float64, amount float64) [3]float64 {
	q, unit := w.Q, w.Unit
	if w.At != nil {
		q, _, unit = w.At(shift(p.origin(e), pt.at))
	}
	n := p.Mesh.Elements[e].N
	var eps [3]float64
	for i := 0; i < n; i++ {
		eps[0] += pt.dx[i] * v[2*i]
		eps[1] += pt.dy[i] * v[2*i+1]
		eps[2] += pt.dy[i]*v[2*i] + pt.dx[i]*v[2*i+1]
	}
	for r := range eps {
		eps[r] -= amount * unit[r]
	}
	return mul(&q, &eps)
}

// Area gives the area of one element, mm².
func (p *Model) Area(e int) float64 { return p.shapes[p.Mesh.Elements[e].Shape].area }

// Centre gives the middle of one element, mm.
func (p *Model) Centre(e int) layout.XY { return p.centre(e) }
