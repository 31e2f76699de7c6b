package moisture

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// The published test simulated with the stored resistance of every finish: 1-,
// 7- and 14-day effectiveness against FPL-RP-462 and Wood Handbook Table 16-3.
func TestFinishesReproduceThePublishedTest(t *testing.T) {
	sum, n, worst := 0.0, 0, ""
	far := 0.0
	for _, f := range Finishes() {
		sim := SimulatedEffectiveness(f.Resistance)
		line := fmt.Sprintf("%-26s %9.0f s/m  published %v  simulated %.1f", f.Key, f.Resistance, f.Effectiveness, sim)
		t.Log(line)
		for i, e := range sim {
			d := e - f.Effectiveness[i]
			// per cent points: one resistance for three readings, which were printed
			// to whole per cents; the largest miss is 6.1 (water repellent, three coats, first day)
			assert.LessOrEqual(t, math.Abs(d), 6.5, "%s after %g days", f.Key, testDays[i])
			sum, n = sum+d*d, n+1
			if math.Abs(d) > far {
				far, worst = math.Abs(d), line
			}
		}
	}
	rms := math.Sqrt(sum / float64(n))
	t.Logf("readings %d, root mean square %.2f, worst %.1f: %s", n, rms, far, worst)
	assert.Less(t, rms, 1.7) // per cent points
}

// The stored resistances are the fitted ones, to the three figures kept.
func TestStoredResistancesAreFitted(t *testing.T) {
	for _, f := range Finishes() {
		if f.Key == "none" {
			assert.Zero(t, f.Resistance)
			continue
		}
		fit, _ := FitResistance(f.Effectiveness)
		assert.InEpsilon(t, fit, f.Resistance, 0.006, f.Key) // three figures kept
	}
}

// More coats hold back more, as the tables say.
func TestCoatsAddUp(t *testing.T) {
	all := Finishes()
	for i, f := range all[1:] {
		if last := all[i]; f.Name == last.Name && f.Coats > last.Coats {
			assert.Greater(t, f.Resistance, last.Resistance, f.Key)
		}
	}
}

func TestFindFinish(t *testing.T) {
	f, err := FindFinish("")
	require.NoError(t, err)
	assert.Equal(t, "none", f.Key)
	f, err = FindFinish("tung-oil")
	require.NoError(t, err)
	assert.Equal(t, "tung-oil-2", f.Key)
	_, err = FindFinish("tung-oli")
	var one fault.Fault
	require.ErrorAs(t, err, &one)
	assert.Equal(t, fault.UnknownName, one.Rule)
	assert.Contains(t, one.Nearest, "tung-oil-1")
}

// Typical vapour resistances of films, of another origin (SBI-anvisning 178:
// alkyd oil paint 15e9, polyurethane lacquer 50e9 m² s Pa/kg), against the
// resistances fitted to the uptake test. The test runs at 90 % humidity, where
// films let more through; a factor of five is the order of magnitude asked.
func TestResistancesAgainstTypicalFilms(t *testing.T) {
	for key, typical := range map[string]float64{"spar-varnish-3": 15e9, "polyurethane-two-part-3": 50e9} {
		f, err := FindFinish(key)
		require.NoError(t, err)
		r := f.Resistance * 461.5 * (testAir + zeroCelsius) // from vapour density to vapour pressure
		t.Logf("%s %.2g m² s Pa/kg, typical %.2g", key, r, typical)
		assert.True(t, r > typical/5 && r < typical*5, key)
	}
}
