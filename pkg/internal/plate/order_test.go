package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// TestOrder: for a smooth made-up movement u, whose strain is given as the free
// strain, strains converge with the square of the element size and
// displacements with its cube, on distorted quadrilaterals and on triangles.
func TestOrder(t *testing.T) {
	const a, b, amp = 0.041, 0.057, 0.3
	exact := func(q layout.XY) [2]float64 {
		return [2]float64{amp * math.Sin(a*q[0]+0.3) * math.Cos(b*q[1]), amp * math.Cos(a*q[0]) * math.Sin(b*q[1]+0.7)}
	}
	strain := func(q layout.XY) [3]float64 {
		return [3]float64{
			amp * a * math.Cos(a*q[0]+0.3) * math.Cos(b*q[1]),
			amp * b * math.Cos(a*q[0]) * math.Cos(b*q[1]+0.7),
			-amp*b*math.Sin(a*q[0]+0.3)*math.Sin(b*q[1]) - amp*a*math.Sin(a*q[0])*math.Sin(b*q[1]+0.7),
		}
	}
	w := maple.wood()
	at := func(q layout.XY) Wood { v := w; v.Unit = strain(q); return v }
	v := at(layout.XY{1, 1})
	v.At = at
	for name, outlines := range map[string][]string{
		"quadrilaterals": {"[[0,0],[64,0],[71,38],[0,52]]", "[[64,0],[130,0],[130,38],[71,38]]"},
		"triangles":      {"[[0,0],[90,0],[110,45],[60,80],[0,52]]"},
	} {
		t.Run(name, func(t *testing.T) {
			brd := pieces(t, 20, outlines...)
			var se, de, size []float64
			for refine := 0; refine < 3; refine++ {
				p := model(t, brd, same(v, len(outlines)), mesh.Options{First: 12, Growth: 1, Corner: -1, Refine: refine}, Options{})
				one := make([]float64, len(outlines))
				for i := range one {
					one[i] = 1
				}
				xs, err := p.Respond(t.Context(), Membrane, [][]float64{one})
				require.NoError(t, err)
				s, d := p.errorsOf(xs[0], exact)
				se, de, size = append(se, s), append(de, d), append(size, 1/math.Pow(2, float64(refine)))
			}
			for i := 1; i < len(se); i++ {
				assert.InDelta(t, 2, math.Log(se[i-1]/se[i])/math.Log(size[i-1]/size[i]), 0.1, "strain, step %d", i)
				assert.InDelta(t, 3, math.Log(de[i-1]/de[i])/math.Log(size[i-1]/size[i]), 0.15, "displacement, step %d", i)
			}
		})
	}
}

// errorsOf gives the root mean square errors of strain and of displacement, the
// best rigid motion taken out of the latter.
func (p *Model) errorsOf(x []float64, exact func(layout.XY) [2]float64) (strain, moved float64) {
	type off struct {
		q    layout.XY
		d    [2]float64
		area float64
	}
	var list []off
	var c layout.XY
	total := 0.0
	for e := range p.Mesh.Elements {
		el := &p.Mesh.Elements[e]
		s, o := p.shapes[el.Shape], p.origin(e)
		var v [24]float64
		p.gather(Membrane, e, x, &v)
		for g := range s.full {
			pt := &s.full[g]
			q := shift(o, pt.at)
			u := exact(q)
			var d [2]float64
			eps := p.materialPoints[e][g].unit
			for i := 0; i < el.N; i++ {
				d[0] += pt.n[i] * v[2*i]
				d[1] += pt.n[i] * v[2*i+1]
				eps[0] -= pt.dx[i] * v[2*i]
				eps[1] -= pt.dy[i] * v[2*i+1]
				eps[2] -= pt.dy[i]*v[2*i] + pt.dx[i]*v[2*i+1]
			}
			strain += pt.weight * (eps[0]*eps[0] + eps[1]*eps[1] + eps[2]*eps[2])
			list = append(list, off{q, [2]float64{d[0] - u[0], d[1] - u[1]}, pt.weight})
			c[0], c[1], total = c[0]+pt.weight*q[0], c[1]+pt.weight*q[1], total+pt.weight
		}
	}
	c[0], c[1] = c[0]/total, c[1]/total
	var mx, my, turn, inertia float64
	for _, l := range list {
		x, y := l.q[0]-c[0], l.q[1]-c[1]
		mx, my = mx+l.area*l.d[0], my+l.area*l.d[1]
		turn, inertia = turn+l.area*(x*l.d[1]-y*l.d[0]), inertia+l.area*(x*x+y*y)
	}
	mx, my, turn = mx/total, my/total, turn/inertia
	for _, l := range list {
		x, y := l.q[0]-c[0], l.q[1]-c[1]
		dx, dy := l.d[0]-mx+turn*y, l.d[1]-my-turn*x
		moved += l.area * (dx*dx + dy*dy)
	}
	return math.Sqrt(strain / total), math.Sqrt(moved / total)
}
