package check

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// What the report tells beside the ways to fail opens too, and comes to its figures:
// pressure, the figures of wood whose stress does not ease, shares of causes, speed.
func TestNumbersBesideTheWaysOpen(t *testing.T) {
	e := explain(t)
	r := &Report{}
	e.m.tellPress(r, &e.j.Press)
	require.NotNil(t, r.Crushing)
	d := e.why(WhyCrushing)
	e.comes(d, "u_c", r.Crushing.Utilisation)
	assert.LessOrEqual(t, d.Difference, 1e-9)

	for i := range e.j.States {
		s := &e.j.States[i]
		d = e.why(WhyElastic + "@" + s.Name)
		e.comes(d, "v_e", s.Elastic)
		assert.LessOrEqual(t, d.Difference, 1e-9, s.Name)
	}
	for _, h := range e.j.Histories {
		require.Greater(t, h.Elastic, h.Critical.U*0.999)
		d = e.why(WhyElastic + "@" + h.LoadHistory.ID())
		e.comes(d, "v_e", h.Elastic)
		assert.LessOrEqual(t, d.Difference, 1e-9, h.LoadHistory.ID())
	}
	e.comes(e.why(WhyElastic), "v_e", e.m.worstOf(e.j).Elastic)

	g := &e.j.Worst
	require.GreaterOrEqual(t, g.Joint, 0)
	in, err := e.m.InfluenceOf(t.Context(), g.Joint, g.D, g.Load)
	require.NoError(t, err)
	d = e.why(WhyCauses)
	assert.LessOrEqual(t, d.Difference, 1e-9)
	for i, c := range e.m.causes(in, g.Load) {
		e.comes(d, fmt.Sprintf("a_%d", i+1), c.Share)
	}

	replies, err := (&Prepared{m: e.m}).Responses(t.Context())
	require.NoError(t, err)
	d = e.why(WhyResponses)
	for _, p := range replies {
		found := 0
		for _, s := range d.Steps {
			for id, want := range map[string]*float64{"t_50": p.Half, "t_90": p.Ninety} {
				if s.Part == p.Kind && s.Result.Symbol == id {
					assert.InDelta(t, *want, s.Result.Value, 1e-9, p.Kind)
					found++
				}
			}
		}
		assert.Equal(t, 2, found, p.Kind)
	}
	// Crank's two limits added up, at the diffusivity half-way: exact where the wood or its
	// faces hold back alone, and the wood grows faster towards its damp end.
	for _, c := range d.Compare {
		assert.InEpsilon(t, c.Hand, c.Solver, 0.2, c.What)
	}
	for i := range e.j.Pieces {
		d = e.why(Splits + "@" + e.m.Board.Pieces[i].ID)
		e.comes(d, "v", e.j.Pieces[i].U)
	}
	for _, h := range e.j.Histories {
		d = e.why(OutOfFlat + "@" + h.LoadHistory.ID())
		assert.LessOrEqual(t, d.Difference, 1e-9)
		e.comes(d, "i_e", h.Stands.End)
		rises := map[string][]float64{}
		for _, s := range d.Steps {
			rises[s.Result.Symbol] = append(rises[s.Result.Symbol], s.Result.Value)
		}
		assert.Contains(t, rises["c"], h.Most.Cup)
		assert.Contains(t, rises["b"], h.Most.Bow)
		assert.Contains(t, rises["w"], h.Most.Twist)
		if h.Check.U > 0 {
			e.comes(e.why(WoodChecks+"@"+h.LoadHistory.ID()), "S_f", h.Check.U)
		}
	}
	assert.Empty(t, e.why(WhyStages).Steps, "glued in one go")
	assert.Empty(t, e.why(WhyAtOnce).Steps, "glued in one go")
}

