package variation

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Wood Handbook Table 5-6 and ASTM D2555, as fractions; and the workshop's own.
func TestVariation(t *testing.T) {
	for property, want := range map[string]float64{"moe": 0.22, "shear_parallel": 0.14, "tension_perp": 0.25, "shrinkage": 0.15, "sg_12": 0.10, "toughness": 0.34} {
		assert.InDelta(t, want, Of(property), 1e-12, property)
	}
	assert.Panics(t, func() { Of("beauty") })
	assert.Equal(t, Workshop{Rings: 5, Settled: 1, Bond: 0.1, Source: "TANRAD-EST", Status: wood.Estimated}, Ours())
}
