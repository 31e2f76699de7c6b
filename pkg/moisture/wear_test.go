package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// What is left of a finish between two coats is the mean of what falls by a fixed share
// a month: integrated here by hand. Renewed at once it is whole, renewed never it is bare
// wood, and less often is never more.
func TestAFinishWears(t *testing.T) {
	f, err := FindFinish("mineral-oil")
	require.NoError(t, err)
	require.Positive(t, f.Life())
	for _, n := range []float64{1, 3, 24} {
		sum, steps := 0.0, 1000.0
		for i := 0.5; i < steps; i++ {
			sum += math.Exp(-i / steps * n / f.Life())
		}
		assert.InDelta(t, sum/steps, f.Left(Renewal{Months: n}), 1e-5, "the error of the sum")
	}
	assert.InDelta(t, 1, f.Left(Renewal{Months: 1e-6}), 1e-6)
	assert.Equal(t, []float64{1, 0}, []float64{f.Left(Renewal{}), f.Left(Renewal{Never: true})})
	s, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	of := func(finish string, r Renewal) material {
		m, l := Column{Species: s, Along: true, Thickness: 40, Finish: finish, Renewed: r}.material()
		require.Empty(t, l)
		return m
	}
	assert.Equal(t, of("none", Renewal{}), of("mineral-oil", Renewal{Never: true}))
	last := of("mineral-oil", Renewal{})
	for _, n := range []float64{LeastRenewal, 1, 6, MostRenewal} {
		now := of("mineral-oil", Renewal{Months: n})
		assert.Less(t, now.film[0], last.film[0])
		assert.Greater(t, now.uptake[0], last.uptake[0])
		last = now
	}
}

// Every class of finish that is no bare wood has a life, with the range it was judged in.
func TestEveryFinishHasALife(t *testing.T) {
	for _, f := range Finishes() {
		assert.Equal(t, f.Liquid != "none", f.Life() > 0, f.Key)
	}
	for _, r := range data.Table("finish_wear.csv") {
		assert.Less(t, r.Number("lo"), r.Number("months"))
		assert.Greater(t, r.Number("hi"), r.Number("months"))
	}
}

// The ends are wet where the event says so, from water of their own, and dry where it
// says so; a washing wets them unless it is told otherwise, a wet face does not.
func TestEndsWetOrDry(t *testing.T) {
	home, err := FindClimate("continental-heated")
	require.NoError(t, err)
	wets := func(name, ends string, values map[string]float64) []FaceKind {
		ev := Event{Name: name, Values: values}
		if ends != "" {
			ev.Words = map[string]string{"ends": ends}
		}
		phases, err := Expand(ev, Setting{Home: home, Shop: Room{Humidity: 45, Temperature: 20}})
		require.NoError(t, err)
		var out []FaceKind
		for _, p := range phases {
			if p.Top.wet() || p.Bottom.wet() {
				out = append(out, p.atEnds().Top.Kind)
			}
		}
		return out
	}
	for _, name := range []string{"wash-one-face", "wet-cloth", "flat-on-wet-counter"} {
		assert.Equal(t, []FaceKind{Air}, wets(name, "", nil), name)
		assert.Equal(t, []FaceKind{Water}, wets(name, "wet", nil), name)
	}
	once := map[string]float64{"washes": 1}
	assert.Contains(t, wets("ordinary-use", "", once), Water)
	assert.NotContains(t, wets("ordinary-use", "dry", once), Water)
	_, err = Expand(Event{Name: "ordinary-use", Values: map[string]float64{"wash_minutes": 0}, Words: map[string]string{"ends": "wet"}}, Setting{Home: home})
	assert.ErrorContains(t, err, "nothing is washed")
}
