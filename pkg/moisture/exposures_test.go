package moisture

import (
	"math"
	"reflect"
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
				assert.True(t, v.DefaultOf != "" || v.Default >= v.Lo && v.Default <= v.Hi, "%s %s", e.Key, v.Name)
				assert.Less(t, v.Lo, v.Hi, "%s %s", e.Key, v.Name)
				switch ev.Values[v.Name] = v.Hi; v.Name {
				case "month":
					ev.Values[v.Name] = 8
				case changeOfAir, changeOfSpell:
					ev.Values[v.Name] = 20
				}
			}
			in, plain := in, plain
			if v.Name == "carried" { // of a board too heavy for a sink
				in.Mass = 30
				plain, err = Expand(Event{Name: e.Key}, in)
				require.NoError(t, err)
			}
			other, err := Expand(ev, in)
			require.NoError(t, err, "%s %s", e.Key, v.Name)
			assert.False(t, reflect.DeepEqual(plain, other), "%s: %s changes nothing", e.Key, v.Name)
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

// The sets are names that a board file and the command line both take: ordinary use
// decides, mishaps stand beside it unless they are asked for by their own name.
func TestSetsStandForTheirExposures(t *testing.T) {
	ordinary, l := Event{Name: OrdinarySet}.Several()
	require.Empty(t, l)
	assert.Equal(t, Ordinary.Of(), ordinary)
	mishaps, l := Event{Name: MishapSet}.Several()
	require.Empty(t, l)
	both, l := Event{Name: StandardSet}.Several()
	require.Empty(t, l)
	assert.Equal(t, append(ordinary, mishaps...), both)
	require.NotEmpty(t, ordinary)
	assert.GreaterOrEqual(t, len(mishaps), 7)
	for _, ev := range both {
		assert.Empty(t, ev.Check())
		e, err := FindExposure(ev.Name)
		require.NoError(t, err)
		assert.Equal(t, e.Use == Mishap, ev.Aside())
	}
	for _, e := range Exposures() {
		assert.Contains(t, []Use{Ordinary, Mishap, Asked}, e.Use, e.Key)
	}
	own, l := Event{Name: "sink-soak"}.Several()
	assert.Empty(t, l)
	assert.Equal(t, []Event{{Name: "sink-soak"}}, own)
	assert.False(t, own[0].Aside())
	_, l = Event{Name: StandardSet, Values: map[string]float64{"days": 3}}.Several()
	require.Len(t, l, 1)
	assert.Equal(t, "/days", l[0].Pointer)
	_, l = Event{Name: "standrad"}.Several()
	require.Len(t, l, 1)
	assert.Equal(t, "/name", l[0].Pointer)
	assert.Contains(t, l[0].Nearest, StandardSet)
	assert.Contains(t, l[0].Allowed, MishapSet)
}

// A change of humidity is made as asked for or refused with what the air allows,
// not cut in silence: no change is no change in the dampest and the driest home.
func TestChangesOfHumidityAreNotCut(t *testing.T) {
	for _, h := range []float64{0, 2, 50, 98} {
		var months [12]Room
		for i := range months {
			months[i] = Room{Humidity: h, Temperature: 20}
		}
		home, err := FromMonths(months[:], "")
		require.NoError(t, err)
		in := Setting{Home: home}
		for _, change := range []float64{0, -30, -50, -80, 40, 80} {
			p, err := Expand(Event{Name: "flat-on-dry-counter", Values: map[string]float64{"humidity_change": change}}, in)
			if h+change < 0 || h+change > MaxHumidity {
				var l fault.List
				require.ErrorAs(t, err, &l, "%g%+g", h, change)
				assert.Equal(t, "/humidity_change", l[0].Pointer)
				continue
			}
			require.NoError(t, err)
			assert.Equal(t, h+change, p[0].Top.Room.Humidity)
		}
		_, err = Expand(Event{Name: "flat-on-dry-counter"}, in)
		assert.NoError(t, err, "the default goes as far as it can")
	}
}

// Whatever an event may be given, its phases are such as the simulation takes: no
// fault about a place that is not in the user's file.
func TestEventsMakePhasesThatRun(t *testing.T) {
	for _, e := range Exposures() {
		for _, c := range Climates() {
			in := Setting{Home: c, Shop: Room{Humidity: 98, Temperature: 40}}
			for _, end := range []func(ExposureValue) float64{func(v ExposureValue) float64 { return v.Lo }, func(v ExposureValue) float64 { return v.Hi }} {
				for _, one := range append([]ExposureValue{{}}, e.Values...) {
					ev := Event{Name: e.Key, Values: map[string]float64{}}
					for _, v := range e.Values {
						if !v.Word && v.Name != changeOfAir && v.Name != changeOfSpell && (one.Name == "" || one.Name == v.Name) {
							ev.Values[v.Name] = end(v)
						}
					}
					p, err := Expand(ev, in)
					require.NoError(t, err, e.Key)
					assert.Empty(t, phaseFaults(p), "%s in %s %v", e.Key, c.Key, ev.Values)
				}
			}
		}
	}
}

// A thick board under a dense finish follows too slowly to wait for: an answer, not
// an error. The bare one of the same thickness has a figure.
func TestWhatTakesDecadesIsAnAnswer(t *testing.T) {
	maple := species(t, "sugar-maple")
	for _, c := range []struct {
		finish     string
		thickness  float64
		along      bool
		half, rest bool // within forty years
	}{{"paraffin-dipped", 150, false, true, false}, {"paraffin-dipped", 500, false, false, false}, {"none", 150, false, true, true}, {"none", 450, false, true, false}} {
		half, ninety, err := ResponseTimes(t.Context(), Column{Species: maple, Along: c.along, Thickness: c.thickness, Finish: c.finish}, 35, 65, 20)
		require.NoError(t, err)
		assert.Equal(t, c.half, !math.IsInf(half, 1), "%+v half %g", c, half)
		assert.Equal(t, c.rest, !math.IsInf(ninety, 1), "%+v ninety %g", c, ninety)
		assert.False(t, math.IsNaN(half+ninety))
	}
}
