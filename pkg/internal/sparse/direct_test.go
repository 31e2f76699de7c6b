package sparse

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// dense sums the element matrices into a full one, fixed unknowns replaced by
// the unit matrix.
func dense(p *Problem, k Stiffness) *mat.SymDense {
	n := p.unknowns()
	a := mat.NewSymDense(n, nil)
	for e := range p.Elements {
		nodes := p.Elements[e].Nodes
		m := len(nodes) * p.NodeDof
		buf := make([]float64, m*m)
		k(e, buf)
		for i := range m {
			for j := range m {
				r := int(nodes[i/p.NodeDof])*p.NodeDof + i%p.NodeDof
				c := int(nodes[j/p.NodeDof])*p.NodeDof + j%p.NodeDof
				if r <= c {
					a.SetSym(r, c, a.At(r, c)+buf[i*m+j])
				}
			}
		}
	}
	for _, u := range p.Fixed {
		for j := range n {
			a.SetSym(u, j, 0)
		}
		a.SetSym(u, u, 1)
	}
	return a
}

func smallBoard(seed uint64) board {
	rng := random(seed)
	kinds := make([]int, 64)
	for i := range kinds {
		kinds[i] = rng.IntN(3)
	}
	cut := rng.IntN(4)
	return board{
		cols: 1 + rng.IntN(3), rows: 1 + rng.IntN(3), side: 40, mesh: 1 + rng.IntN(3),
		kind:      func(c, r, q int) int { return kinds[(c*7+r*3+q)%64] },
		quartered: func(c, r int) bool { return (c+2*r)%4 == cut },
	}
}

func TestDirectAgainstDense(t *testing.T) {
	for seed := range uint64(8) {
		p, k := smallBoard(seed).build()
		f, err := FactorDirect(context.Background(), p, k)
		require.NoError(t, err)
		var chol mat.Cholesky
		require.True(t, chol.Factorize(dense(p, k)))
		b := sides(p, 2, seed)
		x := sides(p, 2, 0)
		require.NoError(t, f.Solve(t.Context(), x, b))
		for r := range b {
			var want mat.VecDense
			require.NoError(t, chol.SolveVecTo(&want, mat.NewVecDense(len(b[r]), b[r])))
			// condition numbers here are below 1e5: 1e-10 leaves four digits to spare
			assert.Less(t, apart(x[r], want.RawVector().Data), 1e-10, "seed %d", seed)
			assert.Less(t, residual(p, k, x[r], b[r]), 1e-13, "seed %d", seed)
		}
	}
}

func TestMatrixMarketHoldsTheFreeUnknowns(t *testing.T) {
	p, k := smallBoard(3).build()
	var out bytes.Buffer
	require.NoError(t, WriteMatrixMarket(&out, p, k))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	assert.Equal(t, "%%MatrixMarket matrix coordinate real symmetric", lines[0])
	var n, m, entries int
	_, err := fmt.Sscan(lines[1], &n, &m, &entries)
	require.NoError(t, err)
	assert.Equal(t, p.unknowns()-len(p.Fixed), n)
	assert.Equal(t, n, m)
	require.Len(t, lines, entries+2)

	free := make([]int, 0, n)
	mask := p.fixedMask()
	for u := range mask {
		if !mask[u] {
			free = append(free, u)
		}
	}
	want, sum := dense(p, k), 0.0
	for _, line := range lines[2:] {
		var r, c int
		var v float64
		_, err := fmt.Sscan(line, &r, &c, &v)
		require.NoError(t, err)
		require.GreaterOrEqual(t, r, c)
		w := want.At(free[r-1], free[c-1])
		// sums of at most a dozen terms of size below 1e4 MPa·mm
		require.InDelta(t, w, v, 1e-9)
		sum += v * v
	}
	assert.Positive(t, sum)
}
