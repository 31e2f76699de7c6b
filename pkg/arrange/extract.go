package arrange

import (
	"context"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// extractor reads stress and strain out of solutions of one exact model.
type extractor struct {
	m      *influence.Model
	plate  *plate.Model
	mesh   *mesh.Mesh
	unit   [3]*plate.Model // the same board, every piece swelling by one unit of strain xx, yy or xy
	strain [][3][16]float64
	all    [][]influence.Patch // per piece
}

func newExtractor(m *influence.Model) *extractor {
	p := &extractor{m: m, plate: m.Plate, mesh: m.Mesh}
	for i := range m.Plate.Woods {
		p.all = append(p.all, m.Patches(i))
	}
	for k := range p.unit {
		c := *m.Plate
		c.Woods = append([]plate.Wood(nil), m.Plate.Woods...)
		for i := range c.Woods {
			w := &c.Woods[i]
			w.Unit, w.At = [3]float64{}, nil
			w.Unit[k] = 1
		}
		p.unit[k] = &c
	}
	p.operators()
	return p
}

// operators finds the mean strain of every shape of element as a matrix on its
// displacements, by asking for the stress of unit displacements in a material
// whose stiffness is one.
func (p *extractor) operators() {
	c := *p.plate
	c.Woods = make([]plate.Wood, len(p.plate.Woods))
	for i := range c.Woods {
		for k := range c.Woods[i].Q {
			c.Woods[i].Q[k][k] = 1
		}
	}
	p.strain = make([][3][16]float64, p.mesh.Shapes)
	done := make([]bool, p.mesh.Shapes)
	x := make([]float64, 2*len(p.mesh.Nodes))
	for e := range p.mesh.Elements {
		el := &p.mesh.Elements[e]
		if done[el.Shape] {
			continue
		}
		done[el.Shape] = true
		for i := 0; i < el.N; i++ {
			for d := 0; d < 2; d++ {
				at := 2*int(el.Nodes[i]) + d
				x[at] = 1
				s := c.Stress(plate.Membrane, e, x, 0)
				x[at] = 0
				for r := range s {
					p.strain[el.Shape][r][2*i+d] = s[r]
				}
			}
		}
	}
}

// strainOf is the mean total strain of an element.
func (p *extractor) strainOf(e int32, x []float64) (s [3]float64) {
	el := &p.mesh.Elements[e]
	b := &p.strain[el.Shape]
	for i := 0; i < el.N; i++ {
		u, v := x[2*el.Nodes[i]], x[2*el.Nodes[i]+1]
		for r := range s {
			s[r] += b[r][2*i]*u + b[r][2*i+1]*v
		}
	}
	return s
}

// strains gives the mean total strain of every element.
func (p *extractor) strains(x []float64) [][3]float64 {
	out := make([][3]float64, len(p.mesh.Elements))
	for e := range out {
		out[e] = p.strainOf(int32(e), x)
	}
	return out
}

// meanOver is the mean strain over a square of wood.
func meanOver(sq *influence.Patch, strain [][3]float64) (s [3]float64) {
	for i, e := range sq.Elements {
		for r, v := range strain[e] {
			s[r] += sq.Weight[i] * v
		}
	}
	return s
}

// meanStrain is the mean strain of a piece.
func (p *extractor) meanStrain(piece int, strain [][3]float64) (s [3]float64) {
	area := 0.0
	for _, e := range p.mesh.ByPiece[piece] {
		a := p.plate.Area(int(e))
		area += a
		for r, v := range strain[e] {
			s[r] += a * v
		}
	}
	for r := range s {
		s[r] /= area
	}
	return s
}

// unitStrains solves for one unit of free strain xx, yy and xy of each of some
// pieces, in that order piece by piece.
func (p *extractor) unitStrains(ctx context.Context, pieces []int) (xs [][]float64, err error) {
	amount := make([]float64, len(p.plate.Woods))
	var rhs [][]float64
	for _, i := range pieces {
		amount[i] = 1
		for k := range p.unit {
			rhs = append(rhs, p.unit[k].Load(plate.Membrane, amount))
		}
		amount[i] = 0
	}
	return p.plate.Solve(ctx, plate.Membrane, rhs)
}

// unitValues are the values of the monitored points for those solutions.
func (p *extractor) unitValues(w *monitor, pieces []int, xs [][]float64) [][]float64 {
	out := vectors(len(xs), w.size)
	amounts := vectors(len(pieces), len(p.plate.Woods))
	for i, pl := range pieces {
		amounts[i][pl] = 1
	}
	sub := make([][]float64, len(pieces))
	for k := range p.unit {
		for i := range pieces {
			sub[i] = xs[3*i+k]
		}
		p.jointValues(p.unit[k], w, sub, amounts, func(c int) []float64 { return out[3*c+k] })
	}
	for c, x := range xs {
		pl, k, strain := pieces[c/3], c%3, p.strains(x)
		for i := range w.points {
			r := &w.points[i]
			if r.joint >= 0 {
				continue
			}
			e := meanOver(r.patch, strain)
			if r.piece == pl {
				e[k]--
			}
			s := matrix.Times(&p.plate.Woods[r.piece].Q, &e)
			copy(out[c][r.at:], s[:])
		}
		p.pieceStrains(w, strain, out[c])
	}
	return out
}

// valuesOf are the values of the monitored points for solutions under amounts
// (% MC per place) of the woods that m has.
func (p *extractor) valuesOf(m *plate.Model, w *monitor, xs, amounts [][]float64) [][]float64 {
	out := vectors(len(xs), w.size)
	p.jointValues(m, w, xs, amounts, func(c int) []float64 { return out[c] })
	for c, x := range xs {
		strain := p.strains(x)
		for i := range w.points {
			r := &w.points[i]
			if r.joint < 0 {
				s := p.stress(m, r.piece, r.patch, strain, amounts[c][r.piece])
				copy(out[c][r.at:], s[:])
			}
		}
		p.pieceStrains(w, strain, out[c])
	}
	return out
}

// pieceStrains writes the mean strains of the movable pieces.
func (p *extractor) pieceStrains(w *monitor, strain [][3]float64, out []float64) {
	for k, pl := range w.movable {
		e := p.meanStrain(pl, strain)
		copy(out[w.strains+3*k:], e[:])
	}
}

// stress is the mean over a square of wood of a piece.
func (p *extractor) stress(m *plate.Model, piece int, sq *influence.Patch, strain [][3]float64, amount float64) [3]float64 {
	w := &m.Woods[piece]
	e := meanOver(sq, strain)
	for k := range e {
		e[k] -= amount * w.Unit[k]
	}
	return matrix.Times(&w.Q, &e)
}

func (p *extractor) jointValues(m *plate.Model, w *monitor, xs, amounts [][]float64, to func(c int) []float64) {
	for _, j := range w.joints {
		tr, windows := p.m.Glue(j.joint)
		f := m.Forces(plate.Membrane, tr, xs, amounts)
		for _, i := range j.points {
			r := &w.points[i]
			for c := range xs {
				var n, t float64
				for q, g := range windows[r.window].Weight {
					n += g * f[c][q].N
					t += g * f[c][q].T
				}
				v := to(c)
				v[r.at], v[r.at+1] = n, t
			}
		}
	}
}

func vectors(n, size int) [][]float64 {
	flat := make([]float64, n*size)
	out := make([][]float64, n)
	for i := range out {
		out[i] = flat[i*size : (i+1)*size]
	}
	return out
}
