package sparse

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTreeAgainstDirect(t *testing.T) {
	for seed := range uint64(24) {
		p, k := smallBoard(seed).build()
		slow, err := FactorDirect(context.Background(), p, k)
		require.NoError(t, err)
		fast, err := FactorTree(context.Background(), p, k, Options{})
		require.NoError(t, err, "seed %d", seed)
		n := 1 + int(seed%11)
		b, x, y := sides(p, n, seed), sides(p, n, 0), sides(p, n, 0)
		require.NoError(t, slow.Solve(x, b))
		require.NoError(t, fast.Solve(y, b))
		for r := range b {
			assert.Less(t, apart(y[r], x[r]), 1e-9, "seed %d", seed)
			assert.Less(t, residual(p, k, y[r], b[r]), 1e-13, "seed %d", seed)
		}
	}
}

func TestTreePrint(t *testing.T) {
	for _, c := range benchCases() {
		p, k := c.b.build()
		k = kept(p, k)
		for range 2 {
			begin := time.Now()
			f, err := FactorTree(context.Background(), p, k, Options{})
			require.NoError(t, err)
			all := time.Since(begin)
			b := sides(p, 8, 1)
			begin = time.Now()
			require.NoError(t, f.Solve(b, b))
			solve := time.Since(begin)
			s := f.Stats()
			fmt.Printf("%s all %v order %v gather %v numeric %v solve %v nnz %.1fM stored %.1fM flops %.2fG clusters %d distinct %d MB %d cond %.1e\n", c.name, all, s.Order, s.Gather, s.Numeric, solve,
				float64(s.NonZeros)/1e6, float64(s.Stored)/1e6, float64(s.Flops)/1e9, s.Clusters, s.Distinct, s.Bytes>>20, s.Condition)
		}
	}
}
