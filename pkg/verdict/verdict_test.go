package verdict

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWordsBeginWhereTheySay(t *testing.T) {
	for u, want := range map[float64]Word{0: Holds, 0.509: Holds, 0.51: Tight, 0.709: Tight, 0.71: Doubtful, 0.999: Doubtful, 1: Fails, 7: Fails} {
		assert.Equal(t, want, Of(u), "u %g", u)
	}
}

// A rounded figure never contradicts its word: "doubtful: 100 %" was said of 0.9976.
func TestPercentStaysOnItsSide(t *testing.T) {
	for u, want := range map[float64]int{0: 0, 0.004: 0, 0.5058: 50, 0.504: 50, 0.51: 51, 0.514: 51, 0.515: 52, 0.7082: 70, 0.71: 71, 0.9976: 99, 1: 100, 1.004: 100, 2.346: 235} {
		assert.Equal(t, want, Percent(u), "u %g", u)
	}
	for u := 0.0; u < 1.5; u += 0.0007 {
		p := Percent(u)
		assert.Equal(t, Of(u), Of(float64(p)/100), "u %g", u)
		assert.Less(t, math.Abs(float64(p)-100*u), 1.0, "u %g", u)
	}
}

// Round-off does not order places, a millionth does; the order is total.
func TestWorseIsBlindToRoundOff(t *testing.T) {
	for u := 1e-7; u < 1e3; u *= 1.37 {
		assert.False(t, Worse(u*(1+1e-12), u), "%g", u)
		assert.False(t, Worse(u, u*(1+1e-12)), "%g", u)
		assert.True(t, Worse(u*(1+3e-6), u), "%g", u)
		assert.False(t, Worse(u, u*(1+3e-6)), "%g", u)
		assert.InEpsilon(t, u, Rank(u), 1e-6)
		assert.Equal(t, Rank(u), Rank(Rank(u)))
	}
	assert.Zero(t, Rank(0))
	assert.True(t, Worse(1e-300, 0))
}
