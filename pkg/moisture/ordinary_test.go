package moisture

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// In every home and from every month ordinary use is one year, with each spell once,
// in its month and of its length, and the weekly washes of both faces up to its end.
func TestOrdinaryUseIsAYear(t *testing.T) {
	for _, c := range Climates() {
		driest, dampest, _, _ := c.Extremes()
		for start := 1; start <= 12; start++ {
			for _, days := range []float64{7, 10.5, 17, 28} {
				where := fmt.Sprintf("%s from month %d, spells of %g days", c.Key, start, days)
				p, err := Expand(Event{Name: "ordinary-use", Values: map[string]float64{"start_month": float64(start), "spell_days": days}}, Setting{Home: c})
				require.NoError(t, err, where)
				require.Empty(t, phaseFaults(p), where)
				hours, length, washes, last := 0.0, map[string]float64{}, 0, math.Inf(-1)
				for _, ph := range p {
					assert.Equal(t, ph.Top, ph.Bottom, where)
					if ph.Top.Kind == Water {
						washes++
						assert.InDelta(t, 2.0/60, ph.Hours, 1e-12, where)
						assert.Greater(t, hours-last, 0.4*hoursPerWeek, where)
						last = hours
					}
					middle := math.Mod(hours+ph.Hours/2+float64(start-1)*hoursPerMonth, HoursPerYear) / hoursPerMonth
					if driest != dampest {
						month := map[string]int{"in a dry spell": driest, "in a damp spell": dampest}
						if m, ok := month[ph.Name]; ok {
							assert.Equal(t, m, int(middle), where)
						}
					}
					if ph.Top.Kind != Water {
						length[ph.Name] += ph.Hours
					}
					hours += ph.Hours
				}
				assert.InDelta(t, HoursPerYear, hours, 1e-6, where)
				assert.InDelta(t, 24*days, length["in a dry spell"], 0.2, where)
				assert.InDelta(t, 24*days, length["in a damp spell"], 0.2, where)
				assert.Greater(t, washes, 5, where)
				assert.LessOrEqual(t, washes, 20, where)
			}
		}
	}
}

// A change that the home's air cannot make is refused where it is asked for, and made
// as far as it goes where it is not.
func TestSpellsStayWithinWhatAirHolds(t *testing.T) {
	in := setting(t, "continental-heated-dry")
	_, err := Expand(Event{Name: "ordinary-use", Values: map[string]float64{"spell_change": 40}}, in)
	var l fault.List
	require.ErrorAs(t, err, &l)
	require.Len(t, l, 1)
	assert.Equal(t, "/spell_change", l[0].Pointer)
}

// The first heating season begins in the air the wood was glued in, where nothing
// else is said: an exposure is what its name says.
func TestTheShopIsTheGlueUps(t *testing.T) {
	in := setting(t, "continental-heated")
	p, err := Expand(Event{Name: "first-heating-season"}, in)
	require.NoError(t, err)
	assert.Equal(t, in.Shop, p[0].Top.Room)
	p, err = Expand(Event{Name: "first-heating-season", Values: map[string]float64{"shop_humidity": 65}}, in)
	require.NoError(t, err)
	assert.Equal(t, Room{Humidity: 65, Temperature: in.Shop.Temperature}, p[0].Top.Room)
	p, err = Expand(Event{Name: "damp-shop"}, in)
	require.NoError(t, err)
	assert.Greater(t, p[0].Top.Room.Humidity, in.Shop.Humidity)
}

// After ten washes one is nearly like another: what twenty do to the mean moisture,
// ten do within a twentieth of the swing of the year.
func TestTenWashesStandForAllOfThem(t *testing.T) {
	in := setting(t, "continental-heated")
	run := func(washes float64, along bool) *History {
		p, err := Expand(Event{Name: "ordinary-use", Values: map[string]float64{"washes": washes}}, in)
		require.NoError(t, err)
		return simulate(t, Column{Species: species(t, "sugar-maple"), Along: along, Thickness: 40, Finish: "mineral-oil", M0: 8}, p, Options{Profiles: true})
	}
	for _, along := range []bool{true, false} {
		ten := run(10, along)
		twenty := run(20, along)
		low, high := span(ten.Mean)
		low2, high2 := span(twenty.Mean)
		t.Logf("along %v: %d steps, %d times; mean %.2f to %.2f %%", along, ten.Steps+ten.Rejected, len(ten.Times), low, high)
		assert.InDelta(t, low2, low, 0.05*(high-low))
		assert.InDelta(t, high2, high, 0.05*(high-low))
	}
}

func span(v []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// BenchmarkOrdinaryUse is a year of use of one kind of piece.
func BenchmarkOrdinaryUse(b *testing.B) {
	p, err := Expand(Event{Name: "ordinary-use"}, setting(b, "continental-heated"))
	require.NoError(b, err)
	for _, along := range []bool{true, false} {
		b.Run(fmt.Sprintf("along=%v", along), func(b *testing.B) {
			for b.Loop() {
				simulate(b, Column{Species: species(b, "sugar-maple"), Along: along, Thickness: 40, Finish: "mineral-oil", M0: 8}, p, Options{Profiles: true})
			}
		})
	}
}

// A board too heavy to be carried to a sink is wiped where it stands, and drinks nothing.
// One that is told how it is washed is washed so.
func TestAHeavyBoardIsWiped(t *testing.T) {
	of := func(mass float64, ev Event) (wet []Phase, text string) {
		in := setting(t, "continental-heated")
		in.Mass = mass
		ev.Name = "ordinary-use"
		p, err := Expand(ev, in)
		require.NoError(t, err)
		for _, ph := range p {
			if ph.Top.wet() {
				wet = append(wet, ph)
			}
		}
		e, err := FindExposure(ev.Name)
		require.NoError(t, err)
		return wet, e.TextIn(ev, in, p)
	}
	rinsed, text := of(16, Event{})
	require.NotEmpty(t, rinsed)
	assert.Equal(t, Water, rinsed[0].Bottom.Kind)
	assert.NotContains(t, text, "cloth")
	heavy, text := of(30, Event{})
	assert.Empty(t, heavy)
	assert.Contains(t, text, "At 30 kg it is not carried to a sink")
	for name, ev := range map[string]Event{"ends": {Words: map[string]string{"ends": "wet"}}, "water": {Values: map[string]float64{"wash_water": 0.3}}, "carried": {Values: map[string]float64{"carried": 40}}, "minutes": {Values: map[string]float64{"wash_minutes": 2}}} {
		told, _ := of(30, ev)
		assert.Equal(t, rinsed, told, name)
	}
}
