package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Splits that were not followed are told where they could be worse than the word says.
func TestSplitsElsewhereAreTold(t *testing.T) {
	told := 0
	for _, to := range []float64{7.5, 10, 13, 16} {
		b := boardtest.Text(t, square)
		r, err := Board(t.Context(), b, Conditions{NoHistories: true, Moistures: []float64{to}})
		require.NoError(t, err)
		says := 0
		for _, a := range r.Limitations.Assumptions {
			if strings.HasPrefix(a, "Splits of the wood were followed") {
				says++
				assert.Contains(t, a, fmt.Sprintf("no more than %d %%", r.Words.Percent(r.SplitsBound)))
			}
		}
		assert.Equal(t, r.Words.Of(r.SplitsBound).Severity() > r.Words.Of(r.Utilisation).Severity(), says == 1, "%g %%", to)
		told += says
	}
	assert.NotZero(t, told)
	assert.Less(t, told, 4)
}

// Wherever an answer tells a word beside a figure it is the word of that figure's chance,
// with the scatter of the board: of joints, lines, splits, states, faces and ways, in
// ordinary use and in mishaps, whether the moisture at gluing was measured or not. The
// limits are printed ones, the quantiles of 5, 20 and 50 % of the normal law.
func TestEveryWordIsThatOfItsChance(t *testing.T) {
	for _, moisture := range []string{"", `,"moisture":8`} {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"sugar-maple","ring_angle":0%[1]s},"B":{"species":"black-walnut","ring_angle":90%[1]s}},
			"field":{"grid":{"block":[40,40],"rows":["AB"]}},"borders":[{"stock":"A","grain":"along","width":20,"sides":["left","right"]}]}`, moisture)
		r, err := Board(t.Context(), b, Conditions{})
		require.NoError(t, err)
		sigma := risk.Together(risk.Parts(risk.Known(b.Known())))
		said := map[Verdict]bool{}
		told := func(what string, u float64, word Verdict) {
			said[word] = true
			z := math.Log(u) / sigma
			near := 0.03 // whole per cents of the load
			least := map[Verdict]float64{Holds: math.Inf(-1), Tight: -1.645, Doubtful: -0.842, Fails: 0}[word]
			most := map[Verdict]float64{Holds: -1.645, Tight: -0.842, Doubtful: 0, Fails: math.Inf(1)}[word]
			assert.True(t, z >= least-near && z <= most+near, "%s: %s of %.3f, σ %.2f", what, word, u, sigma)
		}
		for _, j := range r.Joints {
			told(j.ID, j.Utilisation, j.Verdict)
		}
		for _, c := range append(append([]Crack{}, r.Lines...), r.Splits...) {
			told("crack", c.Utilisation, c.Verdict)
		}
		for _, s := range r.States {
			told(s.Name, s.Utilisation, s.Verdict)
		}
		for i := range r.Exposures {
			e := &r.Exposures[i]
			if e.Face != nil {
				told(e.Name+" face", e.Face.Utilisation, e.Face.Verdict)
			}
			if (IsCrack(e.Mode) || e.Mode == WoodChecks) && e.Never == "" {
				told(e.Name, e.Index, e.Verdict)
			}
		}
		worst := Holds
		for i := range r.Modes {
			o := &r.Modes[i]
			if o.Figure == nil || o.Beyond != "" {
				continue
			}
			if s := risk.Together(o.scatter); s > 0 {
				told(o.Mode, math.Pow(*o.Figure, sigma/s), o.Verdict)
			}
			if o.Counts && o.Verdict.Severity() > worst.Severity() {
				worst = o.Verdict
			}
		}
		assert.Equal(t, worst, r.Verdict, "the worst way that counts gives the word")
		p := *r.Chance.Board
		assert.Equal(t, r.Verdict, verdict.Words[map[bool]int{true: 1}[p >= 0.05]+map[bool]int{true: 1}[p >= 0.2]+map[bool]int{true: 1}[p >= 0.5]], "%.3f", p)
		assert.GreaterOrEqual(t, len(said), 2)
		t.Logf("%q: %s at %.3f, chance %.3f, σ %.2f; words told %v", moisture, r.Verdict, r.Index, p, sigma, said)
	}
}

// A starved joint that the file tells is told as taken.
func TestStarvedJointsAreTold(t *testing.T) {
	b := boardtest.Text(t, strings.TrimSuffix(square, "}")+`,"starved":[{"joint":"r1c2|r1c1","keeps":0.1}]}`)
	r, err := Board(t.Context(), b, Conditions{NoHistories: true, Moistures: []float64{12}})
	require.NoError(t, err)
	assert.Contains(t, r.Limitations.Assumptions, "Joint r1c1|r1c2 is starved of glue over 40 mm, as the file says: its bond keeps 10 % of its strength there.")
	sound, err := Board(t.Context(), boardtest.Text(t, square), Conditions{NoHistories: true, Moistures: []float64{12}})
	require.NoError(t, err)
	assert.Equal(t, "r1c1|r1c2", r.Joints[1].ID)
	assert.Greater(t, r.Joints[1].Utilisation, 4*sound.Joints[1].Utilisation)
}
