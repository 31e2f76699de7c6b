package quantity_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/quantity"
)

// Days are rounded up to whole ones, and none at all is 0, not −0.
func TestWholeDays(t *testing.T) {
	for v, want := range map[float64]float64{0: 0, 1e-12: 0, 0.2: 1, 3: 3, 3 + 1e-12: 3, 3.01: 4} {
		assert.Equal(t, want, quantity.Whole(v))
		assert.False(t, math.Signbit(quantity.Whole(v)), v)
	}
	none, some := 0.0, 2.5
	assert.Equal(t, []string{"0", "3", "too long"}, []string{quantity.Days(&none), quantity.Days(&some), quantity.Days(nil)})
}
