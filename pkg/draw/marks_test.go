package draw

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/layout"
)

func readBoard(t *testing.T, field, borders string) *layout.Board {
	t.Helper()
	src := fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","ring_angle":0},"W":{"species":"black-walnut","ring_angle":90}},"field":{%s},"borders":[%s]}`, field, borders)
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	return b
}

// Rows are counted from the top and columns from the left, inside the border:
// the numbers lie at the middle of the blocks they name.
func TestFieldIsNumbered(t *testing.T) {
	b := readBoard(t, `"grid":{"block":[40,30],"rows":["MWM","WMW"]}`, `{"stock":"M","grain":"up","width":20,"sides":["left","top"]}`)
	rows, cols := fieldSpans(b)
	assert.Equal(t, []span{{30, 60}, {0, 30}}, rows)
	assert.Equal(t, []span{{20, 60}, {60, 100}, {100, 140}}, cols)
	svg, err := Layout(b, Marks{Worst: -1})
	require.NoError(t, err)
	at := strings.Index(string(svg), `data-layer="places"`)
	require.Positive(t, at)
	assert.Equal(t, 5, strings.Count(string(svg)[at:at+strings.Index(string(svg)[at:], "</g>")], "<text"))
}

// In a staggered field a column is no straight band, so it has no number.
func TestStaggeredFieldHasRowsOnly(t *testing.T) {
	rows, cols := fieldSpans(readBoard(t, `"grid":{"block":[40,30],"rows":["MWM","WMW"],"stagger":0.5}`, ""))
	assert.Len(t, rows, 2)
	assert.Empty(t, cols)
}

func TestSmallBlocksShareNumbers(t *testing.T) {
	for k, want := range map[float64]int{1: 1, 0.3: 2, 0.1: 5, 0.05: 10} {
		assert.Equal(t, want, stepOf([]span{{0, 40}, {40, 80}}, k), "%g units per mm", k)
	}
}
