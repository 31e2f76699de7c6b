package risk

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// looked is a board followed through its states and exposures.
type looked struct {
	m     Board
	all   *influence.Judged
	s     *scatter
	order []influence.Moment
}

func judge(t testing.TB, b *layout.Board, d *influence.Demand) *looked {
	t.Helper()
	m, err := influence.Prepare(context.Background(), b, influence.Options{Bending: !d.NoHistories})
	require.NoError(t, err)
	all, err := m.Judge(context.Background(), d, nil)
	require.NoError(t, err)
	return &looked{Board{m}, all, Board{m}.newScatter(), Board{m}.ranked(all)}
}

func (j *looked) limits(t testing.TB, n int) []*limit {
	t.Helper()
	l, err := j.m.limits(j.s, j.order[:min(n, len(j.order))])
	require.NoError(t, err)
	return l
}

func (j *looked) variables() []reliability.Variable {
	return append(append([]reliability.Variable{}, j.s.vars...), ownVariables()...)
}

// At the mean of every variable the limit state must be the report's own
// utilisation: straight and curved rings, end grain and long grain, through the
// board and at its faces.
func TestLimitAtTheMeanIsTheReport(t *testing.T) {
	faces := 0
	wet := &influence.Demand{Events: []moisture.Event{{Name: "flat-on-wet-counter"}, {Name: "wash-one-face"}}}
	for _, name := range []string{"checker-random", "border-mitre", "pith-in-strip", "pith-below-strip", "own-months", "slices-over", "long-grain-planks"} {
		for _, d := range []*influence.Demand{{}, wet} {
			j := judge(t, boardtest.Named(t, name), d)
			x := make([]float64, len(j.variables()))
			for i, v := range j.variables() {
				x[i] = v.Mean
			}
			for i, l := range j.limits(t, 12) {
				if l.d.Level != 0 {
					faces++
				}
				// u is a sum over influences of hundreds of pieces: round-off of 1e-9 of it.
				assert.InEpsilon(t, j.order[i].D.U, 1-l.state(x, nil), 1e-9, "%s, %s", name, j.m.Board.Joints[l.joint].ID)
			}
		}
	}
	assert.Greater(t, faces, 5, "some joints are governed at a face, where bending counts")
}

// The slopes against differences, at a point far from the mean in every variable.
func TestSlopesOfTheLimit(t *testing.T) {
	for _, name := range []string{"checker-random", "border-mitre", "pith-below-strip", "own-months"} {
		j := judge(t, boardtest.Named(t, name), &influence.Demand{})
		all := j.variables()
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
		j := judge(t, boardtest.Named(t, name), &influence.Demand{})
		m := j.m
		rng := rand.New(rand.NewPCG(8, 2))
		x := make([]float64, len(j.variables()))
		for i, v := range j.variables() {
			x[i], _ = v.At(1.5 * rng.NormFloat64())
		}
		units := make([]strain, len(m.Board.Pieces))
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
					slope[i] = l.load.Slope[m.KindOf[i]]
				}
			}
			jm := &m.Joints[l.joint]
			var want [2]float64
			add := func(mode plate.Mode, amount []float64, f float64) {
				disp, err := other.Respond(mode, [][]float64{amount})
				require.NoError(t, err)
				tr := other.Forces(mode, jm.Trace, disp, [][]float64{amount})[0]
				for i, c := range jm.Windows[l.d.Window].Weight {
					want[0] += f * c * tr[i].N
					want[1] += f * c * tr[i].T
				}
			}
			add(plate.Membrane, mean, 1)
			if l.bent {
				add(plate.Bending, slope, l.z)
			}
			if l.z != 0 && m.Warps {
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
	j := judge(t, boardtest.Named(t, "border-mitre"), &influence.Demand{NoHistories: true})
	x := make([]float64, len(j.variables()))
	for i, v := range j.variables() {
		x[i] = v.Mean
	}
	var st strain
	for i := range j.m.Board.Pieces {
		j.s.strainOf(i, x, true, &st)
		for k := range st.unit {
			assert.InDelta(t, j.m.Wood[i].Unit[k], st.unit[k], 1e-15, "piece %d", i)
		}
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
	j := judge(t, boardtest.Named(t, "checker-random"), &influence.Demand{})
	found, err := j.m.likelies(context.Background(), j.s, j.order[:3])
	require.NoError(t, err)
	at := []influence.Moment{{D: influence.Critical{U: 0.9}}, {D: influence.Critical{U: 0.5}}, {D: influence.Critical{U: 0.1}}, {D: influence.Critical{U: 1.3}}}
	p, middle := restOf(at, found)
	for i := range p {
		if at[i].D.U < 1 {
			assert.Greater(t, p[i], middle[i], "more scatter, more chance")
		}
	}
	assert.Greater(t, p[3], 0.5)
	assert.Greater(t, p[3], p[0])
	assert.Greater(t, p[0], p[1])
	assert.Greater(t, p[1], p[2])
	assert.Less(t, p[2], 0.1)
}

func TestSearched(t *testing.T) {
	assert.Equal(t, mostForm, searched(1))
	assert.Equal(t, mostForm, searched(192))
	assert.Equal(t, leastForm, searched(1242))
}
