package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quarter is a quarter of a section through a board, length by thickness, by explicit
// finite differences with even diffusivities and linear surfaces: the share of a step
// that is still to come, as mean over the thickness, per cell from the end, at times.
func quarter(length, thickness, dx, dz, sx, sz float64, times []float64) (at []float64, left [][]float64) {
	const nx, nz = 60, 12
	hx, hz := length/2/nx, thickness/2/nz
	u := make([][nz]float64, nx)
	for i := range u {
		for k := range u[i] {
			u[i][k] = 1
		}
		at = append(at, (float64(i)+0.5)*hx)
	}
	gx, gz := 1/(hx/2/dx+1/sx), 1/(hz/2/dz+1/sz)
	step := 0.2 / (dx/(hx*hx) + dz/(hz*hz))
	now := 0.0
	for _, t := range times {
		for now < t {
			h := min(step, t-now)
			next := make([][nz]float64, nx)
			for i := range u {
				for k := range u[i] {
					flow := 0.0
					if i == 0 {
						flow -= gx * u[i][k] / hx
					} else {
						flow += dx * (u[i-1][k] - u[i][k]) / (hx * hx)
					}
					if i+1 < nx {
						flow += dx * (u[i+1][k] - u[i][k]) / (hx * hx)
					}
					if k == 0 {
						flow -= gz * u[i][k] / hz
					} else {
						flow += dz * (u[i][k-1] - u[i][k]) / (hz * hz)
					}
					if k+1 < nz {
						flow += dz * (u[i][k+1] - u[i][k]) / (hz * hz)
					}
					next[i][k] = u[i][k] + h*flow
				}
			}
			u, now = next, now+h
		}
		row := make([]float64, nx)
		for i := range u {
			for _, v := range u[i] {
				row[i] += v / nz
			}
		}
		left = append(left, row)
	}
	return at, left
}

// The rim of a panel that comes into drier air, against two dimensions solved as such:
// the ends of long grain, and the sides of a thick end-grain block.
func TestRimAgainstTwoDimensions(t *testing.T) {
	for _, c := range []struct {
		along     bool // fibres along the line
		thickness float64
		finish    string
		within    float64 // of the step
	}{{true, 22, "none", 0.02}, {true, 38, "mineral-oil-wax", 0.02}, {false, 140, "none", 0.06}} {
		s := species(t, "sugar-maple")
		const from, to, length = 45.0, 41.0, 240.0 // % humidity, so little that all is linear; mm
		start, end := equilibrium(20, from), equilibrium(20, to)
		line := Column{Species: s, Along: c.along, Thickness: length, M0: start, Finish: c.finish}
		across := Column{Species: s, Along: !c.along, Thickness: c.thickness, M0: start, Finish: c.finish}
		phases := []Phase{both("", 720, air(Room{Humidity: to, Temperature: 20}))}
		h, err := Simulate(t.Context(), across, phases, Options{})
		require.NoError(t, err)
		rim, err := SimulateRim(t.Context(), line, across, length, h, phases)
		require.NoError(t, err)

		m, _ := line.material()
		_, dx := newDiffusivities(m).table(20).at((start + end) / 2)
		n, _ := across.material()
		_, dz := newDiffusivities(n).table(20).at((start + end) / 2)
		e := phases[0].Top.exchangeAt(0, 0, m.density, m.film[topFace])
		_, slope := equilibriumSlope(20, to/100)
		at, left := quarter(length, c.thickness, dx, dz, e.g/slope, e.g/slope, h.Times[1:])
		worst := 0.0
		for k, row := range left {
			if h.Times[k+1] < 24 { // in the first hours the middle itself is all skin
				continue
			}
			for i, x := range at {
				want := end + (start-end)*row[i] // % MC
				got := h.Mean[k+1] + interpolate(rim.At, rim.Ahead[k+1], x)
				worst = max(worst, math.Abs(want-got)/(start-end))
			}
		}
		t.Logf("along %v, %g mm, %s: within %.3f of the step", c.along, c.thickness, c.finish, worst)
		assert.Less(t, worst, c.within)
		first, last := rim.Ahead[len(rim.Ahead)/2], len(rim.At)-1
		assert.Negative(t, first[0], "the rim dries first")
		assert.InDelta(t, first[0], first[last], 1e-9, "alike at both ends")
	}
}

func interpolate(x, y []float64, at float64) float64 {
	for i := 1; i < len(x); i++ {
		if at <= x[i] {
			return y[i-1] + (at-x[i-1])/(x[i]-x[i-1])*(y[i]-y[i-1])
		}
	}
	return y[len(y)-1]
}

// Ends that are washed drink far more than the faces of long grain and are wetter than
// the middle for half a day.
func TestWashedEndsDrink(t *testing.T) {
	s := species(t, "sugar-maple")
	line := Column{Species: s, Along: true, M0: 8, Finish: "mineral-oil"}
	across := Column{Species: s, Thickness: 30, M0: 8, Finish: "mineral-oil"}
	room := Room{Humidity: 43, Temperature: 20}
	phases := []Phase{both("", 1.0/30, Face{Kind: Water, Room: room, Supply: 0.3}), both("", 168, air(room))}
	h, err := Simulate(t.Context(), across, phases, Options{})
	require.NoError(t, err)
	rim, err := SimulateRim(t.Context(), line, across, 450, h, phases)
	require.NoError(t, err)
	width := 0.0
	for i, w := range rim.Width {
		width += w
		if i > 0 {
			assert.Greater(t, rim.At[i], rim.At[i-1])
		}
	}
	assert.InDelta(t, 450, width, 1e-9)
	assert.InDelta(t, 450, rim.At[0]+rim.At[len(rim.At)-1], 1e-9)
	for k, at := range h.Times {
		if at > 1 && at < 12 {
			assert.Greater(t, rim.Ahead[k][2], 0.3, "%g h after", at)
		}
	}
	assert.Less(t, math.Abs(rim.Ahead[len(h.Times)-1][2]), rim.Ahead[len(h.Times)/3][2])
}
