package check

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
)

// First order, corrected for the shape of the limit, against a count with the
// same variables: within three standard errors of the count.
func TestChanceAgreesWithSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, c := range []struct {
		name    string
		samples int
	}{{"border-two-stage", 4000}, {"border-blocks", 4000}, {"pith-below-strip", 4000}, {"slices-end-for-end", 4000}, {"unequal-grid", 20000}} {
		r := reportOf(t, boardtest.Named(t, c.name), Conditions{NoCracks: true, Samples: c.samples, Seed: 5, Workers: 2})
		require.NotNil(t, r.Chance)
		s := r.Chance.Sampled
		require.NotNil(t, s)
		assert.InDelta(t, s.WorstJoint, r.Chance.WorstJoint, 3*s.WorstJointError, c.name)
		assert.Greater(t, s.WorstJoint, 5*s.WorstJointError, "%s: enough counted to mean something", c.name)
		assert.GreaterOrEqual(t, r.Chance.BoardHigh, s.Board-3*s.BoardError, c.name)
		assert.LessOrEqual(t, r.Chance.BoardLow, s.Board+3*s.BoardError, c.name)
		assert.Contains(t, r.Chance.Text, "not the chance of the world")
	}
}

// Where sliding either way comes on top of opening, first order sees one way only;
// the correction must find the other.
func TestChanceCountsBothWays(t *testing.T) {
	r := reportOf(t, boardtest.Named(t, "checker-random"), Conditions{NoCracks: true, Samples: 8000, Seed: 5, Workers: 2})
	s := r.Chance.Sampled
	assert.Greater(t, s.WorstJoint-3*s.WorstJointError, r.Chance.FirstOrder, "one way of sliding alone is too few")
	assert.InDelta(t, s.WorstJoint, r.Chance.WorstJoint, 3*s.WorstJointError)
}

func TestSamplesAreTheSameForAnyWorkers(t *testing.T) {
	b := boardtest.Named(t, "chevrons")
	one := reportOf(t, b, Conditions{NoCracks: true, Samples: 1000, Seed: 9, Workers: 1})
	two := reportOf(t, b, Conditions{NoCracks: true, Samples: 1000, Seed: 9, Workers: 2})
	other := reportOf(t, b, Conditions{NoCracks: true, Samples: 1000, Seed: 10, Workers: 2})
	assert.Equal(t, one.Chance.Sampled, two.Chance.Sampled)
	assert.NotEqual(t, one.Chance.Sampled, other.Chance.Sampled)
}

const square = `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`

// A larger change of moisture is never safer, and what the user states exactly
// does not scatter.
func TestChanceRisesWithTheLoad(t *testing.T) {
	last := 0.0
	for _, mc := range []float64{10, 12, 14, 17, 20} {
		r := reportOf(t, boardtest.Text(t, square), Conditions{NoHistories: true, Moistures: []float64{mc}, NoCracks: true})
		require.NotNil(t, r.Chance)
		assert.Greater(t, r.Chance.WorstJoint, last, "%g %%", mc)
		assert.LessOrEqual(t, r.Chance.WorstJoint, r.Chance.BoardLow)
		assert.LessOrEqual(t, r.Chance.BoardLow, r.Chance.BoardHigh)
		last = r.Chance.WorstJoint
		sum := 0.0
		for _, s := range r.Chance.Contribution {
			sum += s.Share
			assert.GreaterOrEqual(t, s.Share, 0.0)
			if s.Name == risk.ByAir {
				assert.Zero(t, s.Share, "the state is given exactly")
			}
		}
		assert.InDelta(t, 1, sum, 1e-9)
	}
	assert.Greater(t, last, 0.5)
}

// A board of one wood and one ring direction carries no stress; scatter alone
// hardly breaks it, and nothing in the answer is NaN or infinite.
func TestChanceOfABoardWithoutStress(t *testing.T) {
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":["AAA","AAA"]}},"home":"none"}`
	r := reportOf(t, boardtest.Text(t, src), Conditions{NoHistories: true, Samples: 500})
	require.NotNil(t, r.Chance)
	assert.Less(t, r.Chance.WorstJoint, 1e-3)
	assert.GreaterOrEqual(t, r.Chance.WorstJoint, 0.0)
	assert.Greater(t, r.Chance.Beta, 3.0)
	assert.Less(t, r.Chance.Sampled.Board, 0.02)
	_, err := json.Marshal(r)
	assert.NoError(t, err)
	one := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":["A"]}}}`), Conditions{})
	assert.Nil(t, one.Chance, "no joints, no chance")
}

