package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/verdict"
)

const square = `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`

// A larger change of moisture is never safer.
func TestChanceRisesWithTheLoad(t *testing.T) {
	last := 0.0
	for _, mc := range []float64{10, 12, 14, 17, 20} {
		r, err := Board(t.Context(), boardtest.Text(t, square), Conditions{NoHistories: true, Moistures: []float64{mc}})
		require.NoError(t, err)
		require.NotNil(t, r.Chance)
		assert.Greater(t, *r.Chance.Board, last, "%g %%", mc)
		last = *r.Chance.Board
		assert.Less(t, r.Chance.Low, r.Utilisation)
		assert.Greater(t, r.Chance.High, r.Utilisation)
		sum := 0.0
		for _, s := range r.Chance.Contribution {
			sum += s.Share
			assert.Positive(t, s.Share)
		}
		assert.InDelta(t, 1, sum, 1e-9)
	}
}

// The word is that of the chance, on every board and for every part of the answer:
// a word that its own chance contradicts is a defect.
func TestWordAndChanceNeverContradict(t *testing.T) {
	from := map[Verdict][2]float64{Holds: {0, 0.05}, Tight: {0.05, 0.2}, Doubtful: {0.2, 0.5}, Fails: {0.5, 1}}
	for _, name := range boardtest.Names(t) {
		b := boardtest.Named(t, name)
		if testing.Short() && len(b.Pieces) > 16 {
			continue
		}
		r, err := Board(t.Context(), b, Conditions{NoHistories: true})
		require.NoError(t, err, name)
		assert.Equal(t, verdict.Of(r.Utilisation), r.Verdict, name)
		const whole = 0.002 // what whole per cents of the load leave
		assert.GreaterOrEqual(t, *r.Chance.Board, from[r.Verdict][0]-whole, name)
		assert.LessOrEqual(t, *r.Chance.Board, from[r.Verdict][1]+whole, name)
		for _, j := range r.Joints {
			assert.Equal(t, verdict.Of(j.Utilisation), j.Verdict, name)
			assert.LessOrEqual(t, j.Utilisation, r.Utilisation*(1+1e-9), "%s %s", name, j.ID)
		}
		for _, c := range append(append([]Crack{}, r.Lines...), r.Splits...) {
			assert.LessOrEqual(t, c.Utilisation, c.Stress*(1+1e-6), "%s: never more than stress asks", name)
			assert.LessOrEqual(t, c.Utilisation, c.Energy*(1+1e-6), "%s: never more than energy lets run", name)
			assert.LessOrEqual(t, c.Utilisation, r.Utilisation*(1+1e-6), "%s: the worst gives the word", name)
		}
	}
}

// The chance is that of the way that gives the word, with that way's own scatter: its
// word begins where that chance does, and both tell one range. Printed, not worked out by
// what is tested: 1.645 and 0.842 are the quantiles of the normal law of 5 and 20 %.
func TestChanceIsOfTheWayThatGovernsItsWord(t *testing.T) {
	ordinary := ordinaryPlank()(t)
	for name, r := range map[string]*Report{"ordinary": ordinary, "flat on a wet counter": wetPlank()(t)} {
		c := r.Chance
		require.NotNil(t, c.Board, name)
		for i := range r.Modes {
			o := &r.Modes[i]
			s := risk.Together(o.scatter)
			if s > 0 {
				u := math.Log(*o.Figure) / s
				assert.Equal(t, o.Verdict == Holds, u < -1.645, "%s %s", name, o.Mode)
				assert.Equal(t, o.Verdict == Fails, u >= 0, "%s %s", name, o.Mode)
			}
			if o.Mode == c.Mode {
				assert.Equal(t, r.Verdict, o.Verdict, name)
				assert.Equal(t, [2]float64{*o.Low, *o.High}, [2]float64{c.Low, c.High}, name)
				assert.InDelta(t, 2*1.645*c.Spread, math.Log(c.High/c.Low), 1e-3, name)
				assert.InDelta(t, distuv.UnitNormal.CDF(math.Log(*o.Figure)/c.Spread), *c.Board, 1e-12, name)
			}
		}
	}
	assert.Equal(t, OutOfFlat, wetPlank()(t).Chance.Mode)
	assert.Greater(t, wetPlank()(t).Chance.Spread, 1.2*risk.Spread(), "how much water a face drinks is less well known than wood")
}

// Limits of one way are not those of another: what scatters more is doubted earlier.
// Words begin at whole per cents of the load of a crack, which leaves 1.5 % either way.
func TestWordsBeginWhereTheirOwnChanceDoes(t *testing.T) {
	for _, drinks := range []bool{false, true} {
		parts := risk.FlatParts(risk.Measured, risk.Bend{Faces: 1, Drinks: drinks})
		s := risk.Together(parts)
		for _, w := range []struct {
			z     float64
			below Verdict
		}{{-1.645, Holds}, {-0.842, Tight}, {0, Doubtful}} {
			at := math.Exp(w.z * s)
			o, over := &Mode{}, &Mode{}
			o.judged(at*0.985, parts)
			over.judged(at*1.015, parts)
			assert.Equal(t, w.below, o.Verdict, "%t %g", drinks, w.z)
			assert.Equal(t, w.below.Severity()+1, over.Verdict.Severity(), "%t %g", drinks, w.z)
		}
	}
}

// A rule of the glue has no scatter, so no chance is made up for it.
func TestARuleHasNoChance(t *testing.T) {
	r := dishwashed()(t)
	require.NotNil(t, r.Chance)
	assert.Equal(t, GlueGives, r.Chance.Mode)
	assert.Nil(t, r.Chance.Board)
	assert.Zero(t, r.Chance.Spread)
	assert.Contains(t, r.Chance.Text, "a rule does not scatter")
	assert.Contains(t, r.Chance.Text, "Never")
}

// Nothing is told of a chance that was not asked for.
func TestChanceCanBeLeftOut(t *testing.T) {
	r, err := Board(t.Context(), boardtest.Text(t, square), Conditions{NoHistories: true, NoChance: true})
	require.NoError(t, err)
	assert.Nil(t, r.Chance)
	assert.NotContains(t, r.Limitations.Assumptions, scatterTaken(risk.Parts(risk.Measured)), "no scatter is put into anything")
}

// Stress alone is an upper bound of every joint of a checker, and is said to be no verdict.
func TestStressAloneIsABound(t *testing.T) {
	b := boardtest.Text(t, square)
	whole, err := Board(t.Context(), b, Conditions{NoHistories: true})
	require.NoError(t, err)
	bound, err := Board(t.Context(), b, Conditions{NoHistories: true, ByStress: true})
	require.NoError(t, err)
	for i := range whole.Joints {
		assert.LessOrEqual(t, whole.Joints[i].Utilisation, bound.Joints[i].Utilisation*(1+1e-9))
		assert.Equal(t, bound.Joints[i].Utilisation, bound.Joints[i].Stress)
	}
	assert.Contains(t, bound.Limitations.Assumptions, "Judged by stress over strength alone, over one short length: no verdict. A crack most often takes more load; one that is shorter, or that opens a weak end of a line of long grain or a starved joint, can take less.")
}
