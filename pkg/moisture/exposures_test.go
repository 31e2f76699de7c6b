package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

func setting(t testing.TB, home string) Setting {
	t.Helper()
	c, err := FindClimate(home)
	require.NoError(t, err)
	return Setting{Home: c, Shop: Room{Humidity: 45, Temperature: 20}}
}

// One battery for every kind of event: it has a course, every climate takes it,
// its phases simulate, and each of its values changes the course.
func TestEveryExposure(t *testing.T) {
	list := Exposures()
	assert.Len(t, expanders, len(list))
	for _, e := range list {
		require.Contains(t, expanders, e.Key)
		assert.NotEmpty(t, e.Text, e.Key)
		assert.NotEmpty(t, e.Values, e.Key)
		for _, c := range Climates() {
			in := Setting{Home: c, Shop: Room{Humidity: 45, Temperature: 20}}
			p, err := Expand(Event{Name: e.Key}, in)
			require.NoError(t, err, e.Key)
			m0, err := StartMoisture(Event{Name: e.Key}, in, 7.5)
			require.NoError(t, err)
			h := simulate(t, Column{Species: species(t, "black-cherry"), Along: true, Thickness: 38, Finish: "mineral-oil", M0: m0}, p, Options{})
			assert.Less(t, h.MassBalance, 1e-9, "%s in %s", e.Key, c.Key)
			for i := range h.Mean {
				require.True(t, h.Mean[i] > 0 && h.Mean[i] < 30, "%s in %s", e.Key, c.Key)
			}
		}
		in := setting(t, "continental-heated")
		plain, err := Expand(Event{Name: e.Key}, in)
		require.NoError(t, err)
		for _, v := range e.Values {
			ev := Event{Name: e.Key, Values: map[string]float64{}, Words: map[string]string{}}
			if v.Word {
				assert.Contains(t, v.Allowed, v.DefaultWord, "%s %s", e.Key, v.Name)
				for _, w := range v.Allowed {
					if w != v.DefaultWord {
						ev.Words[v.Name] = w
						break
					}
				}
			} else {
				assert.True(t, v.Default >= v.Lo && v.Default <= v.Hi && v.Lo < v.Hi, "%s %s", e.Key, v.Name)
				if ev.Values[v.Name] = v.Hi; v.Name == "month" {
					ev.Values[v.Name] = 8
				}
			}
			other, err := Expand(ev, in)
			require.NoError(t, err, "%s %s", e.Key, v.Name)
			assert.NotEqual(t, plain, other, "%s: %s changes nothing", e.Key, v.Name)
		}
	}
}

func TestEventFaults(t *testing.T) {
	for _, c := range []struct {
		ev   Event
		rule fault.Rule
		at   string
	}{
		{Event{Name: "wash-one-fase"}, fault.UnknownName, "/name"},
		{Event{Name: "wash-one-face", Values: map[string]float64{"minuts": 3}}, fault.UnknownKey, "/minuts"},
		{Event{Name: "wash-one-face", Values: map[string]float64{"minutes": 1e6}}, fault.OutOfRange, "/minutes"},
		{Event{Name: "wash-one-face", Values: map[string]float64{"minutes": math.NaN()}}, fault.OutOfRange, "/minutes"},
		{Event{Name: "wash-one-face", Values: map[string]float64{"times": 2.5}}, fault.OutOfRange, "/times"},
		{Event{Name: "wash-one-face", Values: map[string]float64{"face": 2}}, fault.WrongType, "/face"},
		{Event{Name: "wash-one-face", Words: map[string]string{"minutes": "few"}}, fault.WrongType, "/minutes"},
		{Event{Name: "wash-one-face", Words: map[string]string{"face": "side"}}, fault.NotOneOf, "/face"},
		{Event{Name: "move-house", Words: map[string]string{"to": "mars"}}, fault.NotOneOf, "/to"},
	} {
		l := c.ev.Check()
		require.Len(t, l, 1, "%+v", c.ev)
		assert.Equal(t, c.rule, l[0].Rule)
		assert.Equal(t, c.at, l[0].Pointer)
		_, err := Expand(c.ev, Setting{})
		assert.Error(t, err)
	}
}

func TestStartMoisture(t *testing.T) {
	in := setting(t, "continental-heated")
	glued, err := StartMoisture(Event{Name: "year-at-home"}, in, 8.25)
	require.NoError(t, err)
	assert.Equal(t, 8.25, glued)
	settled, err := StartMoisture(Event{Name: "wet-cloth", Values: map[string]float64{"month": 7}}, in, 8.25)
	require.NoError(t, err)
	want, err := in.Home.Months[6].EMC()
	require.NoError(t, err)
	assert.InDelta(t, want, settled, 1e-12)
}

// The standard set is a name that a board file and the command line both take.
func TestStandardSetStandsForItsExposures(t *testing.T) {
	events, l := Event{Name: StandardSet}.Several()
	require.Empty(t, l)
	require.Len(t, events, len(standardSet))
	for _, ev := range events {
		assert.Empty(t, ev.Check())
	}
	own, l := Event{Name: "sink-soak"}.Several()
	assert.Empty(t, l)
	assert.Equal(t, []Event{{Name: "sink-soak"}}, own)
	_, l = Event{Name: StandardSet, Values: map[string]float64{"days": 3}}.Several()
	require.Len(t, l, 1)
	assert.Equal(t, "/days", l[0].Pointer)
}
