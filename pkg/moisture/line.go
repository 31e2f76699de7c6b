package moisture

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Line is one of equally spaced glue lines of a panel whose fibres run in its plane,
// with the water that the glue brought.
type Line struct {
	Species   *wood.Species
	Thickness float64 // mm, of the panel
	Spacing   float64 // mm between lines
	Water     float64 // kg/m² of joint
	Air       Room    // on both faces; the wood was in balance with it
}

// Wait returns the hours until a line stands proud by no more than some mm; 0 when it
// never does. Errors: a fault.List; deadline when ctx ends.
func (l Line) Wait(ctx context.Context, proud float64) (hours float64, err error) {
	c, err := l.constants()
	if err != nil {
		return 0, err
	}
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	const first = 0.01 // h
	if l.Water == 0 || c.proud(first) <= proud {
		return 0, nil
	}
	log := bisectRising(func(x float64) float64 { return proud - c.proud(math.Exp(x)) }, math.Log(first), math.Log(LongestResponse), 1e-6)
	return math.Exp(log), nil
}

// lineConstants are what proud needs, in mm and hours.
type lineConstants struct {
	d       float64 // mm²/h
	bi      float64 // Biot number of half the thickness
	source  float64 // % MC times mm
	swell   float64 // mm of one face for 1 % MC through the thickness
	spacing float64 // mm
	half    float64 // mm, half the thickness
	roots   []float64
}

func (l Line) constants() (c lineConstants, err error) {
	m, faults := Column{Species: l.Species, Thickness: l.Thickness}.material()
	faults = append(faults, l.Air.Faults("/air")...)
	faults = append(faults, fault.Range("/spacing", "distance of glue lines", l.Spacing, 1, 10_000, "mm")...)
	faults = append(faults, fault.Range("/water", "water of the glue", l.Water, 0, 10, "kg/m²")...)
	if len(faults) > 0 {
		return c, faults
	}
	mc := equilibrium(l.Air.Temperature, l.Air.Humidity)
	across, _ := siau(m.solid, l.Air.Temperature, mc)
	_, r, t := l.Species.SwellingRate(mc)
	c = lineConstants{d: across * squareMMPerHour, spacing: l.Spacing, half: l.Thickness / 2, source: l.Water * m.percentMM(), swell: max(r, t) * l.Thickness / 2}
	c.bi = SurfaceEmission(m.density, l.Air.Temperature, l.Air.Humidity) * mmPerHour * c.half / c.d
	for n := range 30 {
		lo, hi := float64(n)*math.Pi+1e-12, (float64(n)+0.5)*math.Pi-1e-12
		sign := math.Pow(-1, float64(n))
		c.roots = append(c.roots, bisectRising(func(b float64) float64 { return sign * (b*math.Sin(b) - c.bi*math.Cos(b)) }, lo, hi, 1e-13))
	}
	return c, nil
}

// proud is by how much each face stands up at the line over half-way between two
// lines, some hours after gluing [mm]: what sinks again when it is planed flat then.
// The faces must be free.
//
// The water spreads from the lines sideways, as from plane sources in a solid with
// walls half-way between them (Crank, The Mathematics of Diffusion, Eq. 2.7 and
// reflections), and leaves by the faces as from a sheet with surface evaporation
// (Eq. 4.53); where the law is linear the two are multiplied (numbers of Crank from
// memory).
// The diffusivity is that of the wood in balance with the air; the thickness swells
// by the larger of the radial and tangential rates, as far as the drier wood beside the
// line lets it: see relief.
func (c *lineConstants) proud(hours float64) float64 {
	dt := c.d * hours
	// difference of line and half-way, per unit source, wave by wave: Fourier's form of the
	// images
	var lateral float64
	s := c.spacing
	for n := 1.0; ; n += 2 {
		k := 2 * math.Pi * n / s
		wave := 4 / s * math.Exp(-k*k*dt)
		lateral += wave * relief(k*c.half)
		if k*k*dt > 40 { // round-off from here on
			break
		}
	}
	left := 0.0
	for _, b := range c.roots {
		left += 2 * c.bi * c.bi * math.Exp(-b*b*dt/(c.half*c.half)) / (b * b * (b*b + c.bi*c.bi + c.bi))
	}
	return c.swell * c.source * lateral * min(1, left)
}

// relief is the share of a free swelling that shows on the faces of a plate when the
// swelling comes and goes along it in waves, as the cosine of k·x, and is even through
// its thickness 2c; q = k·c. Wood that would swell is held by the wood half a wave on:
//
//	f(q) = 4·sinh²q / (q·(sinh 2q + 2q))
//
// Derived: stress −E·ε·cos kx across the plate keeps it flat, and its opposite on both
// faces frees it; the displacement under that is Ribière's and Filon's strip under a
// wave of pressure (Timoshenko and Goodier, Theory of Elasticity, art. 24, from memory).
// The section is taken as isotropic in plane stress; of hardwoods the shear modulus
// across the grain over Young's is about as large.
func relief(q float64) float64 {
	switch {
	case q < 1e-4:
		return 1
	case q > 300:
		return 2 / q
	}
	sinh := math.Sinh(q)
	return 4 * sinh * sinh / (q * (math.Sinh(2*q) + 2*q))
}
