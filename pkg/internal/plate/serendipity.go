package plate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/layout"
)

// correctSerendipity makes the eight serendipity functions of a quadrilateral that
// is no parallelogram represent every quadratic in x and y.
//
// The nine functions of the biquadratic element do, on any straight-sided
// quadrilateral. The serendipity element is that element with its middle value
// tied to the other eight: −1/4 of the corners, +1/2 of the midsides, which is
// right for quadratics on parallelograms only; elsewhere the element loses an
// order of accuracy (Arnold, Boffi and Falk, Mathematics of Computation 71,
// 2002; from memory). Here the middle is tied by the weights nearest to these
// that are right for all quadratics. The middle function vanishes on the sides,
// so neighbours still fit. Returned is what to add of it to each function.
func correctSerendipity(corner []layout.XY) (correction [8]float64) {
	at := append([]layout.XY{}, corner...)
	var o layout.XY
	for i := range corner {
		d := corner[(i+1)%4]
		at = append(at, layout.XY{(corner[i][0] + d[0]) / 2, (corner[i][1] + d[1]) / 2})
		o[0], o[1] = o[0]+corner[i][0]/4, o[1]+corner[i][1]/4
	}
	size := math.Hypot(corner[2][0]-corner[0][0], corner[2][1]-corner[0][1])
	skew := math.Hypot(corner[0][0]-corner[1][0]+corner[2][0]-corner[3][0], corner[0][1]-corner[1][1]+corner[2][1]-corner[3][1])
	if skew < 1e-9*size {
		return correction // a parallelogram to within round-off
	}
	// Scaled coordinates from the middle, where the map of (0, 0) lies.
	a := mat.NewDense(6, 8, nil)
	miss := mat.NewVecDense(6, nil) // middle value of each monomial less what the usual weights give
	miss.SetVec(0, 1)
	for i, q := range at {
		x, y := (q[0]-o[0])/size, (q[1]-o[1])/size
		usual := -0.25
		if i > 3 {
			usual = 0.5
		}
		for r, v := range [6]float64{1, x, y, x * x, x * y, y * y} {
			a.Set(r, i, v)
			miss.SetVec(r, miss.AtVec(r)-usual*v)
		}
	}
	// Least change: Aᵀ(AAᵀ)⁻¹·miss. Eight points of which three lie on each of
	// four lines are on no common conic, so AAᵀ has an inverse.
	var aat mat.Dense
	aat.Mul(a, a.T())
	var y, c mat.VecDense
	if err := y.SolveVec(&aat, miss); err != nil {
		return correction // as good as flat; the mesh has no such elements
	}
	c.MulVec(a.T(), &y)
	for i := range correction {
		correction[i] = c.AtVec(i)
	}
	return correction
}
