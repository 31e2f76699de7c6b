package moisture

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a practitioner knows must come out. Common practice, no printed source,
// unless one is named.

func response(t testing.TB, c Column, from, to float64) (half, ninety float64) {
	t.Helper()
	half, ninety, err := ResponseTimes(context.Background(), c, from, to, 20)
	require.NoError(t, err)
	return half, ninety
}

// A 38 mm slab of specific gravity 0.6 at about 10 % MC: t½ = 0.0492 L²/D is 1.6
// days for end grain with D 5e-10 m²/s and about 21 days for flat grain (Crank;
// Skaar's ratio). Surface resistance and the wood's own density move it: white
// ash has just this gravity, and the others stay within a factor of 1.8.
func TestHalfTimesOfASlab(t *testing.T) {
	for _, name := range []string{"black-walnut", "black-cherry", "white-ash", "sugar-maple"} {
		end, _ := response(t, Column{Species: species(t, name), Along: true, Thickness: 38}, 50, 60)
		flat, _ := response(t, Column{Species: species(t, name), Thickness: 38}, 50, 60)
		t.Logf("%-13s end grain %.1f d, flat grain %.0f d", name, end/24, flat/24)
		assert.True(t, end/24 > 1.6/1.8 && end/24 < 1.6*1.8, name) // days
		assert.True(t, flat/24 > 21/1.8 && flat/24 < 21*1.8, name) // days
	}
}

// Half-time goes with the square of the thickness when the wood is the brake,
// and with the thickness when the film is.
func TestResponseScales(t *testing.T) {
	s := species(t, "american-beech")
	a, _ := response(t, Column{Species: s, Thickness: 20}, 50, 55)
	b, _ := response(t, Column{Species: s, Thickness: 40}, 50, 55)
	assert.InEpsilon(t, 4, b/a, 0.08)
	a, _ = response(t, Column{Species: s, Along: true, Thickness: 20, Finish: "epoxy-3"}, 50, 55)
	b, _ = response(t, Column{Species: s, Along: true, Thickness: 40, Finish: "epoxy-3"}, 50, 55)
	assert.InEpsilon(t, 2, b/a, 0.03)
	// closed form for a film: mean approaches exponentially, 90 % takes ln 10 / ln 2 half-times
	half, ninety := response(t, Column{Species: s, Along: true, Thickness: 20, Finish: "paraffin-dipped"}, 50, 50.5)
	assert.InEpsilon(t, math.Log(10)/math.Log(2), ninety/half, 0.01)
}

// A 40 mm end-grain board follows a season nearly fully; a 40 mm long-grain
// piece lags by weeks and swings less.
func TestSeason(t *testing.T) {
	in := setting(t, "continental-heated")
	years := func(along bool) (swing, lag float64) {
		// the second year: the start is forgotten
		p, err := Expand(Event{Name: "year-at-home", Values: map[string]float64{"years": 3, "start_month": 1}}, in)
		require.NoError(t, err)
		h := simulate(t, Column{Species: species(t, "sugar-maple"), Along: along, Thickness: 40, M0: 8}, p, Options{})
		lo, hi, at := math.Inf(1), math.Inf(-1), 0.0
		for i, m := range h.Mean {
			if h.Times[i] < 2*HoursPerYear {
				continue
			}
			lo = min(lo, m)
			if m > hi {
				hi, at = m, h.Times[i]-2*HoursPerYear
			}
		}
		air, top := 0.0, math.Inf(-1)
		for hour := 0.0; hour < HoursPerYear; hour += 24 {
			r := in.Home.Months.At(hour)
			if m := equilibrium(r.Temperature, r.Humidity); m > top {
				air, top = hour, m
			}
		}
		_, _, low, high := in.Home.Extremes()
		return (hi - lo) / (high - low), (at - air) / 24
	}
	swing, lag := years(true)
	t.Logf("end grain: %.0f %% of the season's swing, %.0f days behind", 100*swing, lag)
	assert.Greater(t, swing, 0.9)
	assert.Less(t, math.Abs(lag), 21.0) // days, sampled weekly
	swing, lag = years(false)
	t.Logf("long grain: %.0f %% of the season's swing, %.0f days behind", 100*swing, lag)
	assert.Less(t, swing, 0.9)
	assert.Greater(t, lag, 42.0) // days
}

