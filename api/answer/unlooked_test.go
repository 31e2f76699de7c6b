package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/picture"
)

// A picture, and a shape, of a board whose rings nobody has looked at are of the draw
// that a check speaks of; the rings themselves are not drawn.
func TestUnknownRingsInPictures(t *testing.T) {
	src := []byte(`{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":"unknown","moisture":10},"W":{"species":"black-walnut","ring_angle":35,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["MWM"]}}}`)
	q := BoardQuery{Exposures: []string{"none"}}
	svg, err := Draw(t.Context(), src, q, PictureQuery{}, nil)
	require.NoError(t, err)
	f, b, err := layout.Open(src, layout.Limits{})
	require.NoError(t, err)
	c := check.Conditions{NoHistories: true}
	d, err := c.Draw(t.Context(), f, b)
	require.NoError(t, err)
	drawn, err := picture.Draw(t.Context(), d.Typical.Board, c, picture.Options{})
	require.NoError(t, err)
	level, err := picture.Draw(t.Context(), b, c, picture.Options{})
	require.NoError(t, err)
	assert.Equal(t, string(drawn), string(svg))
	assert.NotEqual(t, string(level), string(svg))
	assert.Contains(t, string(svg), "r1c1: sugar maple, end grain, rings not looked at")
	assert.Contains(t, string(svg), "Where no rings are drawn")
	moved, err := answered[*check.Shape](t.Context())(AskShape(src, q, ShapeQuery{}, nil))
	require.NoError(t, err)
	p, err := check.Prepare(t.Context(), d.Typical.Board, c)
	require.NoError(t, err)
	want, err := p.Shape(t.Context(), c, defaultState, 0)
	require.NoError(t, err)
	assert.Equal(t, want, moved)
}
