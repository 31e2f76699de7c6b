package influence

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// swept lays a path along every plane of every piece, so far beside each other [mm],
// solves each, and gives the worst of all in the end states.
func swept(t *testing.T, m *Model, j *Judged, apart float64) (worst float64, paths int) {
	t.Helper()
	for i := range m.Board.Pieces {
		o := m.Board.Pieces[i].Outline
		if m.Board.Pieces[i].Pith != nil {
			continue
		}
		for _, p := range joint.Planes(m.Sides[i]) {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, q := range o {
				d := p.N[0]*q[0] + p.N[1]*q[1]
				lo, hi = min(lo, d), max(hi, d)
			}
			for d := lo + 2; d < hi; d += apart {
				at, ok := chordMiddle(o, &p, d)
				if !ok {
					continue
				}
				path, err := m.layPath(t.Context(), &place{WoodDemand: WoodDemand{At: at, Along: p.T}, piece: i})
				require.NoError(t, err)
				if path == nil {
					continue
				}
				require.NoError(t, path.judge(t.Context(), &Judged{States: append([]Settled(nil), j.States...)}))
				worst = max(worst, path.Result.V)
				paths++
			}
		}
	}
	return worst, paths
}

// The search finds the worst split that there is: one field in a mitred frame, cut along
// every ring and ray and the fibres of the frame. Through the place of the highest stress
// a split of a corner came out, an eighth better.
func TestTheWorstSplitIsFound(t *testing.T) {
	boards := map[string]*layout.Board{"mitred": boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":40,
		"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":9},"W":{"species":"black-walnut","ring_angle":45,"moisture":9}},
		"field":{"grid":{"block":[80,80],"rows":["M"]}},"borders":[{"stock":"W","grain":"along","width":20,"corner":"mitre"}]}`)}
	apart := 10.0
	if boardtest.Long() {
		apart = 5
		for seed := range uint64(50) {
			if b, err := layout.Read(boardgen.Any(700 + seed)); err == nil && len(b.Pieces) <= 9 {
				boards[fmt.Sprint(700+seed)] = b
			}
		}
	}
	near, some := 0, 0
	for name, b := range boards {
		m, err := Prepare(t.Context(), b, Options{})
		require.NoError(t, err)
		j, err := m.Judge(t.Context(), &Demand{NoHistories: true}, nil)
		require.NoError(t, err)
		found, word := 0.0, j.Worst.D.U
		for i := range j.Paths {
			found = max(found, j.Paths[i].Result.V)
		}
		all, n := swept(t, m, j, apart)
		if all < 0.05 {
			continue
		}
		t.Logf("%-8s of %3d splits the worst %.3f, found %.3f, elsewhere at most %.3f; the board %.3f", name, n, all, found, j.PathBound, word)
		assert.LessOrEqual(t, all, max(found, j.PathBound), "%s: what is told to be nowhere passed", name)
		assert.LessOrEqual(t, all, 1.15*word, name)
		some++
		if all <= 1.01*word {
			near++
		}
		if name == "mitred" {
			assert.LessOrEqual(t, all, 1.01*found)
			assert.Greater(t, found, 1.5*lineOf(j), "a split gives the word")
		}
	}
	t.Logf("%d of %d boards within 1 %%", near, some)
	assert.GreaterOrEqual(t, 10*near, 7*some)
}

func lineOf(j *Judged) (worst float64) {
	for i := range j.Lines {
		worst = max(worst, j.Lines[i].Result.V)
	}
	return worst
}

// Where no path was clear of corners there is none to step on from.
func TestNoStepBesideNoPath(t *testing.T) {
	m, err := Prepare(t.Context(), boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"sugar-maple","moisture":8,"pith":[-5,-5]},
		"B":{"species":"black-walnut","moisture":8,"pith":[20,-8]}},"field":{"grid":{"block":[30,30],"rows":["AB"]}}}`), Options{})
	require.NoError(t, err)
	all, err := m.surveys(t.Context(), make([]place, len(m.Board.Pieces)))
	require.NoError(t, err)
	require.NotEmpty(t, all)
	require.NotEmpty(t, all[0].ways, "there are courses all the same")
	out := m.newJudged()
	require.NoError(t, m.stepBeside(t.Context(), out, all))
	assert.Empty(t, out.Paths)
}
