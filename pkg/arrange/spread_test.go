package arrange

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// Every pattern of damp and dry on four blocks, solved, against the sum that is
// said to be the worst of them.
func TestWorstPatternOfMoistureIsTheWorst(t *testing.T) {
	s, err := newSpace(t.Context(), grid(t, 2, 2, 6), uniform(), Options{})
	require.NoError(t, err)
	m, _ := exactly(t, s, s.start(), uniform())
	tb, err := newTable(context.Background(), s, m, s.start(), []int{0, 1, 2, 3}, 1)
	require.NoError(t, err)
	p := newExtractor(m)
	w := newSearchState(tb)
	square := func(i int, v []float64) float64 { return w.square(0, i, v, 0) }
	worst := make([]float64, len(tb.points))
	for pattern := 0; pattern < 16; pattern++ {
		amount := make([]float64, 4)
		for k := range amount {
			amount[k] = float64(1 - 2*(pattern>>k&1))
		}
		x, err := m.Plate.Respond(t.Context(), plate.Membrane, [][]float64{amount})
		require.NoError(t, err)
		v := p.valuesOf(m.Plate, tb.monitor, x, [][]float64{amount})[0]
		for i := range tb.points {
			worst[i] = math.Max(worst[i], math.Sqrt(square(i, v)))
		}
	}
	sign := alternating(s.board)
	assert.Equal(t, []float64{1, -1, -1, 1}, sign)
	for i := range tb.points {
		got, turns := tb.spread(i, sign)
		assert.InEpsilon(t, worst[i], got, 0.002, "row %d; 64 directions miss less than a thousandth", i)
		assert.LessOrEqual(t, turns, got*1.001)
	}
}
