package moisture

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

func species(t testing.TB, name string) *wood.Species {
	t.Helper()
	s, err := wood.Find(name)
	require.NoError(t, err)
	return s
}

func simulate(t testing.TB, c Column, p []Phase, o Options) *History {
	t.Helper()
	h, err := Simulate(context.Background(), c, p, o)
	require.NoError(t, err)
	return h
}

// rough holds every kind of face, a year's course, a change of temperature and a finish.
func rough(t testing.TB) (Column, []Phase) {
	home, err := FindClimate("continental-heated")
	require.NoError(t, err)
	room := Room{Humidity: 37, Temperature: 22.3}
	c := Column{Species: species(t, "black-walnut"), Along: true, Thickness: 31, Finish: "shellac-2", M0: 9.3}
	return c, []Phase{
		{Name: "a", Hours: 0.4, Top: Face{Kind: Water, Room: room}, Bottom: air(room)},
		{Name: "b", Hours: 30, Top: air(room), Bottom: Face{Kind: OnDryCounter, Room: room}},
		{Name: "c", Hours: 9, Top: air(room.Warmed(55)), Bottom: Face{Kind: OnWetCounter, Room: room}},
		both("d", 4000, seasons(&home.Months, 3.2)),
		{Name: "e", Hours: 100, Top: Face{Kind: Sealed, Room: room}, Bottom: Face{Kind: Sealed, Room: room}},
	}
}

func TestMassBalance(t *testing.T) {
	c, p := rough(t)
	for _, finish := range []string{"none", "shellac-2"} {
		c.Finish = finish
		h := simulate(t, c, p, Options{})
		assert.Less(t, h.MassBalance, 1e-9, finish) // % mm of some 300: round-off
	}
	// sealed faces: the mean stands still
	h := simulate(t, c, p, Options{})
	first := -1
	for i, ph := range h.Phase {
		if ph == 4 && first < 0 {
			first = i
		}
	}
	assert.InDelta(t, h.Mean[first], h.Mean[len(h.Mean)-1], 1e-10)
}

// The bound on a step keeps the whole history within it: against a run a
// hundred times stricter.
func TestToleranceHolds(t *testing.T) {
	c, p := rough(t)
	coarse, fine := simulate(t, c, p, Options{}), simulate(t, c, p, Options{Tolerance: 1e-4})
	require.Equal(t, coarse.Times, fine.Times)
	worst := 0.0
	for i := range coarse.Mean {
		worst = max(worst, math.Abs(coarse.Mean[i]-fine.Mean[i]))
		worst = max(worst, math.Abs(coarse.Mid[i]-fine.Mid[i]))
		worst = max(worst, math.Abs(coarse.Slope[i]-fine.Slope[i])*c.Thickness/2)
	}
	t.Logf("worst difference %.4f %% MC; steps %d and %d", worst, coarse.Steps, fine.Steps)
	assert.Less(t, worst, 0.01) // % MC: the bound of one step
}

// Halving the cells changes no mean by more than 0.05 % MC.
func TestMeshIndependence(t *testing.T) {
	c, p := rough(t)
	a, b := simulate(t, c, p, Options{Tolerance: 1e-3}), simulate(t, c, p, Options{Tolerance: 1e-3, Cells: 160})
	for i := range a.Mean {
		require.InDelta(t, b.Mean[i], a.Mean[i], 0.05, "%g h", a.Times[i])
		require.InDelta(t, b.Slope[i]*c.Thickness/2, a.Slope[i]*c.Thickness/2, 0.08, "%g h", a.Times[i])
	}
}

