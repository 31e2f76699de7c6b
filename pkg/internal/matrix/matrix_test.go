package matrix

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mat"
)

// Every sum is that of gonum, on random matrices, and an inverse undoes its matrix.
func TestAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 200 {
		var a, b [3][3]float64
		var v [3]float64
		for i := range a {
			v[i] = r.NormFloat64()
			for j := range a {
				a[i][j], b[i][j] = r.NormFloat64(), r.NormFloat64()
			}
		}
		dense := func(m *[3][3]float64) *mat.Dense {
			return mat.NewDense(3, 3, append(append(append([]float64{}, m[0][:]...), m[1][:]...), m[2][:]...))
		}
		var p, inv mat.Dense
		var w mat.VecDense
		p.Mul(dense(&a), dense(&b))
		w.MulVec(dense(&a), mat.NewVecDense(3, v[:]))
		if mat.Cond(dense(&a), 2) > 1e3 {
			continue
		}
		assert.NoError(t, inv.Inverse(dense(&a)))
		product, by, times := Product(&a, &b), Inverse(&a), Times(&a, &v)
		for i := range a {
			assert.InDelta(t, w.AtVec(i), times[i], 1e-13)
			for j := range a {
				assert.InDelta(t, p.At(i, j), product[i][j], 1e-13)
				assert.InDelta(t, inv.At(i, j), by[i][j], 1e-9)
			}
		}
		s := Product(&a, &[3][3]float64{{a[0][0], a[1][0], a[2][0]}, {a[0][1], a[1][1], a[2][1]}, {a[0][2], a[1][2], a[2][2]}}) // a·aᵀ
		s[1][0], s[2][0], s[2][1] = s[0][1], s[0][2], s[1][2]
		s = Inverse(&s)
		assert.Equal(t, [3]float64{s[0][1], s[0][2], s[1][2]}, [3]float64{s[1][0], s[2][0], s[2][1]}, "symmetric to the last bit")
	}
}