// Oil slows but does not stop; epoxy nearly stops for days.
func TestFinishesSlowAndDoNotStop(t *testing.T) {
	c := Column{Species: species(t, "sugar-maple"), Along: true, Thickness: 40}
	var last float64
	for _, f := range []string{"none", "mineral-oil", "tung-oil-3", "urethane-varnish-3", "epoxy-3"} {
		c.Finish = f
		half, ninety := response(t, c, 35, 65)
		t.Logf("%-20s half %5.1f d, ninety %6.1f d", f, half/24, ninety/24)
		assert.Greater(t, half, last, f)
		last = half
	}
	c.Finish = "none"
	bare, _ := response(t, c, 35, 65)
	c.Finish = "mineral-oil"
	oil, _ := response(t, c, 35, 65)
	assert.Less(t, oil/bare, 1.5) // a matter of hours: not stopped
}

// An end-grain board left flat on a wet counter is damp below within hours and
// dry above; standing in air it stays even.
func TestFlatOnAWetCounter(t *testing.T) {
	in := setting(t, "continental-heated")
	p, err := Expand(Event{Name: "flat-on-wet-counter", Values: map[string]float64{"hours": 24}}, in)
	require.NoError(t, err)
	m0, err := StartMoisture(Event{Name: "flat-on-wet-counter"}, in, 0)
	require.NoError(t, err)
	worst := func(along bool, finish string, hours float64) (slope, gain float64) {
		h := simulate(t, Column{Species: species(t, "sugar-maple"), Along: along, Thickness: 40, Finish: finish, M0: m0}, p, Options{})
		for i, s := range h.Slope {
			if h.Times[i] <= hours {
				slope, gain = min(slope, s), h.Mean[i]-m0
			}
		}
		return slope * 40, gain
	}
	bare, _ := worst(true, "none", 24)
	early, _ := worst(true, "none", 4)
	oiled, _ := worst(true, "mineral-oil-wax", 24)
	flat, _ := worst(false, "none", 24)
	_, gainEnd := worst(true, "none", 1)
	_, gainFlat := worst(false, "none", 1)
	t.Logf("difference of the faces by the straight part, top less bottom: end grain %.1f (4 h %.1f), oiled %.1f, flat grain %.1f; gain in an hour %.1f and %.1f %% MC", bare, early, oiled, flat, gainEnd, gainFlat)
	assert.Less(t, early, -3.0) // % MC: already after hours, damp below
	assert.Less(t, bare, -9.0)
	assert.Less(t, oiled, -4.0) // oil does not stop it
	assert.Greater(t, oiled, bare)
	assert.Greater(t, flat, bare)
	assert.Less(t, gainFlat, 0.6*gainEnd) // the capillaries of the end grain drink first
	// standing on feet or on edge in air however damp, both faces move together
	spell, err := Expand(Event{Name: "damp-spell"}, in)
	require.NoError(t, err)
	h := simulate(t, Column{Species: species(t, "sugar-maple"), Along: true, Thickness: 40, M0: m0}, spell, Options{})
	for i, s := range h.Slope {
		assert.InDelta(t, 0, s*40, 1e-9, "%g h", h.Times[i])
	}
}

// The first heated winter after gluing in a damp shop takes a long-grain frame
// down by several per cent, and the end grain further and sooner.
func TestFirstHeatingSeason(t *testing.T) {
	in := setting(t, "continental-heated")
	p, err := Expand(Event{Name: "first-heating-season"}, in)
	require.NoError(t, err)
	m0, err := EMC(20, 65)
	require.NoError(t, err)
	drop := func(along bool) float64 {
		h := simulate(t, Column{Species: species(t, "black-walnut"), Along: along, Thickness: 25, M0: m0}, p, Options{})
		low := math.Inf(1)
		for _, m := range h.Mean {
			low = min(low, m)
		}
		return m0 - low
	}
	assert.Greater(t, drop(false), 4.0) // % MC
	assert.Greater(t, drop(true), drop(false))
}
