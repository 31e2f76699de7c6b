package check

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// judged is a board followed through its states and exposures.
type judged struct {
	m     *Model
	c     Conditions
	w     *work
	s     *scatter
	order []governing
}

func judge(t testing.TB, b *layout.Board, c Conditions) *judged {
	t.Helper()
	m, err := Prepare(context.Background(), b, c)
	require.NoError(t, err)
	w := &work{r: &Report{}, worst: governing{joint: -1}, joints: make([]governing, len(m.joints))}
	m.startJoints(w.r)
	m.startPieces(w.r)
	ends, err := m.endStates(c)
	require.NoError(t, err)
	for _, e := range ends {
		v := m.judge(e)
		m.addState(w, &v)
	}
	events, err := m.events(c)
	require.NoError(t, err)
	for _, e := range events {
		require.NoError(t, m.addExposure(context.Background(), w, e, c))
	}
	order, err := m.ranked(c, w)
	require.NoError(t, err)
	return &judged{m, c, w, m.newScatter(), order}
}

func (j *judged) limits(t testing.TB, n int) []*limit {
	t.Helper()
	l, err := j.m.limitsOf(j.c, j.w, j.s, j.order[:min(n, len(j.order))])
	require.NoError(t, err)
	return l
}

func (j *judged) all() []reliability.Variable {
	return append(append([]reliability.Variable{}, j.s.vars...), ownVariables()...)
}

func boardOf(t testing.TB, src string) *layout.Board {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	return b
}

// At the mean of every variable the limit state must be the report's own
// utilisation: straight and curved rings, end grain and long grain, through the
// board and at its faces.
func TestLimitAtTheMeanIsTheReport(t *testing.T) {
	faces := 0
	for _, name := range []string{"checker-random", "border-mitre", "pith-in-strip", "pith-below-strip", "own-months", "slices-over", "long-grain-planks"} {
		j := judge(t, boardNamed(t, name), Conditions{})
		x := make([]float64, len(j.all()))
		for i, v := range j.all() {
			x[i] = v.Mean
		}
		for i, l := range j.limits(t, 12) {
			if l.d.level != 0 {
				faces++
			}
			// u is a sum over influences of hundreds of pieces: round-off of 1e-9 of it.
			assert.InEpsilon(t, j.order[i].d.u, 1-l.state(x, nil), 1e-9, "%s, %s", name, j.m.board.Joints[l.joint].ID)
		}
	}
	assert.Greater(t, faces, 5, "some joints are governed at a face, where bending counts")
}

// The slopes against differences, at a point far from the mean in every variable.
func TestSlopesOfTheLimit(t *testing.T) {
	for _, name := range []string{"checker-random", "border-mitre", "pith-below-strip", "own-months"} {
		j := judge(t, boardNamed(t, name), Conditions{})
		all := j.all()
		rng := rand.New(rand.NewPCG(3, 1))
		x, grad := make([]float64, len(all)), make([]float64, len(all))
		for i := range x {
			x[i], _ = all[i].At(1.3 * rng.NormFloat64())
		}
		for _, l := range j.limits(t, 3) {
			clear(grad)
			u := 1 - l.state(x, grad)
			require.Greater(t, u, 0.01, "a place with slopes")
			for i := range x {
				h := 1e-5 * math.Max(1, math.Abs(x[i]))
				keep := x[i]
				x[i] = keep + h
				up := l.state(x, nil)
				x[i] = keep - h
				down := l.state(x, nil)
				x[i] = keep
				// Central differences: 1e-10 of curvature, 1e-11/h of round-off.
				assert.InDelta(t, (up-down)/(2*h), grad[i], 1e-7*math.Max(1, u), "%s, joint %d, variable %d (%s)", name, l.joint, i, strings.Join(j.s.groups[min(i, len(j.s.groups)-1):min(i, len(j.s.groups)-1)+1], ""))
			}
		}
	}
}

