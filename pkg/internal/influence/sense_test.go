package influence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// The traction on a joint is that of the stress tensor on either side of it, sense
// of shear included: where fibres cut a joint at a slant one sense pulls across them
// and the other presses, so a sign would be a wrong verdict. Long grain at a slant,
// nothing alike; somewhat in from the end, where there is shear and stress no longer peaks.
func TestTractionHasTheSenseOfTheStress(t *testing.T) {
	for _, src := range []string{
		`[[0,0],[200,0],[200,60],[0,60]]|[[0,60],[200,60],[200,130],[0,130]]`,
		`[[0,60],[200,60],[200,130],[0,130]]|[[0,0],[200,0],[200,60],[0,60]]`,
		`[[0,0],[60,0],[60,200],[0,200]]|[[60,0],[130,0],[130,200],[60,200]]`,
	} {
		var first, second string
		for i := range src {
			if src[i] == '|' {
				first, second = src[:i], src[i+1:]
			}
		}
		b, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"sugar-maple","ring_angle":20,"moisture":8,"grain":35},
			"B":{"species":"black-walnut","ring_angle":70,"moisture":8,"grain":-50}},
			"field":{"pieces":[{"stock":"A","outline":` + first + `},{"stock":"B","outline":` + second + `}]}}`))
		require.NoError(t, err)
		m, err := Prepare(t.Context(), b, Options{Refine: 1})
		require.NoError(t, err)
		even, err := m.EvenAt(t.Context(), 5, false)
		require.NoError(t, err)
		l := even.Load
		jm, jt := &m.Joints[0], &b.Joints[0]
		n, tan := Normal(jt)
		w := len(jm.Intervals) / 10
		var N, T float64
		for k, f := range l.Mean {
			N += f * jm.Membrane[w*len(m.Kinds)+k].N
			T += f * jm.Membrane[w*len(m.Kinds)+k].T
		}
		require.Greater(t, math.Abs(T), 0.05, "MPa: there is a sense to be told")
		x := m.Stretched(l)
		at := m.Place(0, w)
		for i := range b.Pieces {
			var best [3]float64
			near := math.Inf(1)
			for _, el := range m.Mesh.ByPiece[i] {
				c := m.Plate.Centre(int(el))
				if d := math.Hypot(c[0]-at[0], c[1]-at[1]); d < near {
					near, best = d, m.Plate.Stress(plate.Membrane, int(el), x, l.Mean[m.KindOf[i]])
				}
			}
			px, py := best[0]*n[0]+best[2]*n[1], best[2]*n[0]+best[1]*n[1]
			assert.InDelta(t, N, px*n[0]+py*n[1], 0.15*math.Hypot(N, T), "MPa, normal, piece %d", i)
			assert.InDelta(t, T, px*tan[0]+py*tan[1], 0.15*math.Hypot(N, T), "MPa, shear, piece %d", i)
		}
	}
}
