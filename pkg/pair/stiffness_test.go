package pair

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/wood"
)

// TestStiffnessIsThatOfTheWholeMatrix compares with the reciprocals of the
// rotated compliance of package wood, for every wood and slanting frames.
func TestStiffnessIsThatOfTheWholeMatrix(t *testing.T) {
	for i, s := range wood.All() {
		e, err := s.Elastic(9.3)
		require.NoError(t, err)
		for _, f := range []wood.Frame{wood.EndGrain(37), wood.LongGrain(0, 23), wood.LongGrain(90, float64(i)), wood.LongGrain(61, -49)} {
			c := e.BoardCompliance(f)
			ex, ey, g := stiffness(&e, &f)
			assert.InEpsilon(t, 1/c[0][0], ex, 1e-11, s.ID)
			assert.InEpsilon(t, 1/c[1][1], ey, 1e-11, s.ID)
			assert.InEpsilon(t, 1/c[5][5], g, 1e-11, s.ID)
		}
	}
}
