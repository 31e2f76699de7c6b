package picture

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Sugar maple moves by 0.00165 and 0.00353 of its width a per cent (Wood Handbook
// FPL-GTR-190, Table 13-5): over the 4.8 points from 30 to 60 % humidity at 20 °C 0.79 and
// 1.69 %, within 3 %, for the size here is that of the drier wood. What moves less stands first.
func TestWoodsAreDrawnByThePrintedCoefficients(t *testing.T) {
	var list []*wood.Species
	for _, id := range []string{"sugar-maple", "teak"} {
		s, err := wood.Find(id)
		require.NoError(t, err)
		list = append(list, s)
	}
	dry, damp := moisture.Room{Humidity: 30, Temperature: 20}, moisture.Room{Humidity: 60, Temperature: 20}
	svg, err := Woods(list, dry, damp, 0)
	require.NoError(t, err)
	low, err := dry.EMC()
	require.NoError(t, err)
	high, err := damp.EMC()
	require.NoError(t, err)
	for way, coefficient := range map[string]float64{"across": 0.00165, "along": 0.00353} {
		found := regexp.MustCompile(`Sugar maple: ([0-9.]+) % ` + way).FindSubmatch(svg)
		require.Len(t, found, 2)
		percent, err := strconv.ParseFloat(string(found[1]), 64)
		require.NoError(t, err)
		assert.InEpsilon(t, 100*coefficient*(high-low), percent, 0.03, way)
	}
	assert.Less(t, strings.Index(string(svg), "Teak"), strings.Index(string(svg), "Sugar maple"))
}

// A pair names both woods and the word in its title, and lengths have one form: all in
// inches or all in mm.
func TestPairPictureNamesBothWoods(t *testing.T) {
	r, err := pair.Pair(t.Context(), pair.Request{A: pair.Piece{Species: "sugar-maple"}, B: pair.Piece{Species: "black-walnut", RingAngle: 90}, From: 8, To: 12})
	require.NoError(t, err)
	for inches, other := range map[bool]string{true: " mm", false: " in."} {
		svg, err := Pair(r, inches)
		require.NoError(t, err)
		text := string(svg)
		for _, want := range []string{"Sugar maple", "Black walnut", string(r.Verdict), "apart", "<title>", "<desc>"} {
			assert.Contains(t, strings.ToLower(text), strings.ToLower(want))
		}
		assert.NotContains(t, text, other)
	}
}

// A picture of a board in inches has one form for a length and one for a movement:
// fractions as on a rule, and three digits behind the point.
func TestInchesHaveOneForm(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"in","thickness":1.5,"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8}},
"field":{"grid":{"block":[2.25,2],"rows":["MM","MM"]}},"exposures":[{"name":"wash-one-face"}]}`)
	for _, view := range []string{ViewSurface, ViewDeformed} {
		svg, err := Draw(t.Context(), b, check.Conditions{}, Options{View: view})
		require.NoError(t, err)
		text := string(svg)
		assert.NotRegexp(t, `[^0-9.][0-9]+\.[0-9]{1,2} in\b`, text, view)
		assert.NotRegexp(t, `[0-9] mm\b`, text, view)
		assert.Contains(t, text, "4", view)
	}
}
