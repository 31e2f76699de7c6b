package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// TestResponses: common practice: end grain follows in days to weeks, long grain of
// the same thickness lags by many times that.
func TestResponses(t *testing.T) {
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
"field":{"grid":{"block":[40,40],"rows":["MM","MM"]}},"borders":[{"stock":"M","grain":"along","width":30,"sides":["top"]}]}`
	m, err := Prepare(t.Context(), boardtest.Text(t, src), Conditions{NoHistories: true})
	require.NoError(t, err)
	list, err := m.Responses(t.Context())
	require.NoError(t, err)
	require.Len(t, list, 2)
	up, along := list[0], list[1]
	assert.Contains(t, up.Kind, "end grain")
	assert.Contains(t, along.Kind, "long grain")
	assert.Less(t, *up.Half, *up.Ninety)
	assert.Greater(t, *along.Half, 3**up.Half)
	assert.InDelta(t, 96, *up.Half, 72, "h: one to seven days")
}

// A thick board under a dense finish answers "more than forty years", not an error.
func TestResponsesOfDecades(t *testing.T) {
	m, err := Prepare(t.Context(), boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":150,"finish":"paraffin-dipped","stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
"field":{"grid":{"block":[40,40],"rows":["MM","MM"]}}}`), Conditions{NoHistories: true})
	require.NoError(t, err)
	list, err := m.Responses(t.Context())
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.NotNil(t, list[0].Half)
	assert.Nil(t, list[0].Ninety)
	assert.Equal(t, 40.0, list[0].BeyondYears)
}
