package notice

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The slips that users made, each with what they had meant.
func TestSlipsAreAskedAbout(t *testing.T) {
	for _, c := range []struct {
		q      Quantity
		v      float64
		likely string
	}{
		{Moisture, 0.08, "8 % MC"}, {Humidity, 0.45, "45 %"}, {Temperature, 70, "21.1 °C"},
		{Block, 1.5, "38.1 mm"}, {Thickness, 1.5, "38.1 mm"}, {Block, 40 * 25.4, "40 mm"}, {Moisture, 45, ""},
	} {
		var l List
		l.Look(c.q, c.v, "/here")
		require.Len(t, l, 1, "%s %g", c.q, c.v)
		assert.Equal(t, c.likely, l[0].Likely, "%s %g", c.q, c.v)
		assert.Equal(t, "/here", l[0].Pointer)
		assert.Contains(t, l[0].Text, "?")
		assert.Contains(t, l[0].Text, l[0].Likely)
	}
}

// What a maker has every day is not asked about.
func TestOrdinaryInputIsNotAskedAbout(t *testing.T) {
	var l List
	for _, mc := range []float64{4, 6, 8, 12, 16} {
		l.Look(Moisture, mc, "")
	}
	l.Look(Humidity, 45, "")
	l.Look(Temperature, 20, "")
	l.Look(Block, 40, "")
	l.Look(Thickness, 38, "")
	assert.Empty(t, l)
}

func TestEveryQuantityHasItsLimits(t *testing.T) {
	for _, q := range []Quantity{Moisture, Humidity, Temperature, Block, Thickness, Side, Wood, Size} {
		l, ok := table()[q]
		require.True(t, ok, q)
		assert.Less(t, l.low, l.high)
		assert.NotEmpty(t, l.guesses[0].means+l.guesses[1].means)
	}
	assert.Len(t, table(), 8)
}
