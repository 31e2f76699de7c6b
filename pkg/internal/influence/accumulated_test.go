package influence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/wood"
)

// The layers for which the changes of moisture are summed up leave the same stress of a
// year of washings as every cell of the profile by itself.
func TestLayersOfChangesAreFineEnough(t *testing.T) {
	const thickness = 40.0
	found, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	home, err := moisture.FindClimate("continental-heated")
	require.NoError(t, err)
	in := moisture.Setting{Home: home}
	phases, err := moisture.Expand(moisture.Event{Name: "ordinary-use"}, in)
	require.NoError(t, err)
	h, err := moisture.Simulate(t.Context(), moisture.Column{Species: found, Along: true, Thickness: thickness, M0: 8}, phases, moisture.Options{Profiles: true})
	require.NoError(t, err)
	cells := newStack(h.Z, thickness/2, 2)
	fsp := found.FSP()
	kc := constantHistory(0, len(h.Times))
	kc.accumulated = cells.accumulated(h.Profiles, fsp)
	stiff := make([]float64, len(h.Times))
	var each, sums [][]float64 // every cell with its own sum
	for i := range h.Times {
		stiff[i] = 1
		kc.mean[i], kc.slope[i] = cells.moments(h.Profiles[i], fsp)
		kc.mean[i] -= 8
		row, sum := make([]float64, len(cells.width)), make([]float64, len(cells.width))
		for c := range row {
			row[c] = kc.mean[i]
			if i > 0 {
				sum[c] = sums[i-1][c] + math.Abs(min(h.Profiles[i][c], fsp)-min(h.Profiles[i-1][c], fsp))
			}
		}
		each, sums = append(each, row), append(sums, sum)
	}
	got := relaxed(h.Times, kc, 0, 0, stiff)
	most := 0.0
	for _, v := range got.mean {
		most = max(most, math.Abs(v))
	}
	for i, row := range relax.Relax(h.Times, each, sums, relax.Typical) {
		want := 0.0
		for c, v := range row {
			want += v * cells.width[c] / thickness
		}
		assert.InDelta(t, want, got.mean[i], 0.01*most, "after %g h", h.Times[i])
	}
	shares, bends := 0.0, 0.0
	for l := range changeLayers {
		shares, bends = shares+shareOfMean(l), bends+shareOfSlope(l)
	}
	assert.InDelta(t, 1, shares, 1e-12)
	assert.InDelta(t, 1, bends, 1e-12)
}
