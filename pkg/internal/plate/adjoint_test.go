package plate

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
)

// quantity is an arbitrary weighing of the forces of a trace.
func quantity(tr *Trace, seed uint64) Weights {
	w := Weights{Trace: tr, Node: make([]Traction, len(tr.S))}
	r := some(3*len(tr.S), seed)
	for i := range w.Node {
		w.Node[i] = Traction{r[3*i], r[3*i+1], r[3*i+2]}
	}
	return w
}

func (w *Weights) of(f []Traction) (q float64) {
	for i := range f {
		q += w.Node[i].N*f[i].N + w.Node[i].T*f[i].T + w.Node[i].V*f[i].V
	}
	return q
}

// TestInfluencesGiveTheQuantity: by the adjoint, the sensitivities of all pieces sum to
// the quantity recovered directly, for every joint and mode, with straight and
// with curved rings.
func TestInfluencesGiveTheQuantity(t *testing.T) {
	p := bricksModel(t, Options{Bending: true})
	amount := some(6, 7)
	for _, mode := range []Mode{Membrane, Bending, Warp} {
		xs, err := p.Respond(t.Context(), mode, [][]float64{amount})
		require.NoError(t, err)
		var qs []Weights
		for j := range p.Board.Joints {
			qs = append(qs, quantity(p.Trace(j), uint64(j)))
		}
		in, err := p.Influences(t.Context(), mode, qs)
		require.NoError(t, err)
		for j := range qs {
			direct := qs[j].of(p.Forces(mode, qs[j].Trace, xs, [][]float64{amount})[0])
			sum, size := 0.0, 0.0
			for k := range amount {
				sum += amount[k] * in[j][k].Amount
				size += math.Abs(amount[k] * in[j][k].Amount)
			}
			require.Positive(t, size)
			assert.InDelta(t, direct, sum, 1e-8*size, "mode %d joint %s", mode, p.Board.Joints[j].ID)
		}
	}
}

// TestInfluencesAgainstDifferences: changing the free strain, curvature or shear
// of one piece by a step moves the quantity by the influence. The answer is
// linear in them, so a plain difference is exact.
func TestInfluencesAgainstDifferences(t *testing.T) {
	b := pieces(t, 21, bricks...)
	woods := mixed(6, 3)
	amount := some(6, 8)
	answer := func(mode Mode, w []Wood) float64 {
		p := model(t, b, w, mesh.Options{}, Options{Bending: true})
		xs, err := p.Respond(t.Context(), mode, [][]float64{amount})
		require.NoError(t, err)
		q := quantity(p.Trace(4), 11)
		return q.of(p.Forces(mode, q.Trace, xs, [][]float64{amount})[0])
	}
	p := model(t, b, woods, mesh.Options{}, Options{Bending: true})
	for _, mode := range []Mode{Membrane, Bending, Warp} {
		in, err := p.Influences(t.Context(), mode, []Weights{quantity(p.Trace(4), 11)})
		require.NoError(t, err)
		base := answer(mode, woods)
		const step = 1e-3
		for _, piece := range []int{0, 2, 5} {
			for k := 0; k < 3; k++ {
				w := append([]Wood{}, woods...)
				if mode == Warp {
					w[piece].Bend[k] += step
				} else {
					w[piece].Unit[k] += step
				}
				want := amount[piece] * step * in[0][piece].Strain[k]
				assert.InDelta(t, want, answer(mode, w)-base, 1e-8*math.Abs(base)+1e-8*math.Abs(want), "mode %d piece %d strain %d", mode, piece, k)
			}
			for k := 0; mode == Warp && k < 2; k++ {
				w := append([]Wood{}, woods...)
				w[piece].Shear[k] += step
				want := amount[piece] * step * in[0][piece].Shear[k]
				assert.InDelta(t, want, answer(mode, w)-base, 1e-8*math.Abs(base)+1e-8*math.Abs(want), "piece %d shear %d", piece, k)
			}
		}
	}
}

// TestRefusals: a model without bending says so, and one that cannot
// be is refused by name.
func TestRefusals(t *testing.T) {
	b := pieces(t, 21, bricks...)
	p := model(t, b, mixed(6, 3), mesh.Options{}, Options{})
	_, err := p.Respond(t.Context(), Bending, [][]float64{some(6, 1)})
	assert.ErrorContains(t, err, "without bending")
	m, err := mesh.Build(t.Context(), b, mesh.Options{})
	require.NoError(t, err)
	_, err = New(context.Background(), b, m, mixed(5, 3), Options{})
	assert.ErrorContains(t, err, "5 woods for 6 pieces")
	w := mixed(6, 3)
	w[3].Q[1][1] = -1
	_, err = New(context.Background(), b, m, w, Options{})
	assert.ErrorContains(t, err, "piece p4 is not positive definite")
}
