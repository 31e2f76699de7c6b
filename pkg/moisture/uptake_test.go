package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/wood"
)

// gained is the water a column has taken up, kg/m².
func gained(t testing.TB, c Column, h *History, i int) float64 {
	m, l := c.material()
	require.Empty(t, l)
	return (h.Mean[i] - c.M0) * c.Thickness / m.percentMM()
}

// Liquid enters end grain with the root of time, 1.2 kg/m² in an hour at the
// coefficient 0.02 (0.02·√3600), half of it in the first quarter; diffusion
// alone would bring an eighth of that.
func TestLiquidGoesWithTheRootOfTime(t *testing.T) {
	room := Room{Humidity: 45, Temperature: 20}
	c := Column{Species: species(t, "sugar-maple"), Along: true, Thickness: 100, M0: 8}
	for hours, want := range map[float64]float64{0.25: 0.6, 1: 1.2, 4: 2.4} {
		h := simulate(t, c, []Phase{{Hours: hours, Top: Face{Kind: Water, Room: room}, Bottom: Face{Kind: Sealed, Room: room}}}, Options{})
		assert.InEpsilon(t, want, gained(t, c, h, len(h.Mean)-1), 0.01, "%g h", hours)
		assert.Less(t, h.MassBalance, 1e-9)
		fine := simulate(t, c, []Phase{{Hours: hours, Top: Face{Kind: Water, Room: room}, Bottom: Face{Kind: Sealed, Room: room}}}, Options{Tolerance: 1e-4})
		assert.InDelta(t, fine.Slope[len(fine.Slope)-1], h.Slope[len(h.Slope)-1], 0.01*math.Abs(fine.Slope[len(fine.Slope)-1]))
	}
}

// The supply bounds what is taken up, whatever the face; when it is gone the face
// dries in the air, or keeps what it has on the counter.
func TestTheWaterOnAFaceIsAllThereIs(t *testing.T) {
	room := Room{Humidity: 45, Temperature: 20}
	m0, err := room.EMC()
	require.NoError(t, err)
	for _, along := range []bool{true, false} {
		c := Column{Species: species(t, "sugar-maple"), Along: along, Thickness: 40, M0: m0}
		counter := simulate(t, c, []Phase{{Hours: 240, Top: Face{Kind: Sealed, Room: room}, Bottom: Face{Kind: OnWetCounter, Room: room, Supply: 0.3}}}, Options{})
		last := len(counter.Mean) - 1
		assert.InEpsilon(t, 0.3, gained(t, c, counter, last), 0.01)
		open := simulate(t, c, []Phase{{Hours: 240, Top: Face{Kind: Sealed, Room: room}, Bottom: Face{Kind: Water, Room: room, Supply: 0.3}}}, Options{})
		most := 0.0
		for i := range open.Mean {
			most = max(most, gained(t, c, open, i))
		}
		assert.LessOrEqual(t, most, 0.3*1.01)
		assert.Less(t, gained(t, c, open, last), 0.2, "it has dried meanwhile")
	}
}

// While free water stands at a face the face dries as fast as the air takes it:
// vapour of saturation through the film of still air, whatever the wood. (Then the
// water recedes into the wood, for no capillaries bring it back out in the model.)
func TestFreeWaterDriesAtTheRateOfTheAir(t *testing.T) {
	room := Room{Humidity: 40, Temperature: 20}
	c := Column{Species: species(t, "sugar-maple"), Along: true, Thickness: 40, M0: 8}
	h := simulate(t, c, []Phase{
		{Hours: 0.5, Top: Face{Kind: Water, Room: room}, Bottom: Face{Kind: Sealed, Room: room}},
		{Hours: 4, Top: air(room), Bottom: Face{Kind: Sealed, Room: room}},
	}, Options{})
	at := func(hours float64) int {
		best := 0
		for i, x := range h.Times {
			if math.Abs(x-hours) < math.Abs(h.Times[best]-hours) {
				best = i
			}
		}
		return best
	}
	a, b := at(0.51), at(0.65)
	rate := (gained(t, c, h, a) - gained(t, c, h, b)) / ((h.Times[b] - h.Times[a]) * 3600)
	assert.InEpsilon(t, saturationDensity(20)*(1-0.4)/airFilm(), rate, 0.02, "kg/(m² s)")
	assert.Greater(t, h.Top[b], 30.0, "free water is left there")
	assert.Less(t, h.Top[at(4.4)], 28.0, "and has receded later")
}

// The order that is published: even pores drink more than rings of pores, vessels
// closed by tyloses less, side grain far less than end grain, and finishes slow it.
func TestOrderOfUptake(t *testing.T) {
	of := func(name string, along bool, finish string) float64 {
		m, l := Column{Species: species(t, name), Along: along, Thickness: 40, Finish: finish, M0: 8}.material()
		require.Empty(t, l)
		return m.uptake[topFace]
	}
	assert.Greater(t, of("sugar-maple", true, ""), of("white-ash", true, ""))
	assert.Greater(t, of("white-ash", true, ""), of("white-oak", true, ""))
	assert.Greater(t, of("northern-red-oak", true, ""), of("white-oak", true, ""))
	assert.Greater(t, of("sugar-maple", true, ""), 5*of("sugar-maple", false, ""))
	assert.Greater(t, of("sugar-maple", true, ""), of("ipe", true, ""))
	last := math.Inf(1)
	for _, f := range []string{"none", "mineral-oil", "tung-oil", "urethane-varnish-3"} {
		assert.Less(t, of("sugar-maple", true, f), last, f)
		last = of("sugar-maple", true, f)
	}
	for _, s := range wood.All() {
		for _, along := range []bool{true, false} {
			m, l := Column{Species: s, Along: along, Thickness: 40, M0: 8}.material()
			if len(l) == 0 {
				assert.Positive(t, m.uptake[topFace], s.ID)
				assert.GreaterOrEqual(t, m.cap, 30.0, s.ID)
			}
		}
	}
	for _, f := range Finishes() {
		assert.Contains(t, uptakes(), "finish-"+f.Liquid, f.Key)
	}
	for _, id := range closedByTyloses() {
		_, err := wood.Find(id)
		assert.NoError(t, err)
	}
}

// A board once soaked comes back to the balance of its air.
func TestASoakedBoardDries(t *testing.T) {
	room := Room{Humidity: 50, Temperature: 20}
	want, err := room.EMC()
	require.NoError(t, err)
	for _, along := range []bool{true, false} {
		c := Column{Species: species(t, "european-beech"), Along: along, Thickness: 20, M0: want}
		h := simulate(t, c, []Phase{both("", 24, Face{Kind: Water, Room: room}), both("", HoursPerYear, air(room))}, Options{})
		assert.InDelta(t, want, h.Mean[len(h.Mean)-1], 0.05)
		assert.InDelta(t, want, h.Mid[len(h.Mid)-1], 0.05)
	}
}
