package plate

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
)

// A factor that was let go of is made again when it is asked, and says the same; one that
// is made late says what one made at once does.
func TestForgottenFactorsSayTheSame(t *testing.T) {
	t.Parallel()
	b, woods := grid(t, 2, 2, 40, 20, ""), mixed(4, 1)
	early := model(t, b, woods, mesh.Options{}, Options{Bending: true})
	late := model(t, b, woods, mesh.Options{}, Options{Bending: true, Late: true})
	assert.Positive(t, early.Bytes(Bending))
	assert.Zero(t, late.Bytes(Membrane)+late.Bytes(Bending), "nothing was asked")
	amounts := [][]float64{{1, 0, 0, 0}, {0, 1, -1, 2}}
	for _, mode := range []Mode{Membrane, Bending} {
		want, err := early.Respond(t.Context(), mode, amounts)
		require.NoError(t, err)
		early.Forget(mode)
		assert.Zero(t, early.Bytes(mode))
		for _, m := range []*Model{early, late} {
			got, err := m.Respond(t.Context(), mode, amounts)
			require.NoError(t, err)
			assert.Equal(t, want, got)
			assert.Positive(t, m.Bytes(mode))
		}
	}
}
