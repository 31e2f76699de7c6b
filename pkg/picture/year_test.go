package picture

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// A year moves, tells six of its moments still, stops for readers who asked for
// less motion, and is whole XML; without histories there is no year.
func TestYearMovesAndStandsStill(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},
"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}},"home":"continental-heated"}`)
	svg, err := Draw(t.Context(), b, check.Conditions{}, Options{View: ViewYear})
	require.NoError(t, err)
	text := string(svg)
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		_, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	assert.Equal(t, 4, strings.Count(text, `attributeName="d"`), "one a piece")
	assert.Equal(t, 7, strings.Count(text, `data-layer="still"`), "six and the one under what moves")
	assert.Contains(t, text, "prefers-reduced-motion:reduce")
	assert.Contains(t, text, "times larger")
	values := strings.SplitN(strings.SplitN(text, `values="`, 2)[1], `"`, 2)[0]
	moments := strings.Split(values, ";")
	require.Len(t, moments, 13, "twelve months and the first again")
	assert.Equal(t, moments[0], moments[12])
	assert.NotEqual(t, moments[0], moments[6])
	_, err = Draw(t.Context(), b, check.Conditions{NoHistories: true}, Options{View: ViewYear})
	assert.Error(t, err)
}
