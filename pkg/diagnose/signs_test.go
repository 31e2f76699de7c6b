package diagnose

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// planks is a panel of one wood on which nothing pulls at any joint.
const planks = `{"tanrad":1,"units":"mm","thickness":20,"glue":"pva-crosslinking","stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":8}},
	"field":{"grid":{"block":[200,60],"rows":["A","A","A"]}}}`

// ranked runs some exposures on the planks and ranks them under an observation.
func ranked(t *testing.T, o Observation, keys ...string) *Diagnosis {
	t.Helper()
	return rankedOn(t, boardtest.Parse(t, []byte(planks)), o, keys...)
}

// rankedOn does it on another board.
func rankedOn(t *testing.T, f *layout.File, o Observation, keys ...string) *Diagnosis {
	t.Helper()
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
	assert.Equal(t, judged("seen-anyway"), o.signs(&outcome{}, ""))
	assert.False(t, o.shaped())
	assert.False(t, (&Observation{Signs: []string{Cupped}, Joint: "a|b"}).shaped())
	assert.True(t, (&Observation{Signs: []string{RocksOnTop}}).shaped())
}

// gluedWrong ranks what may have gone wrong at gluing on two planks, by key.
func gluedWrong(t *testing.T, stock string, o Observation) map[string]Hypothesis {
	t.Helper()
	f := boardtest.Parse(t, fmt.Appendf(nil, `{"tanrad":1,"units":"mm","thickness":20,"glue":"pva-crosslinking","finish":"none","stock":{"A":{%s,"grain":0,"moisture":8}},
		"field":{"grid":{"block":[300,140],"rows":["A","A"]}}}`, stock))
	w, err := begin(t.Context(), f, &o, Options{})
	require.NoError(t, err)
	require.NoError(t, w.gluing(settledScenes(w.home), eventScenes(w.b, w.home, 1)))
	found := map[string]Hypothesis{}
	for _, h := range w.found {
		found[h.Key] = h
	}
	return found
}

// Wood that was glued damper than told explains a panel that cups by its rings as it dries,
// and ends that open in its first year, and neither is seen by chance alone.
func TestSignsOfDampGluing(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	cupped := gluedWrong(t, `"species":"sugar-maple","ring_angle":0,"pith":[0,-40]`, Observation{Signs: []string{Cupped}})
	require.Contains(t, cupped, "all-wetter+dry-season")
	assert.Greater(t, cupped["all-wetter+dry-season"].Factors.Signs, 10*judged("seen-anyway"))
	assert.Greater(t, cupped["all-wetter+dry-season"].Factors.Signs, cupped["all-drier+dry-season"].Factors.Signs)
	ends := gluedWrong(t, `"species":"northern-red-oak","ring_angle":0`, Observation{Signs: []string{EndChecks}})
	require.Contains(t, ends, "all-wetter+first-heating-season")
	assert.Greater(t, ends["all-wetter+first-heating-season"].Factors.Signs, 10*judged("seen-anyway"))
	assert.Greater(t, ends["all-wetter+first-heating-season"].Factors.Signs, ends["all-drier+first-heating-season"].Factors.Signs)
}

// same holds two rankings against each other.
func same(t *testing.T, a, b *Diagnosis, within float64) {
	t.Helper()
	require.Equal(t, len(a.Hypotheses), len(b.Hypotheses))
	for i := range a.Hypotheses {
		assert.Equal(t, a.Hypotheses[i].Key, b.Hypotheses[i].Key)
		assert.InDelta(t, a.Hypotheses[i].Chance, b.Hypotheses[i].Chance, within)
	}
}

// The order in which signs are told changes nothing, and a board that lies upside down on
// the drawing is explained as the board itself.
func TestSignsDoNotKnowTheirOrder(t *testing.T) {
	keys := []string{"flat-on-wet-counter", "dry-spell"}
	same(t, ranked(t, Observation{Signs: []string{Cupped, AfterWashing}}, keys...), ranked(t, Observation{Signs: []string{AfterWashing, Cupped}}, keys...), 1e-12)
	const board = `{"tanrad":1,"units":"mm","thickness":20,"finish":"none","stock":{"A":{"species":"sugar-maple","ring_angle":%d,"grain":0,"moisture":9},"B":{"species":"black-walnut","ring_angle":90,"grain":0,"moisture":8}},
		"field":{"grid":{"block":[200,60],"rows":["%s","%s","%s"]}}}`
	seen := func(joint string) Observation {
		return Observation{Joint: joint, Signs: []string{EndChecks, RocksOnTop}}
	}
	same(t, rankedOn(t, boardtest.Parse(t, fmt.Appendf(nil, board, 60, "A", "A", "B")), seen("r2c1|r3c1"), keys...), rankedOn(t, boardtest.Parse(t, fmt.Appendf(nil, board, -60, "B", "A", "A")), seen("r1c1|r2c1"), keys...), 1e-6)
}