// An explicit march with thousands of even cells is an independent solver of
// the same equations (no grading, no Jacobian, no face algebra but a bisection).
func TestAgainstExplicitMarch(t *testing.T) {
	c := Column{Species: species(t, "sugar-maple"), Thickness: 11, M0: 7.2}
	room, wet := Room{Humidity: 30, Temperature: 20}, Room{Humidity: 90, Temperature: 20}
	p := []Phase{{Hours: 60, Top: air(wet), Bottom: air(room)}}
	got := simulate(t, c, p, Options{Tolerance: 1e-4, Cells: 160})

	m, bad := c.material()
	require.Empty(t, bad)
	const n = 110
	dz := c.Thickness / n
	d := func(mc float64) float64 { a, _ := siau(m.solid, 20, mc); return a * squareMMPerHour }
	state := make([]float64, n)
	for i := range state {
		state[i] = c.M0
	}
	face := func(cell, rh float64) float64 { // flow out
		g := saturationDensity(20) / airFilm() * 100 / m.density * mmPerHour
		h := bisectRising(func(h float64) float64 {
			s, _ := equilibriumSlope(20, h)
			return g*(h-rh) - (d(cell)+d(s))/2*(cell-s)/(dz/2)
		}, 0, 1, 1e-12)
		return g * (h - rh)
	}
	dt := 0.2 * dz * dz / d(17)
	flow := make([]float64, n+1)
	for k := 0; k < int(math.Round(60/dt)); k++ {
		flow[0] = -face(state[0], 0.30)
		flow[n] = face(state[n-1], 0.90)
		for i := 1; i < n; i++ {
			flow[i] = d((state[i]+state[i-1])/2) * (state[i-1] - state[i]) / dz
		}
		for i := range state {
			state[i] += dt / dz * (flow[i] - flow[i+1])
		}
	}
	mean, slope := 0.0, 0.0
	for i, v := range state {
		mean += v / n
		slope += v * (float64(i) + 0.5 - n/2.0) * dz * dz * 12 / math.Pow(c.Thickness, 3)
	}
	last := len(got.Mean) - 1
	assert.InDelta(t, mean, got.Mean[last], 0.01) // % MC; both meshes err by a few thousandths
	assert.InEpsilon(t, slope, got.Slope[last], 0.005)
	assert.Greater(t, got.Slope[last], 0.0) // the damp top: positive by definition
	assert.Greater(t, got.Top[last], got.Bottom[last])
}

func TestMomentsOfStraightProfile(t *testing.T) {
	for _, n := range []int{4, 40} {
		c := newCells(23, n)
		m := make([]float64, n)
		for i, z := range c.z {
			m[i] = 8.1 - 0.37*z
		}
		mean, slope := c.moments(m)
		assert.InDelta(t, 8.1, mean, 1e-12)
		assert.InDelta(t, -0.37, slope, 1e-13)
		assert.InDelta(t, 8.1, c.mid(m), 1e-12)
		sum := 0.0
		for _, w := range c.width {
			sum += w
		}
		assert.InDelta(t, 23, sum, 1e-12)
	}
}

// Turning a board over turns its history over.
func TestMirror(t *testing.T) {
	c, p := rough(t)
	turned := make([]Phase, len(p))
	for i, x := range p {
		turned[i] = Phase{Name: x.Name, Hours: x.Hours, Top: x.Bottom, Bottom: x.Top}
	}
	a, b := simulate(t, c, p, Options{}), simulate(t, c, turned, Options{})
	for i := range a.Mean {
		require.InDelta(t, a.Mean[i], b.Mean[i], 1e-9)
		require.InDelta(t, a.Slope[i], -b.Slope[i], 1e-9)
		require.InDelta(t, a.Top[i], b.Bottom[i], 1e-8)
		ta, ma, ba := selfBalanced(a, i)
		tb, mb, bb := selfBalanced(b, i)
		require.InDelta(t, ta, bb, 1e-8)
		require.InDelta(t, ma, mb, 1e-8)
		require.InDelta(t, ba, tb, 1e-8)
	}
}

// A long stay brings every wood to the published balance, and between two airs
// the steady flow is the same through every cell.
func TestEveryWoodSettles(t *testing.T) {
	room := Room{Humidity: 65, Temperature: 20}
	want, err := room.EMC()
	require.NoError(t, err)
	for _, s := range wood.All() {
		for _, along := range []bool{false, true} {
			h := simulate(t, Column{Species: s, Along: along, Thickness: 8, M0: 4}, []Phase{both("", 9000, air(room))}, Options{})
			require.InDelta(t, want, h.Mean[len(h.Mean)-1], 0.02, "%s along %v", s.ID, along) // % MC, two step bounds
			require.Less(t, h.MassBalance, 1e-9)
			for i, m := range h.Mean {
				require.False(t, math.IsNaN(m+h.Slope[i]+h.Top[i]+h.Bottom[i]+h.Mid[i]), s.ID)
			}
		}
	}
}

