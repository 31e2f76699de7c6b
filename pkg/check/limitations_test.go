package check

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/internal/sensitivity"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

func effectOf(h Limitations, what string) (Input, bool) {
	for _, e := range h.Estimated {
		if strings.HasPrefix(e.What, what) {
			return e, true
		}
	}
	return Input{}, false
}

func TestLimitationsHoldTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, name := range []string{"checker-random", "border-mitre", "pith-in-strip", "own-months", "long-grain-planks"} {
		b := boardtest.Named(t, name)
		r := reportOf(t, b, Conditions{NoCracks: true, NoHistories: len(b.Pieces) > 20 && !boardtest.Long()})
		h := r.Limitations
		require.NotEmpty(t, h.Estimated, name)
		assert.LessOrEqual(t, h.Low, r.Utilisation, name)
		assert.GreaterOrEqual(t, h.High, r.Utilisation, name)
		last := math.Inf(1)
		for _, e := range h.Estimated {
			assert.GreaterOrEqual(t, last, e.Effect, "%s: most influential first", name)
			assert.GreaterOrEqual(t, e.Effect, sensitivity.LeastEffect)
			assert.True(t, sensitivity.Weak(wood.Status(e.Status)) || strings.Contains(e.What, "published sources differ"), "%s: %s is %s", name, e.What, e.Status)
			_, known := source.Of(e.Source)
			assert.True(t, known, "%s: %s has source %q", name, e.What, e.Source)
			last = e.Effect
		}
		assert.Contains(t, h.Assumptions, scatterTaken(risk.Parts(risk.Known(b.Known()))))
		assert.Equal(t, notModelled, h.NotModelled)
	}
}

// In a state that comes with the seasons every stress is proportional to what
// relaxation leaves, so its effect is the spread of the factor over the typical one.
func TestEffectOfRelaxation(t *testing.T) {
	r := reportOf(t, boardtest.Named(t, "checker-random"), Conditions{NoHistories: true, NoCracks: true})
	e, ok := effectOf(r.Limitations, "how far stress relaxes")
	require.True(t, ok)
	change := 0.0
	for _, s := range r.States {
		if s.Name == r.Worst.State {
			change = math.Abs(s.Moisture["M11"] - 8)
		}
	}
	left := func(v relax.Variant) float64 { return relax.Seasonal(change, v) }
	assert.InDelta(t, (left(relax.High)-left(relax.Low))/2/left(relax.Typical), e.Effect, 1e-9)
	// A sudden state has no time to relax.
	r = reportOf(t, boardtest.Named(t, "checker-random"), Conditions{Shifts: []float64{5}, NoHistories: true, NoCracks: true})
	require.Equal(t, "shift-+5", r.Worst.State)
	_, ok = effectOf(r.Limitations, "how far stress relaxes")
	assert.False(t, ok)
	_, ok = effectOf(r.Limitations, "climate")
	assert.False(t, ok, "a shift from the gluing moisture has no climate in it")
}

func TestLimitationsOfABoardWithoutStress(t *testing.T) {
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0}},"field":{"grid":{"block":[30,30],"rows":["AA"]}}}`
	b := boardtest.Text(t, src)
	r := reportOf(t, b, Conditions{NoHistories: true})
	assert.Empty(t, r.Limitations.Estimated)
	assert.NotNil(t, r.Limitations.Estimated, "an empty list, not null")
	assert.Zero(t, r.Limitations.Low)
	assert.Zero(t, r.Limitations.High)
	for _, a := range b.Assumed {
		assert.True(t, slices.Contains(r.Limitations.Assumptions, a), a)
	}
}

// The sentence about scatter carries every cause with what it does to the answer.
func TestScatterTaken(t *testing.T) {
	for _, want := range []string{"strength of wood and bond 12 %", "fracture energy 10 %", "woods shrink 15 %", "the climate it meets 25 %", "together 41 %"} {
		assert.Contains(t, scatterTaken(risk.Parts(risk.Measured)), want)
	}
}