// What the rests between glue-ups left opens, and what would be without them.
func TestStagesOpen(t *testing.T) {
	p, err := Prepare(t.Context(), boardtest.Named(t, "border-after-rest"), Conditions{})
	require.NoError(t, err)
	c := Conditions{NoHistories: true}
	j, err := p.judge(t.Context(), c, true)
	require.NoError(t, err)
	e := &explained{t, p.m, j, p.m.modes(j)}
	d, n := e.why(WhyStages), 0
	assert.LessOrEqual(t, d.Difference, 1e-9)
	stages := p.m.stages(j)
	for _, s := range stages {
		for _, step := range d.Steps {
			if step.Part != "after "+s.Name {
				continue
			}
			switch {
			case step.Result.Symbol == "S_w":
				assert.InDelta(t, s.Stress, step.Result.Value, 1e-9, s.Name)
				n++
			case strings.HasPrefix(step.Name, "share of the worst place"):
				assert.InDelta(t, s.Share, step.Result.Value, 1e-9, s.Name)
				n++
			}
		}
	}
	assert.Equal(t, 2*len(stages)-1, n, "the last has no rest after it")
	once, err := p.m.AtOnce(t.Context(), j)
	require.NoError(t, err)
	require.Positive(t, once)
	d = e.why(WhyAtOnce)
	e.comes(d, "v", once)
	assert.LessOrEqual(t, d.Difference, 0.02, "where a crack ends between two nodes both are interpolated")
	assert.NotEqual(t, j.Worst.D.U, once)
}

// opens tells by which word the numbers below a key of the report are opened; asked for,
// what was asked or measured or counts the sum itself; shut, what has no derivation yet.
const asked, shut = "asked for", "shut"

var opens = map[string]string{
	"index": WhyWorst, "utilisation": WhyWorst, "worst": WhyWorst, "worst.elastic_utilisation": WhyElastic, "modes": "its key", "rings": shut,
	"width": asked, "height": asked, "thickness": asked, "size": WhySize,
	"states": "worst@", "states.humidity": asked, "states.temperature": asked, "states.width_change": "size@", "states.height_change": "size@", "states.elastic_utilisation": "elastic@",
	"exposures": "worst@", "exposures.hours": asked, "exposures.elastic_utilisation": "elastic@",
	"exposures.cup": "flat@", "exposures.cup_hour": "flat@", "exposures.bow": "flat@", "exposures.bow_hour": "flat@", "exposures.twist": "flat@", "exposures.twist_hour": "flat@",
	"exposures.gap": "flat@", "exposures.rocks": "flat@", "exposures.flatness": "flat@", "exposures.flatness_hour": "flat@", "exposures.flatness_end": "flat@",
	"exposures.checking": "check@", "exposures.checks": "check@", "exposures.end": "end@", "exposures.end.utilisation_low": shut, "exposures.end.utilisation_high": shut,
	"exposures.face": shut, "exposures.series": asked, "exposures.responses": WhyResponses,
	"joints": "its id", "joints.from": asked, "joints.to": asked, "joints.averaging_length": asked,
	"pieces": "split@", "pieces.outline": asked, "pieces.ring_angle": asked, "pieces.grain_angle": asked, "pieces.moisture": asked,
	"crushing": WhyCrushing, "causes": WhyCauses, "stages": WhyStages, "stages.days": asked, "stages.joints": asked, "at_once": WhyAtOnce,
	"chance": WhyChance, "lines": "its joint", "splits": "split@", "splits_bound": shut, "limitations": shut, "sanity": asked, "model": asked, "derivation": asked,
}

// Every number of a report is opened by a word, is none of its results, or is said to be
// shut: a new one is entered here.
func TestEveryNumberHasItsWord(t *testing.T) {
	used := map[string]bool{}
	var walk func(at reflect.Type, path string)
	walk = func(at reflect.Type, path string) {
		for at.Kind() == reflect.Pointer || at.Kind() == reflect.Slice || at.Kind() == reflect.Map || at.Kind() == reflect.Array {
			at = at.Elem()
		}
		switch at.Kind() {
		case reflect.Float64, reflect.Int:
			key := path
			for {
				if _, known := opens[key]; known {
					used[key] = true
					return
				}
				cut := strings.LastIndex(key, ".")
				if !assert.Positive(t, cut, "no word opens %s", path) {
					return
				}
				key = key[:cut]
			}
		case reflect.Struct:
			for _, f := range reflect.VisibleFields(at) {
				tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
				if tag != "" && tag != "-" {
					walk(f.Type, strings.TrimPrefix(path+"."+tag, "."))
				}
			}
		}
	}
	walk(reflect.TypeFor[Report](), "")
	for key := range opens {
		assert.True(t, used[key], "%s is no number of the report", key)
	}
}
