package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
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

// A board of which less is held, for it counts as large, says the same to the last bit:
// bending solved once, glue lines and paths that forget.
func TestLargeBoardsSayTheSame(t *testing.T) {
	t.Parallel()
	b, err := layout.Read([]byte(grid("mm", 40, 2, 3, ofEveryWood)))
	require.NoError(t, err)
	judged := func(large int) *Judged {
		m, err := Prepare(t.Context(), b, Options{Bending: true, large: large, Workers: 2})
		require.NoError(t, err)
		assert.Equal(t, large > 0, m.Plate.Bytes(plate.Bending) == 0)
		out, err := m.Judge(t.Context(), &Demand{Events: []moisture.Event{{Name: "wash-one-face"}}}, nil)
		require.NoError(t, err)
		if large > 0 {
			for _, p := range out.Paths {
				assert.Zero(t, p.m.Plate.Bytes(plate.Membrane)+p.m.Plate.Bytes(plate.Bending), "boards cut for a split hold no factor")
			}
		}
		in, err := m.InfluenceOf(t.Context(), 0, Critical{N: 1, T: 0.1, Level: 1}, out.Histories[0].loads[3])
		require.NoError(t, err)
		assert.NotEmpty(t, in.bending)
		return out
	}
	want, got := judged(0), judged(1)
	require.NotEmpty(t, want.Paths)
	require.Len(t, got.Paths, len(want.Paths))
	for i := range want.Paths {
		assert.Equal(t, want.Paths[i].Result, got.Paths[i].Result)
	}
	for i := range want.Lines {
		assert.Equal(t, want.Lines[i].Result, got.Lines[i].Result)
	}
	for i := range want.Histories {
		assert.Equal(t, want.Histories[i].Most, got.Histories[i].Most)
		assert.Equal(t, want.Histories[i].Stands, got.Histories[i].Stands)
	}
	assert.Equal(t, want.PathBound, got.PathBound)
}
