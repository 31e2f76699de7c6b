package mesh

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// What is counted before anything is made is what is made: a bound of exactly
// that many elements passes and one less does not.
func TestElementsAreCountedBeforeTheyAreMade(t *testing.T) {
	told := 0
	names := boardtest.Names(t)
	for _, file := range names {
		b := boardtest.Named(t, file)
		m, err := Build(t.Context(), b, Options{})
		require.NoError(t, err)
		n := len(m.Elements)
		w := newWork(b, Options{}.withDefaults())
		w.findQuads()
		w.matchBreaks()
		stops := w.divideEdges()
		quads := true
		sum := 0
		for p := range b.Pieces {
			quads = quads && w.quads[p].ok
			sum += w.elementsOf(p, stops)
		}
		if quads {
			assert.Equal(t, n, sum, file)
		} else {
			assert.LessOrEqual(t, sum, n, file)
		}
		_, err = Build(t.Context(), b, Options{Bound: n})
		assert.NoError(t, err, file)
		_, err = Build(t.Context(), b, Options{Bound: n - 1})
		var many *TooMany
		if assert.ErrorAs(t, err, &many, file) {
			told++
			assert.Positive(t, many.Own)
			assert.LessOrEqual(t, many.Own, many.Elements)
		}
		_, err = Build(t.Context(), b, Options{Bound: 4*n - 1, Refine: 1})
		assert.ErrorAs(t, err, &many, file)
		_, err = Build(t.Context(), b, Options{Bound: 4 * n, Refine: 1})
		assert.NoError(t, err, file)
	}
	assert.Equal(t, len(names), told)
}

func pithBlock(side, x, y float64) string {
	return fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","moisture":8,"pith":[%g,%g]}},"field":{"grid":{"block":[%g,%g],"rows":["M"]}}}`, x, y, side, side)
}

// Elements are small beside a pith and grow away from it, so that a pith at the
// corner of a large block costs little more than the block.
func TestElementsGrowAwayFromAPith(t *testing.T) {
	const side = 600
	b := read(t, pithBlock(side, -299, -299))
	m, err := Build(t.Context(), b, Options{})
	require.NoError(t, err)
	assert.Less(t, len(m.Elements), 8000) // 90,000 with elements of 2 mm along both edges
	pith := *b.Pieces[0].Pith
	for i := range m.Edges {
		n := m.Edges[i].Nodes
		ed := b.Partition.Edges[i]
		a, z := b.Partition.Vertices[ed.V0], b.Partition.Vertices[ed.V1]
		for k := 0; k+2 < len(n); k += 2 {
			p, q := m.Nodes[n[k]], m.Nodes[n[k+2]]
			near := min(dist(p, pith), dist(q, pith))
			if distTo(pith, a, z) > 10 {
				continue
			}
			// the sizes are stretched a little to fill the edge
			assert.LessOrEqual(t, dist(p, q), 1.6*max(leastTurn, pithShare*near), "side from %v to %v", p, q)
		}
	}
}

// Nothing is made of a board past the bound, and no board is followed once the
// context has ended.
func TestBuildStopsEarly(t *testing.T) {
	b := read(t, pithBlock(9000, -4499, -4499))
	made := testing.AllocsPerRun(1, func() {
		_, err := Build(t.Context(), b, Options{Bound: 100_000})
		var many *TooMany
		require.True(t, errors.As(err, &many))
		assert.Greater(t, many.Elements, 200_000)
	})
	assert.Less(t, made, 2000.)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Build(ctx, b, Options{})
	assert.ErrorIs(t, err, context.Canceled)
	tri, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"pieces":[{"stock":"A","outline":[[0,0],[9000,0],[0,9000]]}]}}`))
	require.NoError(t, err)
	_, err = Build(ctx, tri, Options{})
	assert.ErrorIs(t, err, context.Canceled)
}
