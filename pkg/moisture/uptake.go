package moisture

import (
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// uptakes are the rows of data/uptake.csv by key.
var uptakes = sync.OnceValue(func() map[string]float64 { return data.Figures("uptake.csv") })

// closedByTyloses lists the woods whose vessels are.
var closedByTyloses = sync.OnceValue(func() []string {
	for _, r := range data.Table("uptake.csv") {
		if r.Get("key") == "along-tyloses" {
			return strings.Fields(r.Get("applies"))
		}
	}
	return nil
})

// uptake is the coefficient A [kg/(m² √s)] with which a face in water takes up
// liquid, W = A·√t: that of end grain by the class of the wood, a share of it
// into side grain, and what the finish lets through, of which a part (0 to 1) is left.
// at12 is the specific gravity at 12 % MC.
func uptake(s *wood.Species, at12 float64, along bool, f Finish, left float64) float64 {
	key := "along-" + s.Porosity
	switch {
	case s.Class == "softwood":
		key = "along-softwood"
	case slices.Contains(closedByTyloses(), s.ID):
		key = "along-tyloses"
	case s.Origin == "imported" && at12 > uptakes()["dense-from"]:
		key = "along-dense-tropical"
	}
	a := uptakes()[key] * (1 - left*(1-uptakes()["finish-"+f.Liquid]))
	if !along {
		a *= uptakes()["side-share"]
	}
	return a
}

// liquidCap is the moisture [% MC] to which liquid fills the cells near a wet face:
// half of the room between fibre saturation and the moisture at which every lumen
// is full, 100·(1.54 − G)/(1.54·G) with the basic specific gravity G (Wood
// Handbook, chapter 4, from memory); the other half holds the air that is shut in.
// Judged.
func liquidCap(basic float64) float64 {
	full := 100 * (1.54 - basic) / (1.54 * basic)
	return wood.NominalFSP + max(0, full-wood.NominalFSP)/2
}

// puddle is the liquid water on one face during a phase.
type puddle struct {
	wet    bool
	supply float64 // kg/m², 0 for as much as the wood takes
	taken  float64 // kg/m², as liquid and as vapour
}

// gone says that the wood has drunk all there was.
func (p *puddle) gone() bool { return p.wet && p.supply > 0 && p.taken >= p.supply }

// drink takes up liquid for a step of h hours that begins some hours into the phase
// by its coefficient a and returns it as % mm of moisture: W = A·√t, and no more than is left.
func (p *puddle) drink(m material, a, hours, h float64) float64 {
	if !p.wet || p.gone() {
		return 0
	}
	w := a * (math.Sqrt((hours+h)*3600) - math.Sqrt(hours*3600))
	if p.supply > 0 {
		w = min(w, p.supply-p.taken)
	}
	return w * m.percentMM()
}

// without is the surrounding of a face whose water is gone: air, or, on a counter,
// nothing that water passes.
func (f Face) without() Face {
	if f.Kind == OnWetCounter {
		f.Kind = OnDryCounter
	} else {
		f.Kind = Air
	}
	return f
}

// wet says that liquid water stands at the face.
func (f Face) wet() bool { return f.Kind == Water || f.Kind == OnWetCounter }

// percentMM is 1 kg of water on a m² as % MC times mm.
func (m material) percentMM() float64 { return 100 * 1000 / m.density }

// soak fills the cells from one face inwards up to the cap with liquid [% mm] and
// returns what found no room.
func (c cells) soak(now []float64, fromTop bool, limit, liquid float64) float64 {
	n := len(now)
	for i := range n {
		k := i
		if fromTop {
			k = n - 1 - i
		}
		if room := (limit - now[k]) * c.width[k]; room > 0 {
			in := min(room, liquid)
			now[k] += in / c.width[k]
			if liquid -= in; liquid <= 0 {
				return 0
			}
		}
	}
	return liquid
}

// DrinkTime returns how long a bare face of the column takes to drink some liquid
// [kg/m²], in seconds, when it stands wet: t = (W/A)². Another liquid than water
// enters slower by the factor given on A: see Penetration. Errors: those of Simulate.
func (c Column) DrinkTime(liquid, penetration float64) (seconds float64, err error) {
	m, l := c.material()
	if len(l) > 0 {
		return 0, l
	}
	s := liquid / (m.uptake[topFace] * penetration)
	return s * s, nil
}

// Penetration is the factor on the uptake coefficient A of water for a liquid of some
// density [ratio to water], surface tension [ratio] and viscosity [ratio] that wets
// the wood as well: by the law of capillaries the depth goes as √(γ·t/η)
// (Washburn 1921, Physical Review 17, 273, Eq. 11; from memory).
func Penetration(density, tension, viscosity float64) float64 {
	return density * math.Sqrt(tension/viscosity)
}
