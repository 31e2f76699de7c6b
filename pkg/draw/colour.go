package draw

import (
	"fmt"
	"math"
	"strconv"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// rgb is a colour in linear light, each part 0 to 1.
type rgb [3]float64

// lab is a colour in the Oklab space (B. Ottosson, A perceptual color space
// for image processing, 2020): lightness and two opponent axes.
type lab [3]float64

// parseHex reads "#rrggbb".
func parseHex(s string) (rgb, error) {
	if len(s) == 7 && s[0] == '#' {
		if n, err := strconv.ParseUint(s[1:], 16, 32); err == nil {
			return rgb{toLinear(byte(n >> 16)), toLinear(byte(n >> 8)), toLinear(byte(n))}, nil
		}
	}
	return rgb{}, fmt.Errorf("draw: colour %q is not of the form #rrggbb", s)
}

// toLinear and toByte are the transfer function of IEC 61966-2-1 (sRGB).
func toLinear(b byte) float64 {
	v := float64(b) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func toByte(v float64) byte {
	v = math.Min(math.Max(v, 0), 1) // mixing may leave the screen's gamut by a hair
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return byte(math.Round(v * 255))
}

func (c rgb) hex() string {
	return fmt.Sprintf("#%02x%02x%02x", toByte(c[0]), toByte(c[1]), toByte(c[2]))
}

func (c rgb) lab() lab {
	l := math.Cbrt(0.4122214708*c[0] + 0.5363325363*c[1] + 0.0514459929*c[2])
	m := math.Cbrt(0.2119034982*c[0] + 0.6806995451*c[1] + 0.1073969566*c[2])
	s := math.Cbrt(0.0883024619*c[0] + 0.2817188376*c[1] + 0.6299787005*c[2])
	return lab{
		0.2104542553*l + 0.7936177850*m - 0.0040720468*s,
		1.9779984951*l - 2.4285922050*m + 0.4505937099*s,
		0.0259040371*l + 0.7827717662*m - 0.8086757660*s,
	}
}

func (c lab) rgb() rgb {
	l := c[0] + 0.3963377774*c[1] + 0.2158037573*c[2]
	m := c[0] - 0.1055613458*c[1] - 0.0638541728*c[2]
	s := c[0] - 0.0894841775*c[1] - 1.2914855480*c[2]
	l, m, s = l*l*l, m*m*m, s*s*s
	return rgb{
		+4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
		-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
		-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
	}
}

// mix goes from a (t = 0) to b (t = 1) in even steps to the eye.
func mix(a, b rgb, t float64) rgb {
	p, q := a.lab(), b.lab()
	for i := range p {
		p[i] += (q[i] - p[i]) * t
	}
	return p.rgb()
}

// lighten moves the lightness of a colour by d (Oklab, 0 to 1).
func lighten(c rgb, d float64) rgb {
	p := c.lab()
	p[0] = math.Min(math.Max(p[0]+d, 0), 1)
	return p.rgb()
}

// rampStop is the colour of one utilisation.
type rampStop struct {
	u float64
	c rgb
}

// The ramp runs through the colours no wood has, green-blue to wine, and falls
// in lightness all the way; the test looks at it with simulated colour-blind
// eyes too. Above the last stop the colour stays.
var ramp = func() []rampStop {
	var out []rampStop
	for _, s := range []struct {
		u float64
		c string
	}{{0, "#8ccfc3"}, {verdict.FromTight, "#459fc6"}, {verdict.FromDoubtful, "#5a5cc4"}, {verdict.FromFails, "#a1127f"}, {2, "#4d0630"}} {
		c, err := parseHex(s.c)
		if err != nil {
			panic(err) // a slip in the table above
		}
		out = append(out, rampStop{s.u, c})
	}
	return out
}()

// rampColour is the colour of a utilisation.
func rampColour(u float64) rgb {
	if u <= ramp[0].u {
		return ramp[0].c
	}
	for i := 1; i < len(ramp); i++ {
		if a, b := ramp[i-1], ramp[i]; u <= b.u {
			return mix(a.c, b.c, (u-a.u)/(b.u-a.u))
		}
	}
	return ramp[len(ramp)-1].c
}

// band is one verdict word with its limits and its line.
type band struct {
	word   verdict.Word
	from   float64 // utilisation of a measured crack at which it begins, see verdict.Scale
	sample float64 // at which the legend draws it, likewise
	dash   [2]float64
	core   bool // a broken pale core runs along the line
}

var bands = [4]band{
	{verdict.Holds, 0, 0.3, [2]float64{}, false},
	{verdict.Tight, verdict.FromTight, 0.57, [2]float64{2.6, 1.3}, false},
	{verdict.Doubtful, verdict.FromDoubtful, 0.86, [2]float64{1.1, 0.55}, false},
	{verdict.Fails, verdict.FromFails, 1.38, [2]float64{}, true},
}

// limits tells where a band begins and ends on a scale: "0.5 to 0.8".
func limits(k int, of verdict.Scale) string {
	n := func(u float64) string { return strconv.FormatFloat(math.Round(100*of.At(u))/100, 'g', -1, 64) }
	switch {
	case k == 0:
		return "below " + n(bands[1].from)
	case k == len(bands)-1:
		return n(bands[k].from) + " and above"
	}
	return n(bands[k].from) + " to " + n(bands[k+1].from)
}

// lineWidth is the width of a joint's line; it grows up to a utilisation of 2.
func lineWidth(u float64) float64 {
	return 1.3 + 3.5*math.Min(u, 1) + 1.2*math.Min(math.Max(u-1, 0), 1)
}