// The tractions by influence against a solve of the whole board with every
// piece's free strain perturbed by the variables.
func TestTractionsAreThoseOfASolve(t *testing.T) {
	for _, name := range []string{"checker-random", "border-mitre", "own-months"} {
		j := judge(t, boardNamed(t, name), Conditions{})
		m := j.m
		rng := rand.New(rand.NewPCG(8, 2))
		x := make([]float64, len(j.all()))
		for i, v := range j.all() {
			x[i], _ = v.At(1.5 * rng.NormFloat64())
		}
		units := make([]strain, len(m.board.Pieces))
		other := *m.Plate
		other.Woods = append([]plate.Wood(nil), m.Plate.Woods...)
		for i := range units {
			j.s.strainOf(i, x, false, &units[i])
			other.Woods[i].Unit = units[i].unit
			require.Nil(t, other.Woods[i].At, "straight rings only")
		}
		for _, l := range j.limits(t, 4) {
			mean, slope := make([]float64, len(units)), make([]float64, len(units))
			for i := range units {
				mean[i] = l.amount(i, x)
				if l.bent {
					slope[i] = l.load.slope[m.kindOf[i]]
				}
			}
			jm := &m.joints[l.joint]
			var want [2]float64
			add := func(mode plate.Mode, amount []float64, f float64) {
				disp, err := other.Respond(mode, [][]float64{amount})
				require.NoError(t, err)
				tr := other.Forces(mode, jm.trace, disp, [][]float64{amount})[0]
				for i, c := range jm.windows[l.d.window].Weight {
					want[0] += f * c * tr[i].N
					want[1] += f * c * tr[i].T
				}
			}
			add(plate.Membrane, mean, 1)
			if l.bent {
				add(plate.Bending, slope, l.z)
			}
			if l.z != 0 && m.warp != nil {
				continue // what slanting rings do is held at the mean
			}
			got := l.tractions(units, x)
			size := math.Hypot(want[0], want[1])
			assert.InDelta(t, want[0], got[0], 1e-8*size, "%s MPa", name)
			assert.InDelta(t, want[1], got[1], 1e-8*size, "%s MPa", name)
		}
	}
}

// A free strain for no change of the variables is the one the plate was made with.
func TestStrainAtTheMean(t *testing.T) {
	j := judge(t, boardNamed(t, "border-mitre"), Conditions{Exposures: []string{NoExposures}})
	x := make([]float64, len(j.all()))
	for i, v := range j.all() {
		x[i] = v.Mean
	}
	var st strain
	for i := range j.m.board.Pieces {
		j.s.strainOf(i, x, true, &st)
		for k := range st.unit {
			assert.InDelta(t, j.m.wood[i].Unit[k], st.unit[k], 1e-15, "piece %d", i)
		}
	}
}

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
		r := reportOf(t, boardNamed(t, c.name), Conditions{NoCracks: true, Samples: c.samples, Seed: 5, Workers: 2})
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
	r := reportOf(t, boardNamed(t, "checker-random"), Conditions{NoCracks: true, Samples: 8000, Seed: 5, Workers: 2})
	s := r.Chance.Sampled
	assert.Greater(t, s.WorstJoint-3*s.WorstJointError, r.Chance.FirstOrder, "one way of sliding alone is too few")
	assert.InDelta(t, s.WorstJoint, r.Chance.WorstJoint, 3*s.WorstJointError)
}

func TestSamplesAreTheSameForAnyWorkers(t *testing.T) {
	b := boardNamed(t, "chevrons")
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
		r := reportOf(t, boardOf(t, square), Conditions{Exposures: []string{NoExposures}, Moistures: []float64{mc}, NoCracks: true})
		require.NotNil(t, r.Chance)
		assert.Greater(t, r.Chance.WorstJoint, last, "%g %%", mc)
		assert.LessOrEqual(t, r.Chance.WorstJoint, r.Chance.BoardLow)
		assert.LessOrEqual(t, r.Chance.BoardLow, r.Chance.BoardHigh)
		last = r.Chance.WorstJoint
		sum := 0.0
		for _, s := range r.Chance.Contribution {
			sum += s.Share
			assert.GreaterOrEqual(t, s.Share, 0.0)
			if s.Name == ByAir {
				assert.Zero(t, s.Share, "the state is given exactly")
			}
		}
		assert.InDelta(t, 1, sum, 1e-9)
	}
	assert.Greater(t, last, 0.5)
}

// Stress left over from how pieces were glued, by the state looked at.
func TestKept(t *testing.T) {
	b := boardOf(t, square)
	c := Conditions{Air: []NamedRoom{{Name: "sauna", Room: moisture.Room{Humidity: 20, Temperature: 60}}}, Moistures: []float64{6}, Shifts: []float64{3}}
	j := judge(t, b, c)
	for state, want := range map[string]kept{"driest-month": {0.5, 0.5}, "sauna": {1, 1}, "at-6-percent": {1, 0}, "shift-+3": {}, "wash-one-face": {0.5, 0.5}} {
		got, err := j.m.keptAt(c, state, 0)
		require.NoError(t, err)
		assert.InDelta(t, want.glued, got.glued, 1e-12, state)
		assert.InDelta(t, want.air, got.air, 1e-12, state)
	}
	fresh, err := j.m.keptAt(c, "first-heating-season", 24)
	require.NoError(t, err)
	assert.Greater(t, fresh.glued, 0.8, "a day after gluing little has relaxed")
}

