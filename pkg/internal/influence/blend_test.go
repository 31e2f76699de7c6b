package influence

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// weighed is a board of small blocks of two woods, every one with its own moisture.
func weighed(t *testing.T, rows, cols int) *layout.Board {
	b, err := layout.Read([]byte(grid("mm", 20, rows, cols, func(i int) string {
		return fmt.Sprintf(`{"species":%q,"ring_angle":%d,"moisture":%.3f}`, [2]string{"sugar-maple", "black-walnut"}[(i+i/cols)%2], 37*i%180-90, 6.013+0.0371*float64(29*i%97))
	})))
	require.NoError(t, err)
	return b
}

// A board whose blocks all have their own moisture is solved with few kinds, and says
// what it says with a kind for every block: to a part in ten thousand once it
// has settled, and within half a per cent of the worst in the weeks after it was glued
// and when a face is washed.
func TestBlendsOfKindsSayWhatKindsOfTheirOwnSay(t *testing.T) {
	b := weighed(t, 6, 10)
	o := Options{Bending: true, Coarsest: 20}
	few, err := Prepare(t.Context(), b, o)
	require.NoError(t, err)
	require.LessOrEqual(t, len(few.Kinds), 20)
	alone := mostAlike
	mostAlike = len(b.Pieces)
	t.Cleanup(func() { mostAlike = alone })
	own, err := Prepare(t.Context(), b, o)
	require.NoError(t, err)
	require.Len(t, own.Kinds, len(b.Pieces))

	d := &Demand{NoHistories: true}
	for s := range 2 {
		we, err := few.EndStates(d)
		require.NoError(t, err)
		they, err := own.EndStates(d)
		require.NoError(t, err)
		x, y := few.judge(we[s], false), own.judge(they[s], false)
		for j := range b.Joints {
			assert.InEpsilon(t, y.joints[j].U, x.joints[j].U, 2e-3, "%s %s", we[s].Name, b.Joints[j].ID) // strength bends a little within half a per cent of moisture
			assert.InDelta(t, y.joints[j].N, x.joints[j].N, 1e-4)                                        // MPa; the mean by which the board stiffens is over kinds
		}
		assert.InEpsilon(t, y.Wood.U, x.Wood.U, 2e-3)
		assert.InDelta(t, y.Width, x.Width, 1e-9)
	}
	in, err := d.Setting(b)
	require.NoError(t, err)
	for _, name := range []string{"first-heating-season", "wash-one-face"} {
		ev := moisture.Event{Name: name}
		cx, err := few.Follow(t.Context(), ev, in)
		require.NoError(t, err)
		cy, err := own.Follow(t.Context(), ev, in)
		require.NoError(t, err)
		x, err := few.judgeExposure(t.Context(), cx)
		require.NoError(t, err)
		y, err := own.judgeExposure(t.Context(), cy)
		require.NoError(t, err)
		for j := range b.Joints {
			assert.InDelta(t, y.joints[j].D.U, x.joints[j].D.U, 5e-3*y.Critical.U, "%s %s", name, b.Joints[j].ID)
		}
	}
}

// Few moistures are kinds of their own, and so is a moisture that a kind stands at.
func TestFewMoisturesAreNoBlends(t *testing.T) {
	b := weighed(t, 4, 6) // twelve of each wood
	p, err := translate(t.Context(), b, nil)
	require.NoError(t, err)
	assert.Len(t, p.Kinds, 24)
	b = weighed(t, 6, 10)
	for i := range b.Pieces {
		b.Pieces[i].Moisture = 6 + 0.5*float64(i%4)
	}
	p, err = translate(t.Context(), b, nil)
	require.NoError(t, err)
	for i := range b.Pieces {
		assert.Zero(t, p.blends[i].more)
		assert.Equal(t, b.Pieces[i].Moisture, p.Kinds[p.KindOf[i]].Start)
	}
	names := map[string]bool{}
	for _, n := range p.KindNames() {
		names[n] = true
	}
	assert.Len(t, names, len(p.Kinds), "told apart: %v", names)
	sum := 0.0
	for k := range p.Kinds {
		sum += p.Kinds[k].share
	}
	assert.InDelta(t, 1, sum, 1e-12)
}
