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

// What is solved once is what a factor that is kept gives, and leaves none: everywhere, or
// the forces on a joint where nothing else is asked.
func TestRespondedOnceSaysTheSame(t *testing.T) {
	t.Parallel()
	b, woods := grid(t, 3, 4, 40, 20, ""), mixed(12, 2)
	kept := model(t, b, woods, mesh.Options{}, Options{Bending: true})
	late := model(t, b, woods, mesh.Options{}, Options{Bending: true, Late: true})
	amounts := [][]float64{some(12, 1), some(12, 2)}
	want, err := kept.Respond(t.Context(), Bending, amounts)
	require.NoError(t, err)
	all, err := late.RespondOnce(t.Context(), []Mode{Bending}, amounts, nil)
	require.NoError(t, err)
	assert.Equal(t, want, all[0])
	tr := late.Trace(5)
	some, err := late.RespondOnce(t.Context(), []Mode{Bending}, amounts, []*Trace{tr})
	require.NoError(t, err)
	assert.NotEqual(t, want, some[0], "not asked")
	assert.Equal(t, kept.Forces(Bending, tr, want, amounts), late.Forces(Bending, tr, some[0], amounts))
	assert.Zero(t, late.Bytes(Bending))
	_, err = model(t, b, woods, mesh.Options{}, Options{}).RespondOnce(t.Context(), []Mode{Bending}, amounts, nil)
	require.ErrorIs(t, err, errNoBending)
}
