package answer

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// A board that would take longer to check than an answer may is refused at once, with the
// time and the size that would do.
func TestWhatTakesTooLongIsRefusedByItsSize(t *testing.T) {
	t.Parallel()
	m := NewMemory(1<<20, 1<<20, 2<<30).Within(time.Second)
	rows := `"` + strings.Repeat("M", 30) + `"` + strings.Repeat(`,"`+strings.Repeat("M", 30)+`"`, 19)
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","ring_angle":30,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":[` + rows + `]}},"glue":"pva-crosslinking"}`
	q, err := AskBoard([]byte(src), BoardQuery{}, m)
	require.NoError(t, err)
	_, err = q.Answer(t.Context())
	list := fault.Of(err)
	require.Len(t, list, 1)
	assert.Equal(t, fault.TooLarge, list[0].Rule)
	assert.Regexp(t, `^checking this board would take about \d+ s: allowed 1 s$`, list[0].Detail)
	assert.Contains(t, list[0].Allowed, "pieces like these")
}
