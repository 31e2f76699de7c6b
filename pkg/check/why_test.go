package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// At the corner of a frame it is the fibres that cross, whatever the rings do.
func TestCornersOfAFrameNameTheirFibres(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"sugar-maple","ring_angle":30,"moisture":8}},
		"field":{"grid":{"block":[80,80],"rows":["A"]}},"borders":[{"stock":"W","grain":"along","width":30,"sides":["left","right"]},{"stock":"A","grain":"along","width":30,"sides":["top","bottom"]}]}`)
	r := reportOf(t, b, Conditions{NoHistories: true, NoCracks: true, NoChance: true})
	require.NotNil(t, r.Worst)
	require.Regexp(t, `^b1\.\w+\|b2\.\w+$`, r.Worst.Joint)
	assert.Contains(t, r.Worst.Why, "run across")
}
