package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

func TestParseLengthForms(t *testing.T) {
	for _, c := range []struct {
		text string
		unit Unit
		mm   float64
	}{
		{"40", Millimetre, 40}, {"9.15", Inch, 9.15 * 25.4}, {".5", Inch, 12.7},
		{"1 3/8", Inch, 1.375 * 25.4}, {"1-3/8", Inch, 1.375 * 25.4}, {"1 - 3/8 in", Millimetre, 1.375 * 25.4},
		{"9 5/32 in", Millimetre, (9 + 5.0/32) * 25.4}, {`3/4"`, Millimetre, 19.05}, {"3/4″", Millimetre, 19.05},
		{"1½", Inch, 38.1}, {"½ in", Millimetre, 12.7}, {"12 mm", Inch, 12}, {"2.5 cm", Inch, 25},
		{"-1/16 in", Millimetre, -25.4 / 16}, {"-1 1/2", Inch, -38.1}, {" 7 Inches ", Millimetre, 177.8}, {"0", Millimetre, 0},
	} {
		mm, err := ParseLength(c.text, c.unit)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.mm, mm, 1e-12*math.Max(1, math.Abs(c.mm)), c.text) // mm; round-off only
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "mm", "in", "x", "1/0", "1/", "/2", "1 2", "1 1.5/2", "1.5 1/2", "--1", "1e3", "inf", "nan", "0x10", "1_000", "1..2", ".", "-",
		"1//2", "1/2/3", "5 ft", "٣", strings.Repeat("9", 400),
	} {
		_, err := ParseLength(text, Inch)
		var f fault.Fault
		require.ErrorAs(t, err, &f, "%q", text)
		assert.NotEmpty(t, f.Allowed)
		assert.LessOrEqual(t, len(f.Found), maxText+4)
	}
	_, err := ParseLength("1", "furlong")
	require.Error(t, err)
}

func TestFormatInches(t *testing.T) {
	for _, c := range []struct {
		inches float64
		want   string
	}{
		{0, "0 in"}, {1, "1 in"}, {1.375, "1 3/8 in"}, {9.217, "9 7/32 in"}, {0.067, "1/16 in"},
		{-3.0 / 64, "-3/64 in"}, {-0.001, "0 in"}, {63.9999 / 64, "1 in"}, {-2.5, "-2 1/2 in"},
	} {
		assert.Equal(t, c.want, FormatInches(c.inches*25.4), "%v", c.inches)
	}
	assert.Equal(t, "not finite", FormatInches(math.NaN()))
}

// Every multiple of 1/64 in survives being written and read again.
func TestInchesRoundTrip(t *testing.T) {
	for n := -1000; n <= 1000; n++ {
		mm := float64(n) / 64 * MillimetresPerInch
		back, err := ParseLength(FormatInches(mm), Millimetre)
		require.NoError(t, err)
		assert.InDelta(t, mm, back, 1e-12, "%d/64", n) // mm; round-off only
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"1 3/8", "1-3/8", "9.15", "9 5/32 in", "3/4\"", "½ in", "-1 - 1/2 mm", "1/0", "999999999/1", "", "--", "1e309", "nan", "\xff/2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		mm, err := ParseLength(s, Inch)
		if err != nil {
			var one fault.Fault
			if !errors.As(err, &one) {
				t.Fatalf("%q: error is no fault: %v", s, err)
			}
			return
		}
		if math.IsNaN(mm) || math.IsInf(mm, 0) {
			t.Fatalf("%q: not finite", s)
		}
		if math.Abs(mm) > 1e9 { // past this a 64th of an inch is still exact, but the text no longer short
			return
		}
		back, err := ParseLength(FormatInches(mm), Millimetre)
		if err != nil || math.Abs(back-mm) > MillimetresPerInch/128+1e-9*math.Abs(mm) {
			t.Fatalf("%q: %v mm came back as %v (%v)", s, mm, back, err)
		}
	})
}

func TestBareFractions(t *testing.T) {
	for text, bare := range map[string]bool{"1 1/2": true, "3/4": true, "½": true, "1 1/2 in": false, `3/4"`: false, "1.5": false, "38": false, "1/2 mm": false} {
		assert.Equal(t, bare, BareFraction(text), text)
	}
	v, err := LengthIn("1 1/2", Inch)
	require.NoError(t, err)
	assert.Equal(t, 1.5, v, "no rounding on the way through mm")
	v, err = LengthIn("38.1 mm", Inch)
	require.NoError(t, err)
	assert.InDelta(t, 1.5, v, 1e-15)
	_, err = LengthIn("so", Inch)
	assert.Error(t, err)
}
