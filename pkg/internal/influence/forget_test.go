package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Glue lines that may hold nothing are worked out again, and say the same.
func TestLinesThatForgetSayTheSame(t *testing.T) {
	b := weighed(t, 4, 6)
	m, err := Prepare(t.Context(), b, Options{Coarsest: 20})
	require.NoError(t, err)
	judged := func(most int64) (v []float64, holding int) {
		m.held = &lineMemory{most: most}
		for _, lm := range m.Lines {
			lm.Crack.Forget()
		}
		bare := make([]int64, len(m.Lines))
		for i, lm := range m.Lines {
			bare[i] = lm.Crack.Bytes()
		}
		all, err := m.Judge(t.Context(), &Demand{NoHistories: true, Shifts: []float64{-3, 3}}, nil)
		require.NoError(t, err)
		for i := range all.Lines {
			v = append(v, all.Lines[i].Result.V)
			if m.Lines[i].Crack.Bytes() > bare[i] {
				holding++
			}
		}
		return v, holding
	}
	want, all := judged(1 << 30)
	got, one := judged(1)
	assert.Equal(t, want, got)
	assert.Equal(t, 1, one, "the one judged last")
	assert.Greater(t, all, 4)
}
