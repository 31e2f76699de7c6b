package influence

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Where answers are not kept, a sum over the kinds on the nodes of one piece gives what a
// solve gives there, and what the sum of kept answers gives, whatever the kinds.
func TestNearGivesWhatSolvingGives(t *testing.T) {
	b, err := layout.Read([]byte(grid("mm", 40, 3, 4, func(i int) string {
		return fmt.Sprintf(`{"species":%q,"ring_angle":%d,"moisture":%.2f}`, [2]string{"sugar-maple", "black-walnut"}[i%2], 37*i%180-90, 6+0.35*float64(i))
	})))
	require.NoError(t, err)
	m, err := Prepare(t.Context(), b, Options{})
	require.NoError(t, err)
	require.Greater(t, len(m.Kinds), sideStep, "more than one solve")
	l := m.swings()[0]
	const piece = 5
	kept, err := m.near(t.Context(), []int{piece})
	require.NoError(t, err)
	assert.Nil(t, kept.place)
	want := m.woodNear(l, kept, piece)
	require.Positive(t, want.U)
	m.units[plate.Membrane] = nil
	few, err := m.near(t.Context(), []int{piece})
	require.NoError(t, err)
	assert.Less(t, len(few.place), len(m.Mesh.Nodes)/4)
	got := m.woodNear(l, few, piece)
	solved := m.woodUnder(m.stressUnder(l), l, piece)
	for _, w := range []WoodDemand{want, solved} {
		assert.InEpsilon(t, w.U, got.U, 1e-9)
		assert.Equal(t, w.At, got.At)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = m.near(ctx, []int{piece})
	assert.ErrorIs(t, err, context.Canceled)
}
