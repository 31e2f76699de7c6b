package moisture

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Column is one kind of piece as diffusion through its thickness sees it.
type Column struct {
	Species   *wood.Species
	Along     bool    // fibres run through the thickness (end grain on the faces)
	Thickness float64 // mm, 1 to 500
	Finish    string  // key of a finish on both faces; "" is "none"
	Beneath   string  // key of the finish of the bottom face; "" is Finish
	Renewed   Renewal // how often both are renewed
	M0        float64 // % MC at the start, even through the thickness, 0 to 30
}

// Limits of a column.
const (
	MinThickness = 1.0   // mm
	MaxThickness = 500.0 // mm
	MaxStart     = wood.NominalFSP
)

// topFace is where the top face stands in pairs of faces, after the bottom.
const topFace = 1

// material is what the kernel needs of a column.
type material struct {
	solid   float64 // oven-dry specific gravity, mass over oven-dry volume
	density float64 // oven-dry mass in a volume at 12 % MC, kg/m³
	along   bool
	ratio   float64    // measured along : across at 10 % MC
	film    [2]float64 // resistance of the finish at the bottom and at the top, s/m
	uptake  [2]float64 // of liquid water there, kg/(m² √s)
	cap     float64    // % MC to which liquid water fills the wood
}

// material checks the column and gathers its constants.
func (c Column) material() (material, fault.List) {
	var l fault.List
	l = append(l, fault.Range("/thickness", "thickness", c.Thickness, MinThickness, MaxThickness, "mm")...)
	if !(c.M0 >= 0 && c.M0 <= MaxStart) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/moisture", Detail: "moisture content is outside the range the diffusion model holds for",
			Found: fmt.Sprintf("%g %%", c.M0), Allowed: fmt.Sprintf("0 to %g %% (fibre saturation)", float64(MaxStart))})
	}
	var m material
	top, err := FindFinish(c.Finish)
	l = append(l, fault.Of(fault.At(err, "/finish"))...)
	bottom := top
	if c.Beneath != "" {
		bottom, err = FindFinish(c.Beneath)
		l = append(l, fault.Of(fault.At(err, "/beneath"))...)
	}
	m.film = [2]float64{bottom.Left(c.Renewed) * bottom.Resistance, top.Left(c.Renewed) * top.Resistance}
	if c.Species == nil {
		return m, append(l, fault.Fault{Rule: fault.MissingKey, Pointer: "/species", Detail: "no wood given"})
	}
	m.along, m.ratio = c.Along, AlongRatio(c.Species.Class)
	at12, basic, dry, err := specificGravity(c.Species)
	m.density, m.solid = 1000*at12, dry
	m.cap = liquidCap(basic)
	for i, f := range [2]Finish{bottom, top} {
		m.uptake[i] = uptake(c.Species, at12, c.Along, f, f.Left(c.Renewed))
	}
	return m, append(l, fault.Of(err)...)
}

// DryDensity is the oven-dry mass of a wood in a volume at 12 % MC, kg/m³. Errors: as of
// Simulate.
func DryDensity(s *wood.Species) (float64, error) {
	at12, _, _, err := specificGravity(s)
	return 1000 * at12, err
}

// specificGravity returns the oven-dry mass over the volume at 12 % MC, over the green
// volume and over the oven-dry volume, all relative to water. Volumes follow the linear
// shrinkage law; the volumetric shrinkage is the printed one or, without it,
// the sum of the radial and tangential ones.
func specificGravity(s *wood.Species) (at12, basic, dry float64, err error) {
	sv := s.ShrinkV.V / 100
	if !s.ShrinkV.Known {
		sv = (s.ShrinkR.V + s.ShrinkT.V) / 100
	}
	fsp := s.FSP()
	v12 := 1 - sv*max(0, fsp-12)/fsp // of the green volume
	switch {
	case s.SG12.Known:
		at12 = s.SG12.V
	case s.SGBasic.Known:
		at12 = s.SGBasic.V / v12
	default:
		return 0, 0, 0, fault.List{{Rule: fault.MissingData, Pointer: "/species", Detail: "no specific gravity is published for " + s.CommonName, Found: s.ID}}
	}
	// wood without lumens has 1.54; the closed form needs some lumen
	return at12, at12 * v12, min(at12*v12/(1-sv), 1.45), nil
}

// diffusivities hands out potential tables by temperature. Tables are made for
// whole degrees and blended between them; the blend is itself a table, so θ' = d
// still holds.
type diffusivities struct {
	m       material
	degrees map[int]*potential
	blend   *potential
	at      float64
}

// blendStep is the change of temperature [°C] below which a table is kept; the
// diffusivity changes by about 5 % a degree.
const blendStep = 0.02

func newDiffusivities(m material) *diffusivities {
	return &diffusivities{m: m, degrees: map[int]*potential{}, at: math.NaN()}
}

func (d *diffusivities) degree(t int) *potential {
	if p, ok := d.degrees[t]; ok {
		return p
	}
	temperature, more := float64(t), 0.0
	if d.m.along {
		more = series(d.m.solid, temperature, d.m.ratio)
	}
	p := newPotential(func(mc float64) float64 {
		across, along := siau(d.m.solid, temperature, mc)
		if d.m.along {
			across = inSeries(across, along, more)
		}
		return across * squareMMPerHour
	})
	d.degrees[t] = p
	return p
}

// table is the potential at a temperature [°C].
func (d *diffusivities) table(t float64) *potential {
	if math.Abs(t-d.at) < blendStep {
		return d.blend
	}
	d.at = t
	base := math.Floor(t)
	low := d.degree(int(base))
	f := t - base
	if f == 0 {
		d.blend = low
		return low
	}
	high := d.degree(int(base) + 1)
	b := &potential{d: make([]float64, potentialN), theta: make([]float64, potentialN)}
	for i := range b.d {
		b.d[i] = low.d[i] + f*(high.d[i]-low.d[i])
		b.theta[i] = low.theta[i] + f*(high.theta[i]-low.theta[i])
	}
	d.blend = b
	return b
}
