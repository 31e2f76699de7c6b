package answer

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/pair"
)

// TestDigits sweeps numbers of every size: rounding keeps nine digits, and what
// is written quickly is what strconv writes.
func TestDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	quick := 0
	for i := range 200_000 {
		v := (r.Float64() - 0.5) * math.Pow(10, float64(i%24-10))
		if i%3 == 0 {
			v = math.Round(v*1000) / 1000
		}
		short := rounded(v)
		require.InEpsilon(t, v+1e-300, short+1e-300, 5.1e-9, "half a unit of the ninth digit of %v", v)
		require.Equal(t, short, rounded(short), "rounding again changes nothing")
		for _, x := range []float64{v, short} {
			if b, ok := appendShort([]byte("x"), x); ok {
				require.Equal(t, "x"+strconv.FormatFloat(x, 'f', -1, 64), string(b))
				quick++
			} else {
				require.Equal(t, "x", string(b))
			}
		}
	}
	assert.Greater(t, quick, 100_000)
	for _, v := range []float64{0, math.Copysign(0, -1), 1e9, 999999999.5, 9.999999995, 1e-6, 9.999999999e-7, math.NaN(), math.Inf(1), 0.1 + 0.2, 1, 10, 40, 7.5, 123456789} {
		if b, ok := appendShort(nil, v); ok {
			assert.Equal(t, strconv.FormatFloat(v, 'f', -1, 64), string(b))
		}
	}
}

// TestEveryNumberOfAPairIsRounded: none is forgotten, so none is written slowly.
func TestEveryNumberOfAPairIsRounded(t *testing.T) {
	r, err := AskPair(pair.Request{A: pair.Piece{Species: "sugar-maple", RingAngle: 37}, B: pair.Piece{Species: "black-walnut", RingAngle: -64}, From: 7.5, To: 10.123456789012, Derivation: true})
	require.NoError(t, err)
	for _, word := range longNumbers(general(t, r)) {
		t.Errorf("%s has more than %d digits", word, digits)
	}
}

// longNumbers finds the numbers of a JSON text with more than the digits told.
func longNumbers(text string) (out []string) {
	start, count := -1, 0
	for i, c := range text {
		switch {
		case c >= '0' && c <= '9':
			if start < 0 {
				start, count = i, 0
			}
			if c != '0' || count > 0 {
				count++
			}
		case c == '.' && start >= 0:
		case start >= 0:
			if count > digits {
				out = append(out, text[start:i])
			}
			start = -1
		}
	}
	return out
}
