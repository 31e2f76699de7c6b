package sparse

import (
	"context"
	"testing"

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
