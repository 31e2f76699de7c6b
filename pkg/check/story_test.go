package check

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

func reportOf(t testing.TB, b *layout.Board, c Conditions) *Report {
	t.Helper()
	r, err := Board(context.Background(), b, c)
	require.NoError(t, err)
	return r
}

// atRise gives the utilisation for every piece 3 % wetter than when glued, with
// no relaxation: the orders of magnitude a practitioner would nod at (common
// practice, no source).
func atRise(t testing.TB, name string) float64 {
	r := reportOf(t, boardtest.Named(t, name), Conditions{Shifts: []float64{3}, NoHistories: true, NoCracks: true})
	for _, s := range r.States {
		if s.Name == "shift-+3" {
			return s.Utilisation
		}
	}
	t.Fatal("no such state")
	return 0
}

func TestTheStoryOfFourBoards(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	alike, random := atRise(t, "checker-alike"), atRise(t, "checker-random")
	long, end := atRise(t, "checker-long-border"), atRise(t, "checker-end-border")
	t.Logf("u for +3 %% MC: rings alike %.2f, random rings %.2f, long-grain border %.2f, end-grain border %.2f", alike, random, long, end)
	assert.Equal(t, Holds, VerdictOf(alike), "maple and walnut with rings alike hold")
	assert.Greater(t, random, 3*alike, "random rings are several times worse")
	assert.Greater(t, long, 1.5, "a glued long-grain border is far past 1")
	assert.Equal(t, Holds, VerdictOf(end), "an end-grain border is as harmless as the field")
}

// A field in a glued long-grain border fails, and stress is highest at the border's
// ends (common practice, no source).
func TestALongGrainBorderFailsAtItsEnds(t *testing.T) {
	b := boardtest.Named(t, "checker-long-border")
	r := reportOf(t, b, Conditions{NoHistories: true, NoCracks: true})
	assert.Equal(t, Fails, r.Verdict)
	worst := r.Joints[0]
	for _, j := range r.Joints {
		if j.Stress > worst.Stress {
			worst = j
		}
	}
	width := b.Borders[0].Width
	for axis, side := range [2]float64{b.Width, b.Height} {
		assert.LessOrEqual(t, math.Min(worst.From[axis], side-worst.To[axis]), width+10, "mm from the rim: near a corner both ways")
	}
}

// One wood, all rings alike: no stress, and exactly the free movement.
func TestOneWoodMovesFreely(t *testing.T) {
	src := []byte(`{"tanrad":1,"name":"plain","units":"mm","thickness":30,
		"stock":{"C":{"species":"black-cherry","ring_angle":37,"moisture":7.3}},
		"field":{"grid":{"block":[35,28],"rows":["CCCC","CCCC","CCCC"],"stagger":0.37}}}`)
	b, err := layout.Read(src)
	require.NoError(t, err)
	r := reportOf(t, b, Conditions{})
	require.NotNil(t, r.Check)
	assert.Less(t, r.Check.Stress, 1e-9, "MPa")
	assert.Less(t, r.Check.Width, 1e-9)
	assert.Less(t, r.Check.Height, 1e-9)
	assert.Nil(t, r.Worst)
	assert.Equal(t, Holds, r.Verdict)
	assert.Less(t, r.Utilisation, 1e-6)
	for _, l := range r.Lines {
		assert.Equal(t, "Nothing stresses it.", l.Text)
	}
}

// The shares of the worst joint sum to one by each way of sharing.
func TestSharesSumToTheWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, name := range []string{"checker-random", "checker-long-border", "tiles", "pith-in-strip", "border-mitre"} {
		b := boardtest.Named(t, name)
		r := reportOf(t, b, Conditions{NoCracks: true, NoHistories: len(b.Pieces) > 20 && !boardtest.Long()})
		if r.Worst == nil || r.Worst.Joint == "" {
			continue
		}
		sum := map[string]float64{}
		for _, s := range r.Causes {
			sum[s.Kind] += s.Share
		}
		for _, kind := range []string{"piece", "wood", "mechanism"} {
			assert.InDelta(t, 1, sum[kind], 1e-9, "%s by %s", name, kind)
		}
	}
}

// Every board of the collection gives a report without NaN, and the same twice.
func TestEveryBoardGivesAReport(t *testing.T) {
	for _, name := range boardtest.Names(t) {
		b := boardtest.Named(t, name)
		if testing.Short() && len(b.Pieces) > 16 {
			continue
		}
		small := len(b.Pieces) <= 9 && !testing.Short()
		whole := Conditions{Series: 40, NoHistories: !small && !boardtest.Long()}
		one, err := json.Marshal(reportOf(t, b, whole)) // NaN and infinity do not marshal
		require.NoError(t, err, name)
		if !small && !boardtest.Long() {
			continue
		}
		two, err := json.Marshal(reportOf(t, b, Conditions{Series: 40, Workers: 2}))
		require.NoError(t, err, name)
		assert.True(t, bytes.Equal(one, two), "%s: the number of workers changes nothing", name)
	}
}

func TestADeadlineEndsACheck(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Board(ctx, boardtest.Named(t, "checker-random"), Conditions{})
	assert.ErrorIs(t, err, context.Canceled)
}

// The standard set is told in the file as on the command line.
func TestStandardExposuresInTheFile(t *testing.T) {
	b := boardtest.Named(t, "checker-alike")
	asked := *b
	asked.Exposures = []moisture.Event{{Name: moisture.StandardSet}}
	of, err := Conditions{}.Demand().Exposures(&asked)
	require.NoError(t, err)
	want, err := Conditions{Events: []moisture.Event{{Name: moisture.StandardSet}}}.Demand().Exposures(b)
	require.NoError(t, err)
	assert.Equal(t, want, of)
	assert.Greater(t, len(of), 4)
}
