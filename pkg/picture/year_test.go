package picture

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
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

// A year is the one of the board's file or of what is asked; two of them show the
// last. Exposures that hold no year cannot be shown as one.
func TestYearIsTheOneThatIsAsked(t *testing.T) {
	const board = `{"tanrad":1,"units":"mm","thickness":20,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
"field":{"grid":{"block":[40,40],"rows":["M","M"]}},"home":"continental-heated"%s}`
	year := func(file string, c check.Conditions) string {
		svg, err := Draw(t.Context(), boardtest.From(t, board, file), c, Options{View: ViewYear})
		require.NoError(t, err)
		return string(svg)
	}
	march := year(`,"exposures":[{"name":"wash-one-face"},{"name":"year-at-home","start_month":3}]`, check.Conditions{})
	assert.Equal(t, march, year("", check.Conditions{Events: []moisture.Event{{Name: "year-at-home", Values: map[string]float64{"start_month": 3}}}}))
	assert.Less(t, strings.Index(march, "Mar"), strings.Index(march, "Jul"))
	july := year("", check.Conditions{})
	assert.Less(t, strings.Index(july, "Jul"), strings.Index(july, "Mar"))
	second := year(`,"exposures":[{"name":"year-at-home","years":2}]`, check.Conditions{})
	assert.Less(t, strings.Index(second, "Jul"), strings.Index(second, "Jan"), "months of one year")
	assert.NotEqual(t, july, second, "the first begins as glued")
	_, err := Draw(t.Context(), boardtest.From(t, board, ""), check.Conditions{Events: []moisture.Event{{Name: "damp-spell"}}}, Options{View: ViewYear})
	l := fault.Of(err)
	require.Len(t, l, 1)
	assert.Equal(t, []string{"/view", "damp-spell"}, []string{l[0].Pointer, l[0].Found})
}
