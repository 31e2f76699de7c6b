package draw

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestInches(t *testing.T) {
	for mm, want := range map[float64]string{0: "0", 25.4: "1", 12.7: "1/2", 38.1: "1 1/2", 19.05: "3/4", 1.5875: "1/16", 300: "11 13/16", 0.5: "0", -25.4: "−1"} {
		assert.Equal(t, want, inches(mm), "%g mm", mm)
	}
}

func TestSig(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{{0.48321, 4, "0.4832"}, {1234.5, 3, "1234"}, {0.1, 3, "0.1"}, {-0.00012345, 2, "-0.00012"}, {0, 3, "0"}, {9.9999, 3, "10"}, {100, 5, "100"}} {
		assert.Equal(t, c.want, sig(c.v, c.n))
	}
}

func TestNumHasNoNegativeZero(t *testing.T) {
	assert.Equal(t, "0", num(-0.01))
	assert.Equal(t, "-1.5", num(-1.49))
	assert.Equal(t, "12", num(12.02))
}

func TestWrapKeepsWidthAndWords(t *testing.T) {
	text := "a board of maple and walnut in a frame that will not let it move"
	lines := wrap(text, 13, 160, 9)
	assert.Equal(t, text, strings.Join(lines, " "))
	for _, l := range lines {
		assert.LessOrEqual(t, textWidth(l, 13), 160.0)
	}
	short := wrap(text, 13, 160, 2)
	assert.Len(t, short, 2)
	assert.True(t, strings.HasSuffix(short[1], "…"))
	assert.LessOrEqual(t, textWidth(short[1], 13), 160.0)
	assert.Empty(t, wrap("  \n ", 13, 160, 2))
	assert.Equal(t, []string{"one of", "71\u00a0%"}, wrap("one of 71\u00a0%", 13, 50, 2), "a no-break space holds")
	assert.Equal(t, []string{"one of", "71\u00a0%, 3\u00a0mm,", "in 2 parts"}, wrap("one of 71 %, 3 mm, in 2 parts", 13, 76, 4), "units stay with their figures")
}

func FuzzWrap(f *testing.F) {
	for _, s := range nasty {
		f.Add(s, 60.0, 2)
	}
	f.Fuzz(func(t *testing.T, s string, width float64, lines int) {
		if !(width >= 30 && width < 1e4) || lines < 1 || lines > 20 || len(s) > 10_000 {
			t.Skip()
		}
		out := wrap(s, 13, width, lines)
		assert.LessOrEqual(t, len(out), lines)
		for _, l := range out {
			assert.LessOrEqual(t, textWidth(l, 13), width)
			assert.True(t, utf8.ValidString(l) || !utf8.ValidString(s))
		}
	})
}

func TestTicksAreRoundAndInside(t *testing.T) {
	for _, r := range [][2]float64{{0, 1}, {5.1, 10.3}, {-0.003, 0.004}, {0, 12345}, {7.49, 7.51}} {
		ts := ticks(r[0], r[1], 4)
		assert.GreaterOrEqual(t, len(ts), 2, "%v", r)
		assert.LessOrEqual(t, len(ts), 6, "%v", r)
		for _, v := range ts {
			assert.True(t, v >= r[0]-1e-9 && v <= r[1]+1e-9)
		}
	}
	assert.Equal(t, "0.25", tickText(0.25, 0.05))
	assert.Equal(t, "0.0", tickText(-1e-17, 0.1))
	assert.Equal(t, "−2", tickText(-2, 1))
}

func FuzzTicks(f *testing.F) {
	f.Add(0.0, 1.0)
	f.Add(-1e-320, 1e-320)
	f.Add(1e12, -1e12)
	f.Add(7.4999999999, 7.5)
	f.Fuzz(func(t *testing.T, a, b float64) {
		if finite("x", a, b) != nil {
			t.Skip()
		}
		lo, hi := rangeOf([]float64{a, b})
		assert.Less(t, lo, hi)
		ts := ticks(lo, hi, 4)
		assert.LessOrEqual(t, len(ts), 6)
		for _, v := range ts {
			assert.NoError(t, finite("tick", v))
		}
	})
}
