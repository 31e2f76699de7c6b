package answer

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
)

func TestParseAir(t *testing.T) {
	for text, want := range map[string]struct {
		name                  string
		humidity, temperature float64
	}{
		"45@21":           {"air-45-21", 45, 21},
		" 45.5 @ 21 ":     {"air-45.5-21", 45.5, 21},
		"cellar=75@14":    {"cellar", 75, 14},
		"my shop = 60@18": {"my shop", 60, 18},
		"0@-1":            {"air-0--1", 0, -1},
	} {
		r, err := ParseAir(text)
		require.NoError(t, err, text)
		assert.Equal(t, want.name, r.Name)
		assert.Equal(t, want.humidity, r.Humidity)
		assert.Equal(t, want.temperature, r.Temperature)
	}
	for _, text := range []string{"", "45", "@", "45@", "@21", "=45@21", "45@21@3", "NaN@20", "45@Inf", "99@20", "-1@20", "45@99", "45@-20",
		"x=y=45@21", strings.Repeat("n", 61) + "=45@21"} {
		_, err := ParseAir(text)
		var f fault.Fault
		require.ErrorAs(t, err, &f, text)
		assert.NotEmpty(t, f.Allowed, text)
	}
}

func FuzzParseAir(f *testing.F) {
	for _, seed := range []string{"45@21", "cellar=75@14", "=@", "NaN@Inf", "1e400@3"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseAir(text)
		if err == nil && (math.IsNaN(r.Humidity+r.Temperature) || r.Humidity < 0 || r.Humidity > moisture.MaxHumidity || r.Name == "") {
			t.Errorf("%q gave %+v", text, r)
		}
	})
}

// TestQueryTellsEveryFault: all at once, each at its own name.
func TestQueryTellsEveryFault(t *testing.T) {
	q := BoardQuery{Home: "mars", Air: []string{"wet", "150@20"}, Moistures: []float64{31, math.NaN()}, Shifts: make([]float64, 13),
		Exposures: []string{"standard", "wash-one-fase"}, Refine: 3}
	_, _, err := Board(context.Background(), nil, q, nil)
	var params Parameters
	require.True(t, errors.As(err, &params))
	var list fault.List
	require.True(t, errors.As(err, &list))
	count := map[string]int{}
	for _, f := range list {
		count[f.Pointer]++
		assert.NotEmpty(t, f.Detail)
	}
	assert.Equal(t, map[string]int{"/home": 1, "/air": 2, "/mc": 2, "/shift": 1, "/exposures": 1, "/refine": 1}, count)
}

// TestLongestExposureTellsTheResponses: once, where slow pieces show.
func TestLongestExposureTellsTheResponses(t *testing.T) {
	const board = `{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":0}},"field":{"grid":{"block":[40,40],"rows":["MM"]}}}`
	_, r, err := Board(context.Background(), []byte(board), BoardQuery{Exposures: []string{"wash-one-face", "damp-spell"}, NoCracks: true}, nil)
	require.NoError(t, err)
	require.Len(t, r.Exposures, 2)
	assert.Empty(t, r.Exposures[0].Responses)
	require.Len(t, r.Exposures[1].Responses, 1)
	assert.Equal(t, "Sugar maple, end grain", r.Exposures[1].Responses[0].Kind)
}
