package plate

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// twoStrips is a long pair of equal strips, one over the other.
func twoStrips(t *testing.T, length, height float64) *layout.Board {
	t.Helper()
	b, err := layout.Read([]byte(fmt.Sprintf(`{"tanrad":1,"name":"strips","units":"mm","thickness":20,
		"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
		"field":{"grid":{"block":[%g,%g],"rows":["A","B"]}}}`, length, height)))
	require.NoError(t, err)
	return b
}

// Two bonded strips that want to differ in length by ε hold the energy ½·P·ε a
// unit of length, with 1/P = 1/E₁t₁ + 1/E₂t₂ + (t₁+t₂)²/4(E₁I₁+E₂I₂); the second
// term is the bending that Timoshenko (1925) allows. Opening frees both strips,
// so that is what is released: Et·ε²/16 for equal strips.
func TestOpeningTwoStripsReleasesTheirEnergy(t *testing.T) {
	b := twoStrips(t, 600, 20)
	m, err := mesh.Build(t.Context(), b, mesh.Options{})
	require.NoError(t, err)
	const e, eps = 1000.0, 0.002
	q := isotropic(e, 0)
	woods := []Wood{{Q: q, G: [2][2]float64{{400, 0}, {0, 400}}, Unit: [3]float64{eps, 0, 0}}, {Q: q, G: [2][2]float64{{400, 0}, {0, 400}}}}
	p, err := New(context.Background(), b, m, woods, Options{})
	require.NoError(t, err)
	amount := []float64{1, 0}
	x, err := p.Respond(Membrane, [][]float64{amount})
	require.NoError(t, err)
	lips, err := p.Lips(p.Trace(0))
	require.NoError(t, err)
	want := e * 20 * eps * eps / 16 // N/mm
	r, ok := lips.Release(x[0], amount, 0, 400)
	require.True(t, ok)
	got := r.Opening + r.Sliding
	// Within one height of either end of the opening the strips are not as the
	// formula has them: 20 of 400 mm.
	assert.InEpsilon(t, want, got, 0.05, "N/mm")
	longer, ok := lips.Release(x[0], amount, 0, 450)
	require.True(t, ok)
	rate := (longer.Opening+longer.Sliding)*(longer.To-longer.From) - got*(r.To-r.From)
	assert.InEpsilon(t, want, rate/(longer.To-r.To), 0.01, "N/mm: what each further millimetre releases")
	_, ok = lips.Release(x[0], amount, 0, 600)
	assert.False(t, ok, "opened whole, one strip floats")
}

// Energy goes with the square of the load, and opening further never takes any.
func TestReleaseIsQuadraticAndOrdered(t *testing.T) {
	b := twoStrips(t, 80, 40)
	m, err := mesh.Build(t.Context(), b, mesh.Options{})
	require.NoError(t, err)
	q := isotropic(900, 0.3)
	g := [2][2]float64{{400, 0}, {0, 400}}
	woods := []Wood{{Q: q, G: g, Unit: [3]float64{0.003, 0.001, 0.0007}}, {Q: q, G: g, Unit: [3]float64{0.001, 0.003, -0.0004}}}
	p, err := New(context.Background(), b, m, woods, Options{})
	require.NoError(t, err)
	lips, err := p.Lips(p.Trace(0))
	require.NoError(t, err)
	energy := func(f float64, to float64) float64 {
		amount := []float64{f, f}
		x, err := p.Respond(Membrane, [][]float64{amount})
		require.NoError(t, err)
		r, ok := lips.Release(x[0], amount, 0, to)
		require.True(t, ok)
		return (r.Opening + r.Sliding) * (r.To - r.From)
	}
	assert.InEpsilon(t, 6.25*energy(1, 30), energy(2.5, 30), 1e-9, "twice and a half the load")
	last := 0.0
	for to := 5.0; to < 79; to += 8 {
		now := energy(1, to)
		assert.GreaterOrEqual(t, now, last, "opening further never takes energy")
		last = now
	}
}

// isotropic is the plane-stress stiffness of a modulus [MPa] and Poisson's ratio.
func isotropic(e, nu float64) [3][3]float64 {
	f := e / (1 - nu*nu)
	return [3][3]float64{{f, nu * f, 0}, {nu * f, f, 0}, {0, 0, f * (1 - nu) / 2}}
}
