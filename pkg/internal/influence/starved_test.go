package influence

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// starvedPair is the worst glue line of two strips, walnut across maple, with a starved joint.
func starvedPair(t *testing.T, starved string) float64 {
	t.Helper()
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","grain":0,"ring_angle":90,"moisture":8}},
		"field":{"pieces":[{"stock":"M","outline":[[0,0],[160,0],[160,60],[0,60]]},{"stock":"W","outline":[[0,60],[160,60],[160,90],[0,90]]}]}%s}`, starved)
	m, err := Prepare(t.Context(), b, Options{})
	require.NoError(t, err)
	j, err := m.Judge(t.Context(), &Demand{NoHistories: true, Shifts: []float64{-3}}, nil)
	require.NoError(t, err)
	return j.Lines[0].Result.V
}

// A starved joint is a strength factor over a length. Of a whole joint whose bond decides,
// strength goes with what it keeps and the root of toughness likewise: half as much bears
// half as much. Where it keeps all nothing changes, less of it never bears more, and a
// few millimetres are no notch: the crack that decides is longer.
func TestAStarvedJointBearsLess(t *testing.T) {
	whole := func(keeps float64) float64 {
		return starvedPair(t, fmt.Sprintf(`,"starved":[{"joint":"p1|p2","keeps":%g}]`, keeps))
	}
	sound := starvedPair(t, "")
	assert.InEpsilon(t, sound, whole(1), 1e-9)
	half, quarter := whole(0.4), whole(0.2)
	assert.Greater(t, half, sound)
	assert.InEpsilon(t, 2*half, quarter, 1e-6)
	short := starvedPair(t, `,"starved":[{"joint":"p2|p1","from":80,"length":3,"keeps":0.2}]`)
	long := starvedPair(t, `,"starved":[{"joint":"p2|p1","from":0,"length":60,"keeps":0.2}]`)
	t.Logf("sound %.4f, 3 mm %.4f, 60 mm at the end %.4f, whole %.4f", sound, short, long, quarter)
	assert.GreaterOrEqual(t, short, sound*(1-1e-9))
	assert.Less(t, short, 1.1*sound)
	assert.Greater(t, long, 1.2*sound)
	assert.LessOrEqual(t, long, quarter*(1+1e-9))
	ends := starvedPair(t, `,"starved":[{"joint":"p1|p2","from":100,"length":60,"keeps":0.2}]`)
	assert.InEpsilon(t, long, ends, 0.01, "either end alike")
}
