package fracture

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/joint"
)

// plain bears ft MPa in tension and fv in shear in every part.
func plain(ft, fv float64) (out [Parts]joint.Criterion) {
	for i := range out {
		out[i] = joint.Criterion{Open: [2]float64{1 / ft, 0}, Slide: [2]float64{0, 1 / fv}}
	}
	return out
}

// springs is a line whose sides part against springs of their own: k N/mm a place
// and mm of line for opening and for sliding. Energy is then that of the springs,
// σ²/(2k) an area, whatever the length.
func springs(sides int, h, k float64) *Line {
	l := &Line{Shut: [2]bool{true, true}, Thickness: 20}
	for i := 0; i <= 2*sides; i++ {
		l.Place = append(l.Place, h*float64(i)/2)
	}
	for range sides {
		l.Joint = append(l.Joint, 0)
	}
	l.Tough = []Toughness{{0.3, 0.9, 1.5}}
	n := len(l.Place)
	l.Stiffness = func(context.Context) (*mat.SymDense, error) {
		s := mat.NewSymDense(2*n, nil)
		for i := range 2 * n {
			s.SetSym(i, i, k*l.Thickness*weight(i/2, n, h))
		}
		return s, nil
	}
	return l
}

// weight is the integral of a place's function: Simpson's.
func weight(place, n int, h float64) float64 {
	switch {
	case place == 0 || place == n-1:
		return h / 6
	case place%2 == 1:
		return 4 * h / 6
	}
	return 2 * h / 6
}

// even is a case of even tractions on springs.
func even(l *Line, sigma, tau float64) Load {
	n := len(l.Place)
	h := l.Place[2]
	c := Load{}
	for i := range n {
		w := l.Thickness * weight(i, n, h)
		c.N, c.T = append(c.N, sigma*w), append(c.T, tau*w)
	}
	for range l.Joint {
		c.SideN, c.SideT = append(c.SideN, sigma*h), append(c.SideT, tau*h)
	}
	return c
}

func judge(t *testing.T, l *Line, st *State) Result {
	t.Helper()
	r, ok, err := l.Judge(t.Context(), st, 0)
	require.NoError(t, err)
	require.True(t, ok)
	return r
}

// Even tension of an unnotched strip gives strength back, whatever the energy.
func TestEvenStressGivesStrengthBack(t *testing.T) {
	l := springs(10, 8, 1) // soft: energy abounds
	l.Membrane = []Load{even(l, 3, 0)}
	st := &State{Membrane: []float64{1}, Height: []float64{0}, Criteria: [][][Parts]joint.Criterion{{plain(5, 8)}}}
	r := judge(t, l, st)
	assert.InDelta(t, 3.0/5, r.V, 1e-12)
	assert.Equal(t, Strength, r.Governs)
	assert.True(t, r.Opens)
	assert.InDelta(t, r.V, r.ByMembrane[0], 1e-12, "of degree one")
}

// Where energy is scarce it decides: σ²/2k an area against G_c, opening and sliding
// by the mixed-mode law.
func TestEnergyDecidesWhereItIsScarce(t *testing.T) {
	const k = 40.0
	l := springs(12, 5, k)
	l.Membrane = []Load{even(l, 3, 0), even(l, 0, 2)}
	st := &State{Membrane: []float64{1, 0.7}, Height: []float64{0}, Criteria: [][][Parts]joint.Criterion{{plain(0.5, 0.5)}}}
	r := judge(t, l, st)
	assert.Equal(t, Energy, r.Governs)
	s, tau := 3.0, 1.4
	share := tau * tau / (s*s + tau*tau)
	assert.InDelta(t, share, r.Sliding, 1e-12)
	// The two tips stay shut: the last half side of each does not open.
	opened := (r.To - r.From - 5.0/3) / (r.To - r.From)
	g := (s*s + tau*tau) / (2 * k) * opened
	assert.InEpsilon(t, g, r.Release, 1e-12, "N/mm")
	assert.InEpsilon(t, 0.3+0.6*math.Pow(share, 1.5), r.Needed, 1e-12, "N/mm")
	assert.InEpsilon(t, math.Sqrt(g/r.Needed), r.V, 1e-12)
}

// Under pressure only sliding counts, and places that pull open although the rest
// is pressed do open.
func TestLipsDoNotOverlap(t *testing.T) {
	l := springs(6, 5, 40)
	l.Membrane = []Load{even(l, -3, 2)}
	st := &State{Membrane: []float64{1}, Height: []float64{0}, Criteria: [][][Parts]joint.Criterion{{plain(5, 0.1)}}}
	r := judge(t, l, st)
	assert.InDelta(t, 1, r.Sliding, 1e-12)
	opened := (r.To - r.From - 5.0/3) / (r.To - r.From)
	assert.InEpsilon(t, 4.0/80*opened, r.Release, 1e-12)
}

// The energy with contact is the largest of fᵀδ − ½δᵀSδ over jumps that do not
// overlap: no other such jump gives more. S is any positive definite matrix.
func TestContactIsTheLargestEnergyOfJumpsThatDoNotOverlap(t *testing.T) {
	r := newRandom(7)
	for range 40 {
		l, f := randomLips(r, 9)
		s := &l.starts[0]
		l.open(s)
		n := len(s.unknowns)
		held, err := l.factor(t.Context(), s, n)
		require.NoError(t, err)
		require.Equal(t, n, held)
		o, ok := l.settle(s, f, n, s.forward(f, n), nil)
		require.True(t, ok)
		value := func(d []float64) float64 {
			sum := 0.0
			for i := range d {
				sum += f[s.unknowns[i]] * d[i]
				for j := range d {
					sum -= d[i] * l.s.At(s.unknowns[i], s.unknowns[j]) * d[j] / 2
				}
			}
			return sum
		}
		assert.InEpsilon(t, o.energy, value(o.jump), 1e-9)
		for range 200 {
			d := append([]float64{}, o.jump...)
			for i := range d {
				d[i] += 0.3 * r.NormFloat64() * math.Abs(d[r.IntN(n)])
				if i%2 == 0 {
					d[i] = math.Max(0, d[i])
				}
			}
			assert.LessOrEqual(t, value(d), o.energy*(1+1e-12))
		}
		for i := 0; i < n; i += 2 {
			assert.GreaterOrEqual(t, o.jump[i], -1e-9)
		}
	}
}