// A bare face in water is filled with liquid to the cap; a dense film keeps the wood
// behind it below saturation for hours.
func TestWaterFaceStandsAtSaturation(t *testing.T) {
	room := Room{Humidity: 50, Temperature: 20}
	saturated, _ := equilibriumSlope(20, 1)
	assert.InDelta(t, 28.8, saturated, 0.1) // % MC, below the nominal fibre saturation of 30
	for _, finish := range []string{"none", "epoxy-3"} {
		c := Column{Species: species(t, "sugar-maple"), Along: true, Thickness: 40, Finish: finish, M0: 9.3}
		h := simulate(t, c, []Phase{{Hours: 2, Top: Face{Kind: Water, Room: room}, Bottom: air(room)}}, Options{})
		m, l := c.material()
		require.Empty(t, l)
		if finish == "none" {
			assert.InDelta(t, m.cap, h.Top[len(h.Top)-1], 0.01)
		} else {
			assert.Less(t, h.Top[len(h.Top)-1], saturated)
		}
		assert.InDelta(t, 9.3, h.Bottom[len(h.Bottom)-1], 0.05) // nothing has come through
	}
}

func TestSimulateRefuses(t *testing.T) {
	s := species(t, "sugar-maple")
	good := []Phase{both("", 1, air(Room{50, 20}))}
	count := func(c Column, p []Phase, o Options) []string {
		_, err := Simulate(context.Background(), c, p, o)
		var l fault.List
		require.ErrorAs(t, err, &l)
		var out []string
		for _, f := range l {
			out = append(out, f.Pointer)
		}
		return out
	}
	assert.Equal(t, []string{"/thickness"}, count(Column{Species: s, Thickness: 0, M0: 8}, good, Options{}))
	assert.Equal(t, []string{"/moisture"}, count(Column{Species: s, Thickness: 20, M0: 31}, good, Options{}))
	assert.Equal(t, []string{"/moisture"}, count(Column{Species: s, Thickness: 20, M0: math.NaN()}, good, Options{}))
	assert.Equal(t, []string{"/finish", "/species"}, count(Column{Thickness: 20, M0: 8, Finish: "paint"}, good, Options{}))
	assert.Equal(t, []string{"/phases"}, count(Column{Species: s, Thickness: 20, M0: 8}, nil, Options{}))
	assert.Equal(t, []string{"/phases/0/hours", "/phases/0/top/kind", "/phases/0/bottom/room/humidity"},
		count(Column{Species: s, Thickness: 20, M0: 8}, []Phase{{Hours: math.Inf(1), Top: Face{Room: Room{50, 20}}, Bottom: air(Room{-1, 20})}}, Options{}))
	assert.Equal(t, []string{"/tolerance", "/cells"}, count(Column{Species: s, Thickness: 20, M0: 8}, good, Options{Tolerance: -1, Cells: 7}))

	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err := Simulate(ctx, Column{Species: s, Thickness: 20, M0: 8}, good, Options{})
	assert.ErrorIs(t, err, context.Canceled, "running out of time is no fault of the input")
}

func TestSampleTimes(t *testing.T) {
	p := []Phase{both("", 0.01, Face{}), both("", 2, Face{}), both("", HoursPerYear, Face{})}
	times, phase := SampleTimes(p)
	require.Len(t, phase, len(times))
	ends := map[float64]int{0.01: 0, 2.01: 1, 2.01 + HoursPerYear: 2}
	for i := 1; i < len(times); i++ {
		assert.Greater(t, times[i], times[i-1])
		assert.LessOrEqual(t, times[i]-times[i-1], widestSpacing*1.5)
		if at, ok := ends[times[i]]; ok {
			assert.Equal(t, at, phase[i])
			delete(ends, times[i])
		}
	}
	assert.Empty(t, ends)
	assert.Less(t, len(times), 110)
}

// selfBalanced is what mean and slope leave over at time i [% MC] at the top face, the
// mid-plane and the bottom face.
func selfBalanced(h *History, i int) (top, mid, bottom float64) {
	half := h.Slope[i] * h.Thickness / 2
	return h.Top[i] - h.Mean[i] - half, h.Mid[i] - h.Mean[i], h.Bottom[i] - h.Mean[i] + half
}
