package influence

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// The linear form of the worst demand gives back the utilisation itself.
func TestInfluenceGivesTheUtilisation(t *testing.T) {
	for _, name := range []string{"checker-random", "brick-stagger", "hexagons", "pith-in-strip"} {
		m, err := Prepare(context.Background(), boardtest.Named(t, name), Options{Bending: true})
		require.NoError(t, err)
		l := &Load{Mean: make([]float64, len(m.Kinds)), Slope: make([]float64, len(m.Kinds))}
		for k := range l.Mean {
			l.Mean[k], l.Slope[k] = 2.3+0.4*float64(k), 0.07-0.01*float64(k)
		}
		for _, j := range []int{0, len(m.Joints) / 2, len(m.Joints) - 1} {
			d := m.Worst(j, l)
			in, err := m.InfluenceOf(j, d, l)
			require.NoError(t, err)
			sum := 0.0
			for _, v := range m.PieceShares(in, l) {
				sum += v
			}
			assert.InEpsilon(t, d.U, sum, 1e-6, "%s joint %s", name, m.Board.Joints[j].ID)
		}
	}
}
