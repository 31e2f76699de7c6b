package wood

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Elastic holds the nine elastic constants of a wood at one moisture: moduli in
// MPa; Poisson's ratios with the load direction first (NuRT is the contraction in
// T under load in R), made symmetric so that the compliance is.
//
// Status and Source are keyed by constant ("EL" … "NuRT"). They are shared between
// calls and must not be changed.
type Elastic struct {
	EL, ER, ET       float64
	GLR, GLT, GRT    float64
	NuLR, NuLT, NuRT float64
	MC               float64 // % of the oven-dry mass
	Status           map[string]Status
	Source           map[string]string
}

// baseElastic is the set at 12 % MC with the trends that carry it elsewhere.
type baseElastic struct {
	at12                 Elastic
	along, across, shear trend
}

// Elastic returns the elastic constants at a moisture [% MC, 0 and above; values
// above 100 are refused as a slip of units].
//
// E_L is 1.10 times the bending modulus, which contains the deflection of shear
// (Wood Handbook ch. 5). The other moduli are published ratios to E_L where the
// species or its trade group has them (Table 5-1), else a power law on specific
// gravity, marked estimated. Moisture changes E_L, the two transverse moduli and
// the shear moduli by the middle trends of Table 5-14; Poisson's ratios stay.
// Below 4 and above 25 % MC the constants at that limit hold.
//
// Errors are a fault.List of one: OutOfRange for the moisture, Unstable when the
// compliance is not positive definite.
func (s *Species) Elastic(mc float64) (Elastic, error) {
	if math.IsNaN(mc) || mc < 0 || mc > 100 {
		return Elastic{}, fault.List{{Rule: fault.OutOfRange, Detail: "moisture content is out of range",
			Found: fmt.Sprintf("%v %%", mc), Allowed: "0 to 100 % of the oven-dry mass"}}
	}
	if s.Missing != "" {
		return Elastic{}, fault.List{{Rule: fault.MissingData, Detail: fmt.Sprintf("%s cannot be used: %s", s.CommonName, s.Missing), Found: s.ID}}
	}
	e := s.elastic.at(mc)
	if ok, _ := e.stable(); !ok {
		return Elastic{}, fault.List{{Rule: fault.Unstable, Found: s.ID,
			Detail:  fmt.Sprintf("the elastic constants of %s at %v %% moisture are not positive definite", s.CommonName, mc),
			Allowed: "a compliance that stores energy under every load"}}
	}
	return e, nil
}

func (b baseElastic) at(mc float64) Elastic {
	e := b.at12
	l, p, g := b.along.factor(mc), b.across.factor(mc), b.shear.factor(mc)
	e.EL *= l
	e.ER *= p
	e.ET *= p
	e.GLR *= g
	e.GLT *= g
	e.GRT *= g
	e.MC = mc
	return e
}
