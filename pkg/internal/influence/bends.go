package influence

import (
	"math"

	section "github.com/tanrad/tanrad/pkg/internal/layers"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// bends gives the even gradient [% MC per mm] that curves a free piece of a kind as
// its history does, over time: with creep, mechano-sorption and crushing, without
// which a thin wet face, strained ten times what wood bears across the grain, bends
// a board several times too far. bound and width are those of its layers.
func (k *kind) bends(h *moisture.History, cells *layers) []float64 {
	uneven := 0.0
	for _, v := range h.Slope {
		uneven = math.Max(uneven, math.Abs(v))
	}
	if uneven < alikeFaces {
		return make([]float64, len(h.Times))
	}
	s := &section.Section{Z: cells.middles(), Width: cells.width}
	bound := make([][]float64, len(h.Times))
	for i := range bound {
		bound[i] = make([]float64, len(h.Z))
		for c, mc := range h.Profiles[i] {
			bound[i][c] = k.Species.BoundWater(mc)
		}
	}
	return s.Follow(k.material(), h.Times, bound).Slope
}

// alikeFaces is the gradient [% MC per mm] below which both faces are alike.
const alikeFaces = 1e-9

// material is the wood of a kind along its rings, the way in which it swells most.
func (k *kind) material() *section.Material {
	_, _, swells := k.Species.SwellingRate(k.Start)
	trend := func(of func(mc float64) float64) section.Trend { return section.TrendOf(of) }
	modulus := func(mc float64) float64 {
		e, err := k.Species.Elastic(mc)
		if err != nil { // refused before: see translate
			return 0
		}
		return e.ET
	}
	c := section.Default()
	m := &section.Material{Modulus: modulus(k.Start) * swells, Sorption: c.Sorption,
		Stiff:   trend(func(mc float64) float64 { return modulus(mc) / modulus(k.Start) }),
		Tension: trend(func(mc float64) float64 { return k.Species.Strength(mc).TensionT }),
		Yield:   trend(func(mc float64) float64 { return c.Yield * k.Species.Strength(mc).CompressionPerp })}
	chain := relax.Typical.Series().Chain()
	for i := range chain.J {
		m.Creep = append(m.Creep, section.Kelvin{Compliance: chain.J[i], Reach: chain.Tau[i]})
	}
	return m
}
