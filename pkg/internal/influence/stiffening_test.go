package influence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Wood that dries is stiffer on the way and wood that swells softer: the stress of a
// change is that of a small one in proportion, times the mean of the trend. A check
// of its size with other elements and constants of the end moisture stands in the
// oracle's records (15 % more at 12 to 7 % MC, 14 % less at 12 to 17).
func TestStressFollowsStiffness(t *testing.T) {
	const src = `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":12},"B":{"species":"black-walnut","ring_angle":90,"moisture":12}},
		"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}}}`
	m, err := Prepare(t.Context(), boardtest.Text(t, src), Options{})
	require.NoError(t, err)
	stress := func(change float64) (shear, crush float64) {
		e := EndState{left: 1, Moisture: m.same(12 + change)}
		_, l := m.LoadOf(&e)
		jm := &m.Joints[0]
		for k, f := range l.Mean { // at the first stretch of the joint
			shear += f * jm.Membrane[k].T
		}
		return shear, m.crush(jm, l)
	}
	small, whole := stress(1e-3)
	for _, change := range []float64{-5, 5, -12, 10} {
		got, crush := stress(change)
		assert.InEpsilon(t, small*change/1e-3*m.Kinds[0].Species.Stiffening(12, 12+change), got, 1e-4, "%+g", change)
		trend := m.Kinds[0].Species.Strength(12+change).CompressionPerp / m.Kinds[0].Species.Strength(12).CompressionPerp
		assert.InEpsilon(t, whole*trend, crush, 1e-3, "%+g", change)
		assert.Equal(t, change < 0, trend > 1)
	}
}
