package draw

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// Simulation of full protanopia, deuteranopia and tritanopia on linear RGB.
// G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A physiologically-based
// model for simulation of color vision deficiency, IEEE Transactions on
// Visualization and Computer Graphics 15 (2009), table of severity 1.0.
var eyes = map[string][3][3]float64{
	"usual":        {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func see(m [3][3]float64, c rgb) rgb {
	var out rgb
	for i := range out {
		for k := range c {
			out[i] += m[i][k] * c[k]
		}
		out[i] = math.Min(math.Max(out[i], 0), 1)
	}
	return out
}

func TestEyesLeaveGreyAlone(t *testing.T) {
	for name, m := range eyes {
		got := see(m, rgb{0.3, 0.3, 0.3})
		for i := range got {
			assert.InDelta(t, 0.3, got[i], 1e-5, name) // six decimals are printed
		}
	}
}

// lightness is CIE L*, 0 to 100 (CIE 15).
func lightness(c rgb) float64 {
	y := c.luminance()
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

func TestRampFallsInLightnessForEveryEye(t *testing.T) {
	for name, m := range eyes {
		last := math.Inf(1)
		for i := 0; i <= 200; i++ {
			u := float64(i) / 100
			l := lightness(see(m, rampColour(u)))
			require.Less(t, l, last, "%s at utilisation %g", name, u)
			last = l
		}
		// The four samples of the legend stand at least 8 L* apart; about 2 is
		// the least that is seen side by side.
		for k := 1; k < len(bands); k++ {
			a, b := lightness(see(m, rampColour(bands[k-1].sample))), lightness(see(m, rampColour(bands[k].sample)))
			assert.Greater(t, a-b, 8.0, "%s: %s and %s", name, bands[k-1].word, bands[k].word)
		}
	}
}

func TestRampStaysAboveItsEnd(t *testing.T) {
	assert.Equal(t, rampColour(2).hex(), rampColour(50).hex())
	assert.Equal(t, rampColour(0).hex(), ramp[0].c.hex())
}

func TestBandsAreTheVerdicts(t *testing.T) {
	for u, want := range map[float64]string{0: "holds", 0.5099: "holds", 0.51: "tight", 0.7099: "tight", 0.71: "doubtful",
		0.9999: "doubtful", 1: "fails", 12: "fails"} {
		assert.Equal(t, verdict.Word(want), bands[verdict.Band(u)].word, "utilisation %g", u)
	}
	for k := range bands {
		assert.Equal(t, k, verdict.Band(bands[k].sample), "the legend shows %s with a line of its own band", bands[k].word)
		assert.Equal(t, k, verdict.Band(bands[k].from))
	}
}

func TestLineWidthGrows(t *testing.T) {
	for i := range 200 {
		assert.Greater(t, lineWidth(float64(i+1)/100), lineWidth(float64(i)/100))
	}
}

func TestColourRoundTrip(t *testing.T) {
	for _, s := range []string{"#000000", "#ffffff", "#6b4a34", "#0a0b0c", "#fe0180"} {
		c, err := parseHex(s)
		require.NoError(t, err)
		assert.Equal(t, s, c.hex())
		assert.Equal(t, s, c.lab().rgb().hex())
		assert.Equal(t, s, mix(c, rgb{1, 0, 0}, 0).hex())
	}
	for _, s := range []string{"", "red", "#fff", "#12345g", "#1234567", "123456#", "#+12345"} {
		_, err := parseHex(s)
		assert.Error(t, err, s)
	}
}

// luminance is the CIE Y of the colour, 0 to 1.
func (c rgb) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }
