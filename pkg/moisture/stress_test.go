package moisture

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Anything the limits allow runs to its end, keeps its water and stays between
// dry and saturated. A failing case prints its seed and inputs.
func TestWildColumns(t *testing.T) {
	kinds := []FaceKind{Air, Water, Sealed, OnWetCounter, OnDryCounter}
	all, coats, homes := wood.All(), Finishes(), Climates()
	steps := 0
	for seed := uint64(1); seed <= 300; seed++ {
		rnd := rand.New(rand.NewPCG(seed, 17))
		pick := func(lo, hi float64) float64 { // the ends come up often
			switch rnd.IntN(6) {
			case 0:
				return lo
			case 1:
				return hi
			}
			return lo + rnd.Float64()*(hi-lo)
		}
		face := func() Face {
			f := Face{Kind: kinds[rnd.IntN(len(kinds))], Room: Room{pick(0, MaxHumidity), pick(MinTemperature, MaxTemperature)}}
			if rnd.IntN(2) == 0 {
				f.Supply = pick(0, 2)
			}
			if rnd.IntN(4) == 0 {
				f.Year, f.Start = &homes[rnd.IntN(len(homes))].Months, pick(-1e4, 1e5)
			}
			return f
		}
		c := Column{
			Species: all[rnd.IntN(len(all))], Along: rnd.IntN(2) == 0, Thickness: math.Exp(pick(0, math.Log(MaxThickness))),
			Finish: coats[rnd.IntN(len(coats))].Key, M0: pick(0, MaxStart),
		}
		var p []Phase
		for range 1 + rnd.IntN(5) {
			p = append(p, Phase{Hours: math.Pow(10, pick(-3, 4)), Top: face(), Bottom: face()})
		}
		h := simulate(t, c, p, Options{})
		m, _ := c.material()
		steps += h.Steps
		require.Less(t, h.MassBalance, 1e-8*c.Thickness, "seed %d %+v", seed, p) // % mm
		for i := range h.Mean {
			for _, v := range []float64{h.Mean[i], h.Top[i], h.Bottom[i], h.Mid[i]} {
				require.True(t, v > -0.2 && v < max(32.5, m.cap+0.5), "seed %d: %g %% at %g h in %s, %+v", seed, v, h.Times[i], c.Species.ID, p)
			}
			require.False(t, math.IsNaN(h.Slope[i]))
		}
	}
	t.Logf("300 columns, %d steps", steps)
}
