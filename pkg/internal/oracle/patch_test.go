package oracle

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A patch that crosses blocks: CalculiX cuts them at its edges, tanrad takes each block
// whole, with the quarters of it that are wet. What that costs is told with every answer
// (check's assumptions); cut the same way both agree (the decks of this name).
func TestAPatchTakesBlocksWhole(t *testing.T) {
	blocks := &Deck{Name: "whole", Thickness: 20, Pieces: blocks(3, 2, 40, 0, 0, randomRings(5))}
	for i := range blocks.Pieces {
		blocks.Pieces[i].From = patchDry
	}
	src := bytes.Replace(boardFile(t, blocks), []byte(`{`), []byte(`{"exposures":[{"name":"wet-cloth","patch":{"centre":[60,50],"size":[60,60]}}],`), 1)
	b, err := layout.Read(src)
	require.NoError(t, err)
	m, err := influence.Prepare(t.Context(), b, influence.Options{Bending: true})
	require.NoError(t, err)
	event := &b.Exposures[0]
	l := &influence.Load{}
	for k := range m.Kinds {
		wet := m.Wetted(k, event) * (patchWet - patchDry)
		l.Mean, l.Slope = append(l.Mean, wet), append(l.Slope, wet*2/b.Thickness)
	}
	off := func(name string, x []float64, of func(*Deck) []Place) float64 {
		r := record(t, name)
		want := map[Vec2][3]float64{}
		for _, p := range r.Answer.Places {
			want[p.At] = p.U
		}
		most := 0.0
		for _, p := range of(r.Board) {
			for c, v := range p.U {
				most = math.Max(most, math.Abs(v-want[p.At][c])/r.Answer.Moved())
			}
		}
		t.Logf("%s: within %.1f %% of the largest displacement", name, 100*most)
		return most
	}
	bends := off("cup-patch", m.Deflected(l), func(d *Deck) []Place { return deflection(t, d, m.Mesh, m.Deflected(l)) })
	moves := off("patch", m.Stretched(l), func(d *Deck) []Place { return shift(t, d, m.Mesh, m.Stretched(l)) })
	assert.Less(t, bends, 0.15, "a sixth is told of the rise")
	assert.Less(t, moves, 0.4, "and two fifths of sizes in the plane")
}
