package data_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/data"
)

// A broken table is a fault of the build, told with its place.
func TestBrokenTablesPanicWithTheirPlace(t *testing.T) {
	assert.PanicsWithValue(t, `data: table joint.csv has no column "colour"`, func() { data.Table("joint.csv", "colour") })
	r := data.Row{Table: "x.csv", Line: 3, Cells: map[string]string{"a": "1.5", "b": "", "c": "one"}}
	assert.Equal(t, 1.5, r.Number("a"))
	assert.Equal(t, 1.5, r.Optional("a"))
	assert.Zero(t, r.Optional("b"))
	assert.PanicsWithValue(t, `data: x.csv line 3: b "" is not a number`, func() { r.Number("b") })
	assert.PanicsWithValue(t, `data: x.csv line 3: c "one" is not a number`, func() { r.Optional("c") })
}