func TestChanceCanBeLeftOut(t *testing.T) {
	r := reportOf(t, boardtest.Text(t, square), Conditions{NoChance: true, NoCracks: true})
	assert.Nil(t, r.Chance)
	assert.NotEmpty(t, r.Notes.Assumptions)
	assert.NotContains(t, r.Notes.Assumptions, scatterTaken(), "no scatter is put into anything")
}

// JSON has no NaN: a report that has one does not marshal.
func TestEveryBoardHasAChance(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	names, err := filepath.Glob(filepath.Join(boardtest.Folder(), "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, n := range names {
		src, err := os.ReadFile(n)
		require.NoError(t, err)
		b, err := layout.Read(src)
		require.NoError(t, err)
		if len(b.Pieces) > 60 {
			continue // the time, not the sum, is what large boards would test
		}
		r := reportOf(t, b, Conditions{NoCracks: true})
		_, err = json.Marshal(r)
		require.NoError(t, err, n)
		if len(b.Joints) == 0 {
			continue
		}
		require.NotNil(t, r.Chance, n)
		c := r.Chance
		for _, p := range []float64{c.WorstJoint, c.FirstOrder, c.Board, c.BoardLow, c.BoardHigh} {
			assert.True(t, p >= 0 && p <= 1, "%s: %g", n, p)
		}
		assert.LessOrEqual(t, c.BoardLow, c.BoardHigh, n)
		assert.InDelta(t, c.WorstJoint, reliability.Phi(-c.Beta), 1e-9, n)
	}
}

// From a board that cannot fail to one that must: the index falls without a jump
// and stays finite. Where the mean fails outright the safe region is a narrow
// tube with several nearest points; the search may take any of them, and each
// says all but certain.
func TestChanceOverTheWholeRange(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	// Glued bone dry, and of woods that differ more, so that the range is wide.
	b := boardtest.Text(t, strings.NewReplacer(`"moisture":8`, `"moisture":1`, "sugar-maple", "american-beech", "black-walnut", "black-cherry").Replace(square))
	m, err := Prepare(context.Background(), b, Conditions{NoHistories: true})
	require.NoError(t, err)
	last := math.Inf(1)
	for mc := 1.2; mc < 30; mc += 0.4 {
		r, err := m.Report(context.Background(), Conditions{NoHistories: true, Moistures: []float64{mc}, NoCracks: true})
		require.NoError(t, err)
		b := r.Chance.Beta
		assert.False(t, math.IsNaN(b) || math.IsInf(b, 0))
		if r.Worst.State == "driest-month" || r.Worst.State == "dampest-month" {
			continue
		}
		if last < -1.8 {
			assert.Less(t, b, -1.8, "%g %%", mc)
			last = b
			continue
		}
		assert.Less(t, b, last+1e-9, "%g %%", mc)
		if !math.IsInf(last, 1) {
			assert.Less(t, last-b, 1.5, "%g %%: no jump", mc)
		}
		last = b
	}
	assert.Less(t, last, -2.0)
}

func TestOdds(t *testing.T) {
	for p, want := range map[float64]string{0.999: "all but certain", 0.96: "more than 19 in 20", 0.62: "about 6 in 10", 0.094: "about 9 in 100", 0.0031: "about 3 in 1000", 1e-9: "less than 1 in 1000", 0: "less than 1 in 1000"} {
		assert.Equal(t, want, odds(p), "%g", p)
	}
}

// A joint that nothing pulls at has no reliability index of 1e14 (reduced from a
// board found by mutation).
func TestIndexHasAnEnd(t *testing.T) {
	r := reportOf(t, boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":5,"stock":{"A":{"species":"dark-red-lauan","ring_angle":-113,"moisture":7.4,"grain":0},
		"D":{"species":"parana-pine","ring_angle":-78}},"field":{"grid":{"block":[5,20],"rows":["A","D"]}},"finish":"polyurethane-two-part-1"}`), Conditions{NoHistories: true})
	require.NotNil(t, r.Chance)
	assert.LessOrEqual(t, r.Chance.Beta, 8.0)
	assert.NotRegexp(t, `index \d{2}`, r.Chance.Text)
}
