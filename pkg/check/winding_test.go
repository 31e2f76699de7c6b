package check

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A plank of a log whose fibres wind twists out of flat, and says so; one without a told
// slope is straight, and says that too.
func TestAWindingPlankTwistsOutOfFlat(t *testing.T) {
	of := func(slope string) *Report {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":10%s}},
			"field":{"grid":{"block":[700,60],"rows":["A"]}},"exposures":[{"name":"year-at-home"}]}`, slope)
		return reportOf(t, b, Conditions{NoCauses: true, NoChance: true})
	}
	r := of(`,"slope":0.15`)
	flat := modeOf(t, r, OutOfFlat)
	assert.Contains(t, flat.Why, "wind round the log")
	assert.NotZero(t, r.Exposures[0].Twist)
	assert.Positive(t, flat.Rocks, "mm: it stands on two corners")
	straight := of("")
	assert.Zero(t, straight.Exposures[0].Twist)
	assert.Less(t, *modeOf(t, straight, OutOfFlat).Figure, *flat.Figure)
	require.NotEmpty(t, straight.Limitations.Assumptions)
	told := false
	for _, a := range straight.Limitations.Assumptions {
		told = told || strings.Contains(a, "fibres straight along the log unless slope does")
	}
	assert.True(t, told)
	_, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"slope":0.3}},"field":{"grid":{"block":[70,60],"rows":["A"]}}}`))
	l := fault.Of(err)
	require.Len(t, l, 1)
	assert.Equal(t, "/stock/A/slope", l[0].Pointer)
	assert.Equal(t, fault.OutOfRange, l[0].Rule)
}
