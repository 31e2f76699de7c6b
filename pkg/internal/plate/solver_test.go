package plate

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Parts kept from one board must never serve another that only looks alike:
// same mesh, same numbers of pieces and elements, but another pith, another
// thickness, another wood.
func TestKeptPartsDoNotMixBoards(t *testing.T) {
	cache, bend := &sparse.Cache{}, &sparse.Cache{}
	for _, thickness := range []float64{20, 27} {
		b := grid(t, 2, 2, 40, thickness, "")
		for _, pith := range []layout.XY{{-15, -11}, {-15, 31}, {13, 90}} {
			woods := same(maple.at(37), 4)
			woods[1], woods[2] = ringed(walnut, pith), walnut.at(pith[0])
			for _, mode := range []Mode{Membrane, Bending} {
				fresh, err := model(t, b, woods, mesh.Options{}, Options{Bending: true}).Respond(t.Context(), mode, [][]float64{some(4, 3)})
				require.NoError(t, err)
				kept, err := model(t, b, woods, mesh.Options{}, Options{Bending: true, Cache: cache, Bend: bend}).Respond(t.Context(), mode, [][]float64{some(4, 3)})
				require.NoError(t, err)
				d := make([]float64, len(fresh[0]))
				for i := range d {
					d[i] = fresh[0][i] - kept[0][i]
				}
				assert.LessOrEqual(t, norm(d), 1e-12*norm(fresh[0]), "pith %v, %g mm", pith, thickness)
			}
		}
	}
}
