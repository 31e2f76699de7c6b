package check

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// What an exposure does is told as the board stands at home: lying flat where the file
// says so, and never "standing free" of itself.
func TestTextsSayHowTheBoardStands(t *testing.T) {
	const lies = "At home it lies flat on a tight top."
	texts := func(stands string) []Exposure {
		return reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"M":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"stands":"%s","exposures":[{"name":"dry-spell"},{"name":"flat-on-dry-counter"}],"field":{"grid":{"block":[60,60],"rows":["MM"]}}}`, stands), Conditions{NoCauses: true}).Exposures
	}
	flat, free := texts("flat"), texts("free")
	assert.Contains(t, flat[0].Text, lies)
	assert.NotContains(t, flat[1].Text, lies, "its own text says how it lies")
	for _, e := range free {
		assert.NotContains(t, e.Text, lies)
		assert.NotContains(t, e.Text, "standing free")
	}
}
