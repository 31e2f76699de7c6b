package influence

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// The linear form of the worst demand gives back the utilisation itself.
func TestInfluenceGivesTheUtilisation(t *testing.T) {
	for _, name := range []string{"checker-random", "brick-stagger", "hexagons", "pith-in-strip"} {
		m, err := Prepare(context.Background(), boardtest.Named(t, name), Options{Bending: true})
		require.NoError(t, err)
		l := &Load{Mean: make([]float64, len(m.Kinds)), Slope: make([]float64, len(m.Kinds))}
		for k := range l.Mean {
			l.Mean[k], l.Slope[k] = 2.3+0.4*float64(k), 0.07-0.01*float64(k)
		}
		for _, j := range []int{0, len(m.Joints) / 2, len(m.Joints) - 1} {
			d := m.Worst(j, l)
			in, err := m.InfluenceOf(t.Context(), j, d, l)
			require.NoError(t, err)
			sum := 0.0
			for _, v := range m.PieceShares(in, l) {
				sum += v
			}
			assert.InEpsilon(t, d.U, sum, 1e-6, "%s joint %s", name, m.Board.Joints[j].ID)
		}
	}
}

// Why a joint is pulled does not ask in what order the pieces stand in the file, nor
// which way round the board lies.
func TestMechanismsDoNotDependOnTheOrderOfPieces(t *testing.T) {
	of := func(field string) map[string]float64 {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"home":"continental-heated","glue":"pva","stock":{"A":{"species":"american-beech","ring_angle":0,"moisture":8,"grain":0},
			"B":{"species":"teak","ring_angle":45,"moisture":8,"grain":90},"C":{"species":"sugar-maple","ring_angle":45,"moisture":8,"grain":0},"D":{"species":"sugar-maple","ring_angle":20,"moisture":8}},"field":%s}`, field)
		m, err := Prepare(t.Context(), b, Options{})
		require.NoError(t, err)
		j, err := m.Judge(t.Context(), &Demand{NoHistories: true}, nil)
		require.NoError(t, err)
		worst := hardest(j)
		in, err := m.InfluenceOf(t.Context(), worst.Joint, worst.D, worst.Load)
		require.NoError(t, err)
		out := map[string]float64{}
		sum := 0.0
		for _, s := range m.MechanismShares(in, worst.Load) {
			out[s.Name], sum = s.Share, sum+s.Share
		}
		assert.InDelta(t, 1, sum, 1e-9)
		return out
	}
	same := func(want, got map[string]float64, name string) {
		t.Helper()
		for k, v := range want {
			assert.InDelta(t, v, got[k], 1e-6, "%s: %s", name, k)
		}
	}
	a, b, c := `{"stock":"A","outline":[[0,0],[60,0],[60,40],[0,40]]}`, `{"stock":"B","outline":[[60,0],[120,0],[120,40],[60,40]]}`, `{"stock":"C","outline":[[120,0],[180,0],[180,40],[120,40]]}`
	pieces := func(p ...string) map[string]float64 { return of(`{"pieces":[` + strings.Join(p, ",") + `]}`) }
	want := pieces(a, b, c)
	assert.Greater(t, want[BySpecies], 0.1)
	assert.Greater(t, want[ByGrain], 0.1)
	same(want, pieces(c, b, a), "C B A")
	same(want, pieces(b, a, c), "B A C")
	grid := func(rows string) map[string]float64 {
		return of(`{"grid":{"block":[60,40],"rows":[` + rows + `]}}`)
	}
	same(grid(`"AC","CB","CC"`), grid(`"CC","CB","AC"`), "turned upside down: rings of long grain look the same from below")
	mixed := grid(`"AD","DC","AA"`)
	assert.Greater(t, mixed[ByGrain], 0.5, "end grain beside long grain")
}

// One wood with all rings and fibres alike has no other reason than the moisture.
func TestMechanismsOfOneWoodAtTwoMoistures(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","ring_angle":20,"moisture":6},"B":{"species":"sugar-maple","ring_angle":20,"moisture":10}},
		"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}}}`)
	m, err := Prepare(t.Context(), b, Options{})
	require.NoError(t, err)
	j, err := m.Judge(t.Context(), &Demand{NoHistories: true}, nil)
	require.NoError(t, err)
	worst := hardest(j)
	in, err := m.InfluenceOf(t.Context(), worst.Joint, worst.D, worst.Load)
	require.NoError(t, err)
	for _, s := range m.MechanismShares(in, worst.Load) {
		switch s.Name {
		case ByGlueUp:
			assert.Greater(t, s.Share, 0.8)
		case BySpecies, ByRings, ByGrain:
			assert.Less(t, math.Abs(s.Share), 0.1, s.Name) // swelling is taken at the gluing moisture, which differs a little
		}
	}
}

// hardest is the joint with the highest stress over strength; of equals the first.
func hardest(j *Judged) *Moment {
	worst := &j.Joints[0]
	for i := range j.Joints {
		if verdict.Worse(j.Joints[i].D.Stress, worst.D.Stress) {
			worst = &j.Joints[i]
		}
	}
	return worst
}
