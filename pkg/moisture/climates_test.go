package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

func TestClimatesAreComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range Climates() {
		assert.False(t, seen[c.Key], c.Key)
		seen[c.Key] = true
		assert.NotEmpty(t, c.Name)
		assert.NotEmpty(t, c.Text)
		assert.Contains(t, []wood.Status{wood.Seen, wood.Derived, wood.Memory, wood.Estimated}, c.Status)
		for i, r := range c.Months {
			_, err := r.EMC() // every month is one the formula takes
			assert.NoError(t, err, "%s month %d", c.Key, i+1)
		}
		driest, dampest, low, high := c.Extremes()
		t.Logf("%-24s driest month %2d %4.1f %% MC (%2.0f %% RH), dampest %2d %4.1f %% MC (%2.0f %% RH)", c.Key,
			driest+1, low, c.Months[driest].Humidity, dampest+1, high, c.Months[dampest].Humidity)
	}
	for _, key := range []string{"continental-heated", "none"} {
		assert.True(t, seen[key], key)
	}
	places := map[string]int{}
	for _, r := range data.Table("climates_outdoor.csv") {
		places[r.Get("place")]++
	}
	for p, n := range places {
		assert.Equal(t, 12, n, p)
	}
}

// Canadian houses in winter: 25 to 30 % on average (Kent, Handegord & Robson
// 1966). The moisture surplus of the heated continental house is set by it, so for that
// house in winter this is no check but the definition of a choice; the yearly means below are
// not fitted.
func TestHeatedHouseInWinter(t *testing.T) {
	c, err := FindClimate("continental-heated")
	require.NoError(t, err)
	mean := (c.Months[11].Humidity + c.Months[0].Humidity + c.Months[1].Humidity) / 3
	assert.True(t, mean > 25 && mean < 30, "%.1f %%", mean)
	// Wood Handbook Fig. 13-1: most of the USA averages 8 % indoors, the dry Southwest 6 %, the damp South 11 %
	for key, want := range map[string]float64{"continental-heated": 8, "eastern-seaboard": 8, "arid-cooled": 6, "humid-subtropical-cooled": 11} {
		c, err := FindClimate(key)
		require.NoError(t, err)
		sum := 0.0
		for _, r := range c.Months {
			sum += equilibrium(r.Temperature, r.Humidity) / 12
		}
		assert.InDelta(t, want, sum, 1.6, key) // % MC; the map's bands span 6 to 10, 4 to 9 and 8 to 13
	}
}

// With nothing added and nothing held, the house keeps the absolute humidity.
func TestIndoorsKeepsAbsoluteHumidity(t *testing.T) {
	warm := 21.0
	c := Climate{HeatTo: &warm, MaxHumidity: 100}
	out := Room{Humidity: 73, Temperature: -6.3}
	in := c.Indoors(out)
	assert.Equal(t, 21.0, in.Temperature)
	assert.InDelta(t, out.VapourPressure(), in.VapourPressure(), 1e-9)
	c.Surplus = 400
	assert.InDelta(t, out.VapourPressure()+400, c.Indoors(out).VapourPressure(), 1e-9)
	half := Room{Humidity: 60, Temperature: 10}
	assert.InDelta(t, half.VapourPressure()+200, c.Indoors(half).VapourPressure(), 1e-9)
}

// The outdoor balance by month of Wood Handbook Table 13-1 (Simpson 1998)
// against the balance computed from the mean humidity and temperature of the
// same towns. The table averages the balance of the hours, the computation takes
// the balance of the mean, and the years differ: hence 1.5 %.
func TestOutdoorTableFollowsFromClimate(t *testing.T) {
	towns := map[string]string{"minneapolis": "Minneapolis-St Paul", "new-york": "New York", "phoenix": "Phoenix", "denver": "Denver"}
	table := map[string]map[int]float64{}
	for _, r := range data.Table("emc_cities.csv") {
		if table[r.Get("city")] == nil {
			table[r.Get("city")] = map[int]float64{}
		}
		table[r.Get("city")][int(r.Number("month"))] = r.Number("emc_pct")
	}
	for _, r := range data.Table("climates_outdoor.csv") {
		town, ok := towns[r.Get("place")]
		if !ok {
			continue
		}
		m := int(r.Number("month"))
		// below −1.1 °C the formula is not published; the balance hardly changes with temperature there
		got := equilibrium(max(MinTemperature, r.Number("temperature_c")), r.Number("humidity_pct"))
		assert.InDelta(t, table[town][m], got, 1.5, "%s month %d", town, m) // % MC
	}
}

// Simpson 1998 as quoted for Augusta, Georgia, January to May.
func TestAugusta(t *testing.T) {
	var got []float64
	for _, r := range data.Table("emc_cities.csv") {
		if r.Get("city") == "Augusta" && len(got) < 5 {
			got = append(got, r.Number("emc_pct"))
		}
	}
	assert.Equal(t, []float64{13.1, 12.4, 12.4, 12.2, 12.6}, got)
}

func TestFindClimate(t *testing.T) {
	_, err := FindClimate("continental-heatd")
	var f fault.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, fault.UnknownName, f.Rule)
	assert.Equal(t, "continental-heated", f.Nearest[0])
}

func TestFromMonths(t *testing.T) {
	own := make([]Room, 12)
	for i := range own {
		own[i] = Room{Humidity: 30 + 3*float64(i), Temperature: 20}
	}
	c, err := FromMonths(own, "/home/months")
	require.NoError(t, err)
	driest, dampest, _, _ := c.Extremes()
	assert.Equal(t, 0, driest)
	assert.Equal(t, 11, dampest)
	own[3].Humidity, own[7].Temperature = 104, math.NaN()
	_, err = FromMonths(own, "/home/months")
	var l fault.List
	require.ErrorAs(t, err, &l)
	require.Len(t, l, 2)
	assert.Equal(t, "/home/months/3/humidity", l[0].Pointer)
	assert.Equal(t, "/home/months/7/temperature", l[1].Pointer)
	_, err = FromMonths(own[:11], "/home/months")
	assert.Error(t, err)
}

func TestYearGoesRound(t *testing.T) {
	var y Year
	for i := range y {
		y[i] = Room{Humidity: float64(i), Temperature: 10 * float64(i)}
	}
	assert.Equal(t, Room{3, 30}, y.At(3.5*hoursPerMonth)) // middle of April
	assert.InDelta(t, 3.5, y.At(4*hoursPerMonth).Humidity, 1e-12)
	assert.InDelta(t, 5.5, y.At(0).Humidity, 1e-12) // new year: between December and January
	assert.InDelta(t, y.At(1000).Humidity, y.At(1000+HoursPerYear).Humidity, 1e-9)
	assert.InDelta(t, y.At(-700).Humidity, y.At(HoursPerYear-700).Humidity, 1e-9)
}
