package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// What a practitioner knows and must come out. All of it is common practice,
// no source.

func exposureOf(t *testing.T, b *layout.Board, name string) Exposure {
	t.Helper()
	r := reportOf(t, b, Conditions{Events: []moisture.Event{{Name: name}}, NoCracks: true, Series: 200})
	require.Len(t, r.Exposures, 1)
	return r.Exposures[0]
}

// An end-grain board left flat on a wet counter cups away from it: the wet
// underside grows, so the edges rise. Within hours to a day it is at its worst,
// and every joint stands worse than in the dry air it came from.
func TestFlatOnAWetCounterTheEdgesRise(t *testing.T) {
	b := boardtest.Named(t, "checker-random")
	e := exposureOf(t, b, "flat-on-wet-counter")
	assert.Greater(t, e.Cup+e.Bow, 0.0)
	assert.GreaterOrEqual(t, math.Min(e.Cup, e.Bow), 0.0, "mm: no way round falls")
	assert.Greater(t, e.Cup, 0.3, "mm: to be seen against a straight edge")
	assert.LessOrEqual(t, e.CupHour, 26.0, "h")
	assert.Greater(t, e.Utilisation, e.Series.Utilisation[0], "worse than in the air it came from")
}

// Standing on feet or on edge both faces see the same air: no cup.
func TestStandingFreeABoardStaysFlat(t *testing.T) {
	e := exposureOf(t, boardtest.Named(t, "checker-alike"), "year-at-home")
	assert.Less(t, math.Abs(e.Cup), 1e-3, "mm")
	assert.Less(t, math.Abs(e.Twist), 1e-3, "mm")
}

// Oil slows a wet face down but does not stop it.
func TestOilSlowsButDoesNotStop(t *testing.T) {
	src := func(finish string) *layout.Board {
		b, err := layout.Read([]byte(`{"tanrad":1,"name":"oil","units":"mm","thickness":40,
			"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":7},"W":{"species":"black-walnut","ring_angle":70,"moisture":7}},
			"field":{"grid":{"block":[40,40],"rows":["MWMW","WMWM","MWMW"]}},"glue":"pva-crosslinking","finish":"` + finish + `"}`))
		require.NoError(t, err)
		return b
	}
	bare, oiled := exposureOf(t, src("none"), "wet-cloth"), exposureOf(t, src("mineral-oil-wax"), "wet-cloth")
	assert.Less(t, bare.Cup, 0.0, "mm: the wet top grows and the edges sink")
	assert.Less(t, math.Abs(oiled.Cup), math.Abs(bare.Cup))
	assert.Greater(t, math.Abs(oiled.Cup), 0.1*math.Abs(bare.Cup))
}

// A heated winter after weeks in a damp shop asks more of a long-grain frame than one
// after a shop as dry as the glue-up: the frame has crept while the field was swollen.
func TestTheFirstHeatedWinterIsWorseAfterADampShop(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.Named(t, "checker-long-border")
	winter, damp := exposureOf(t, b, "first-heating-season"), exposureOf(t, b, "damp-shop")
	assert.Greater(t, damp.Utilisation, 1.1*winter.Utilisation)
	assert.Equal(t, Fails, damp.Verdict)
}

// Mishaps of the standard set stand beside the verdict: what they do to a board is
// told with its word, and changes neither the word nor the size of the recess. One
// that is asked for by its own name counts.
func TestMishapsStandBesideTheVerdict(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.Named(t, "checker-random")
	with := func(names ...string) *Report {
		c := Conditions{NoCracks: true, NoChance: true}
		for _, n := range names {
			c.Events = append(c.Events, moisture.Event{Name: n})
		}
		return reportOf(t, b, c)
	}
	ordinary, standard := with("ordinary"), with("standard")
	assert.Equal(t, ordinary.Utilisation, standard.Utilisation)
	assert.Equal(t, ordinary.Headline, standard.Headline)
	assert.Equal(t, ordinary.Size, standard.Size)
	checked, _ := ordinary.Checked()
	same, _ := standard.Checked()
	assert.Equal(t, checked.Checking, same.Checking)
	worse := 0
	for _, e := range standard.Exposures {
		assert.Equal(t, e.Name != "ordinary-use", e.Mishap, e.Name)
		if e.Mishap && e.Utilisation > standard.Utilisation {
			worse++
			named := with(e.Name)
			assert.False(t, named.Exposures[0].Mishap)
			assert.Equal(t, e.Utilisation, named.Utilisation, e.Name)
		}
	}
	t.Logf("%d of %d mishaps ask more than ordinary use", worse, len(standard.Exposures)-1)
}

// Stress that comes slowly relaxes: the elastic figure stands beside it and is
// larger, and a washing is over before anything relaxes.
func TestSlowLoadsRelaxSuddenOnesDoNot(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.Named(t, "checker-random")
	year := exposureOf(t, b, "year-at-home")
	assert.Less(t, year.Utilisation, 0.8*year.Elastic)
	assert.Greater(t, year.Utilisation, 0.2*year.Elastic)
	wash := exposureOf(t, b, "wash-one-face")
	assert.LessOrEqual(t, wash.Utilisation, wash.Elastic)
}

// A field that swells inside a glued long-grain frame presses on the frame
// before it shears it off; a board of one construction presses on nothing much.
func TestASwellingFieldPressesOnItsFrame(t *testing.T) {
	press := func(name string) float64 {
		r := reportOf(t, boardtest.Named(t, name), Conditions{Shifts: []float64{3}, NoHistories: true, NoCracks: true, NoChance: true})
		if r.Crushing == nil {
			return 0
		}
		assert.Equal(t, VerdictOf(r.Crushing.Utilisation), r.Crushing.Verdict)
		return r.Crushing.Utilisation
	}
	assert.Greater(t, press("checker-long-border"), 2*press("checker-alike"))
}
