package plate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Curve is the best second-order description of a deflection w:
// a + b·x + c·y + XX·x²/2 + XY·x·y + YY·y²/2, curvatures in 1/mm. A positive
// curvature raises the edges over the middle.
type Curve struct {
	XX, YY, XY float64
	Rest       float64 // mm, root mean square of what the fit leaves
}

// Curves fits the deflection of bending [mm] over the corners and T-junctions of
// the board.
func (p *Model) Curves(x []float64) Curve {
	v := p.Board.Partition.Vertices
	var c layout.XY
	for i := range v {
		c[0], c[1] = c[0]+v[i][0]/float64(len(v)), c[1]+v[i][1]/float64(len(v))
	}
	scale := math.Max(p.Board.Width, p.Board.Height)
	rows := func(i int) [6]float64 {
		a, b := (v[i][0]-c[0])/scale, (v[i][1]-c[1])/scale
		return [6]float64{1, a, b, a * a / 2, a * b, b * b / 2}
	}
	normal, right := mat.NewSymDense(6, nil), mat.NewVecDense(6, nil)
	for i := range v {
		r := rows(i)
		for a := range r {
			for b := a; b < 6; b++ {
				normal.SetSym(a, b, normal.At(a, b)+r[a]*r[b])
			}
			right.SetVec(a, right.AtVec(a)+r[a]*x[3*i])
		}
	}
	// A board with too few corners for a parabola (one block) has its
	// quadratic terms held small rather than undefined.
	for a := 3; a < 6; a++ {
		normal.SetSym(a, a, normal.At(a, a)*(1+1e-12)+1e-12)
	}
	var ch mat.Cholesky
	var out mat.VecDense
	if !ch.Factorize(normal) || ch.SolveVecTo(&out, right) != nil {
		return Curve{}
	}
	k := Curve{XX: out.AtVec(3) / (scale * scale), XY: out.AtVec(4) / (scale * scale), YY: out.AtVec(5) / (scale * scale)}
	sum := 0.0
	for i := range v {
		r := rows(i)
		d := x[3*i]
		for a := range r {
			d -= r[a] * out.AtVec(a)
		}
		sum += d * d
	}
	k.Rest = math.Sqrt(sum / float64(len(v)))
	return k
}
