package joint

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// nodesOf puts a midside in the middle of every side.
func nodesOf(ends ...float64) []float64 {
	out := []float64{ends[0]}
	for i := 1; i < len(ends); i++ {
		out = append(out, (ends[i-1]+ends[i])/2, ends[i])
	}
	return out
}

// forces integrates t·φ with the exact rule for polynomials (Gauss, 4 points).
func forces(nodes []float64, t func(s float64) float64) []float64 {
	x := [4]float64{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526}
	w := [4]float64{0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538}
	f := make([]float64, len(nodes))
	for i := 0; i+2 < len(nodes); i += 2 {
		h := nodes[i+2] - nodes[i]
		for g := range x {
			xi := (1 + x[g]) / 2
			v := t(nodes[i]+xi*h) * w[g] * h / 2
			f[i] += v * (1 - xi) * (1 - 2*xi)
			f[i+1] += v * 4 * xi * (1 - xi)
			f[i+2] += v * xi * (2*xi - 1)
		}
	}
	return f
}

// A straight line is averaged exactly over every window, however the nodes lie.
func TestWindowsAverageAStraightLineExactly(t *testing.T) {
	nodes := nodesOf(0, 2.3, 7.1, 19, 33.7, 37.5, 40)
	p := func(s float64) float64 { return 3 - 0.17*s }
	mean := func(a, b float64) float64 {
		q := func(s float64) float64 { return 3*s - 0.17*s*s/2 }
		return (q(b) - q(a)) / (b - a)
	}
	f := forces(nodes, p)
	ws := Intervals(nodes, 4.86)
	assert.Equal(t, 0.0, ws[0].From)
	assert.InDelta(t, 40, ws[len(ws)-1].To, 1e-12, "mm, round-off")
	for _, w := range ws {
		sum := 0.0
		for i, c := range w.Weight {
			sum += c * f[i]
		}
		assert.InDelta(t, mean(w.From, w.To), sum, 1e-11, "MPa, round-off at %g", w.From)
		assert.InDelta(t, 4.86, w.To-w.From, 1e-12)
	}
}

// The window over the whole joint is the total force over the length, whatever
// the traction.
func TestWholeJointKeepsTheTotal(t *testing.T) {
	nodes := nodesOf(0, 1, 3)
	f := []float64{1, -2, 7, 0.3, 11}
	ws := Intervals(nodes, 5)
	assert.Len(t, ws, 1)
	sum, total := 0.0, 0.0
	for i := range f {
		sum += ws[0].Weight[i] * f[i]
		total += f[i]
	}
	assert.InDelta(t, total/3, sum, 1e-12)
}

// How the windows lie: one at each end, the others between them with even steps of
// at most half their length; one over all where the joint is shorter than they are.
func TestWhereWindowsLie(t *testing.T) {
	for _, c := range []struct {
		length, d float64
		from      []float64
	}{
		{10, 4, []float64{0, 2, 4, 6}},
		{10, 5, []float64{0, 2.5, 5}},
		{6, 5, []float64{0, 1}},
		{5, 5, []float64{0}},
		{3, 5, []float64{0}},
		{10.1, 4, []float64{0, 6.1 / 4, 6.1 / 2, 6.1 * 3 / 4, 6.1}},
	} {
		ws := Intervals(nodesOf(0, c.length/3, c.length), c.d)
		var from []float64
		for _, w := range ws {
			from = append(from, w.From)
			assert.InDelta(t, math.Min(c.d, c.length), w.To-w.From, 1e-12)
		}
		assert.InDeltaSlice(t, c.from, from, 1e-12, "%g mm over %g", c.d, c.length)
	}
}

// The share of every node against its integral by quadrature: the shape functions
// integrated over the stretch, over its length.
func TestSharesAreIntegralsOfTheShapes(t *testing.T) {
	nodes := nodesOf(0, 2.3, 7.1, 19)
	for _, c := range [][2]float64{{0, 19}, {0.7, 1.9}, {1.1, 5}, {2.3, 7.1}, {3, 18.5}} {
		from, to := c[0], c[1]
		inside := make([]float64, len(nodes))
		const steps = 200000
		for k := range steps {
			s := from + (to-from)*(float64(k)+0.5)/steps
			for i := 0; i+2 < len(nodes); i += 2 {
				if s < nodes[i] || s >= nodes[i+2] {
					continue
				}
				x := (s - nodes[i]) / (nodes[i+2] - nodes[i])
				inside[i] += (1 - x) * (1 - 2*x) / steps
				inside[i+1] += 4 * x * (1 - x) / steps
				inside[i+2] += x * (2*x - 1) / steps
			}
		}
		assert.InDeltaSlice(t, inside, shares(nodes, from, to), 2e-5, "%v", c)
	}
}
