package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// planks is a panel of one wood on which nothing pulls at any joint.
const planks = `{"tanrad":1,"units":"mm","thickness":20,"glue":"pva-crosslinking","stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":8}},
	"field":{"grid":{"block":[200,60],"rows":["A","A","A"]}}}`

// ranked runs some exposures on the planks and ranks them under an observation.
func ranked(t *testing.T, o Observation, keys ...string) *Diagnosis {
	t.Helper()
	f := boardtest.Parse(t, []byte(planks))
	w, err := begin(t.Context(), f, &o, Options{})
	require.NoError(t, err)
	r, err := newRunner(t.Context(), w.b, w.c, true)
	require.NoError(t, err)
	for _, s := range eventScenes(w.b, w.home, 1) {
		for _, k := range keys {
			if s.key == k {
				of, err := r.run(t.Context(), &s)
				require.NoError(t, err)
				w.add(&variant{board: w.b, told: true, prior: 1}, &s, of)
			}
		}
	}
	require.Len(t, w.found, len(keys))
	return w.diagnosis(len(keys))
}

// A board that is cupped and opened nowhere is explained by what bends it, whatever pulls
// at its joints; a washing that was told leaves a dry cause behind. What nothing tells
// apart shares a rank: one face washed is as good as the other.
func TestACuppedBoard(t *testing.T) {
	d := ranked(t, Observation{Signs: []string{Cupped}}, "flat-on-wet-counter", "dry-spell", "wash-one-face/top", "wash-one-face/bottom")
	first := &d.Hypotheses[0]
	assert.Equal(t, check.OutOfFlat, first.Mode)
	assert.Equal(t, "flat-on-wet-counter", first.Key)
	assert.Equal(t, 1.0, first.Factors.Opens*first.Factors.Place, "nobody says that it opened")
	assert.Greater(t, first.Utilisation, 1.0)
	place := map[string]*Hypothesis{}
	for i := range d.Hypotheses {
		place[d.Hypotheses[i].Key] = &d.Hypotheses[i]
	}
	require.Contains(t, place, "wash-one-face/top")
	assert.Equal(t, place["wash-one-face/top"].Rank, place["wash-one-face/bottom"].Rank)
	assert.Greater(t, place["wash-one-face/top"].Rank, first.Rank)
	washed := ranked(t, Observation{Signs: []string{Cupped, AfterWashing}}, "flat-on-dry-counter", "flat-on-wet-counter")
	assert.Equal(t, "flat-on-wet-counter", washed.Hypotheses[0].Key)
	assert.Contains(t, washed.Hypotheses[0].For, "It is a washing, as was told.")
	assert.Less(t, washed.Hypotheses[len(washed.Hypotheses)-1].Factors.Signs, washed.Hypotheses[0].Factors.Signs)
}

// The chance behind a sign is that of the check's own range, and a rule has none.
func TestWaysPassTheirLimits(t *testing.T) {
	assert.InDelta(t, 0.5, (&way{figure: 1, spread: 0.3}).passes(), 1e-12)
	assert.Greater(t, (&way{figure: 1.5, spread: 0.3}).passes(), (&way{figure: 1.2, spread: 0.3}).passes())
	assert.Zero(t, (&way{}).passes())
	assert.Equal(t, []float64{0, 1}, []float64{(&way{figure: 0.9}).passes(), (&way{figure: 1}).passes()})
	o := Observation{Signs: []string{EndChecks}}
	assert.Equal(t, seenAnyway, o.signs(&outcome{}, ""))
	assert.False(t, o.shaped())
	assert.False(t, (&Observation{Signs: []string{Cupped}, Joint: "a|b"}).shaped())
	assert.True(t, (&Observation{Signs: []string{RocksOnTop}}).shaped())
}