// A board of one wood and one ring direction carries no stress; scatter alone
// hardly breaks it, and nothing in the answer is NaN or infinite.
func TestChanceOfABoardWithoutStress(t *testing.T) {
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":["AAA","AAA"]}},"home":"none"}`
	r := reportOf(t, boardOf(t, src), Conditions{Exposures: []string{NoExposures}, Samples: 500})
	require.NotNil(t, r.Chance)
	assert.Less(t, r.Chance.WorstJoint, 1e-3)
	assert.GreaterOrEqual(t, r.Chance.WorstJoint, 0.0)
	assert.Greater(t, r.Chance.Beta, 3.0)
	assert.Less(t, r.Chance.Sampled.Board, 0.02)
	_, err := json.Marshal(r)
	assert.NoError(t, err)
	one := reportOf(t, boardOf(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":["A"]}}}`), Conditions{})
	assert.Nil(t, one.Chance, "no joints, no chance")
}

func TestChanceCanBeLeftOut(t *testing.T) {
	r := reportOf(t, boardOf(t, square), Conditions{NoChance: true, NoCracks: true})
	assert.Nil(t, r.Chance)
	assert.NotEmpty(t, r.Notes.Assumptions)
	assert.NotContains(t, r.Notes.Assumptions, scatterTaken(), "no scatter is put into anything")
}

// JSON has no NaN: a report that has one does not marshal.
func TestEveryBoardHasAChance(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "boards", "ok", "*.json"))
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

// The rounded limit, integrated, against a plain double sum over both tractions.
func TestOutside(t *testing.T) {
	for _, c := range []struct {
		mean [2]float64
		cov  [3]float64
		a, b float64
	}{
		{[2]float64{1, 0.5}, [3]float64{0.25, 0.16, 0.1}, 2, 1.5},
		{[2]float64{-1, 0.2}, [3]float64{0.49, 0.36, -0.2}, 1.2, 1},
		{[2]float64{0, 0}, [3]float64{1, 1, 0.9}, 2, 2.5},
		{[2]float64{3, 1}, [3]float64{0.04, 0.3, 0}, 2, 1.5},
		{[2]float64{0.1, 1.4}, [3]float64{0.01, 0.2, 0.01}, 4, 1.5},
	} {
		sn := math.Sqrt(c.cov[0])
		low := c.cov[2] / sn
		own := math.Sqrt(c.cov[1] - low*low)
		want, h := 0.0, 0.005
		for v := -8 + h/2; v < 8; v += h {
			for w := -8 + h/2; w < 8; w += h {
				n, tr := c.mean[0]+sn*v, c.mean[1]+low*v+own*w
				if math.Hypot(math.Max(0, n)/c.a, tr/c.b) >= 1 {
					want += h * h * math.Exp(-(v*v+w*w)/2) / (2 * math.Pi)
				}
			}
		}
		// The double sum cuts its cells at a rounded edge: a share of the step.
		assert.InDelta(t, want, outside(c.mean, c.cov, c.a, c.b), 2e-4, "%+v", c)
	}
	// Both ends of what can be known: no scatter at all.
	assert.Equal(t, 1.0, outside([2]float64{3, 0}, [3]float64{}, 2, 2))
	assert.Equal(t, 0.0, outside([2]float64{1, 0}, [3]float64{}, 2, 2))
}

// A joint that was not searched is likelier the more it is stressed.
func TestRestOf(t *testing.T) {
	j := judge(t, boardNamed(t, "checker-random"), Conditions{})
	found, err := j.m.likelies(context.Background(), j.c, j.w, j.s, j.order[:3])
	require.NoError(t, err)
	at := []governing{{d: demand{u: 0.9}}, {d: demand{u: 0.5}}, {d: demand{u: 0.1}}, {d: demand{u: 1.3}}}
	p, middle := restOf(at, found)
	for i := range p {
		if at[i].d.u < 1 {
			assert.Greater(t, p[i], middle[i], "more scatter, more chance")
		}
	}
	assert.Greater(t, p[3], 0.5)
	assert.Greater(t, p[3], p[0])
	assert.Greater(t, p[0], p[1])
	assert.Greater(t, p[1], p[2])
	assert.Less(t, p[2], 0.1)
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
	b := boardOf(t, strings.NewReplacer(`"moisture":8`, `"moisture":1`, "sugar-maple", "american-beech", "black-walnut", "black-cherry").Replace(square))
	m, err := Prepare(context.Background(), b, Conditions{Exposures: []string{NoExposures}})
	require.NoError(t, err)
	last := math.Inf(1)
	for mc := 1.2; mc < 30; mc += 0.4 {
		r, err := m.Report(context.Background(), Conditions{Exposures: []string{NoExposures}, Moistures: []float64{mc}, NoCracks: true})
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

func TestSearched(t *testing.T) {
	assert.Equal(t, mostForm, searched(1))
	assert.Equal(t, mostForm, searched(192))
	assert.Equal(t, leastForm, searched(1242))
}

func TestOdds(t *testing.T) {
	for p, want := range map[float64]string{0.999: "all but certain", 0.96: "more than 19 in 20", 0.62: "about 6 in 10", 0.094: "about 9 in 100", 0.0031: "about 3 in 1000", 1e-9: "less than 1 in 1000", 0: "less than 1 in 1000"} {
		assert.Equal(t, want, odds(p), "%g", p)
	}
}
