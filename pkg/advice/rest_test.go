package advice

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Of a build glued damp the advice is to wait before the border; it is judged like every
// other, and told in a maker's words.
func TestAdviceIsToWait(t *testing.T) {
	f := boardtest.Parse(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30, "glue_up": {"humidity": 40, "temperature": 20},
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 11}, "W": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.7}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [60, 60]}}, "panels": {"A": {"sticks": ["m", "m"], "length": 900, "thickness": 60}}, "slices": ["A", "A"]}},
		"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top", "bottom"]}]}`))
	b := boardtest.Lay(t, f)
	now, err := check.FigureOf(t.Context(), b, uniform())
	require.NoError(t, err)
	a, err := begin(t.Context(), f, b, uniform(), uniform(), now)
	require.NoError(t, err)
	var found *Candidate
	for _, p := range a.rests(t.Context()) {
		assert.NotEmpty(t, p.cost.Text)
		m, err := a.candidate(t.Context(), &p)
		require.NoError(t, err)
		if p.name == arrange.Wait && m.Left < 1-leastGain {
			found = m
		}
	}
	require.NotNil(t, found)
	assert.Regexp(t, `^Wait \d+ days before border 1 is glued on\.$`, found.Text)
	a.glued = []string{"b1"}
	assert.Empty(t, a.rests(t.Context()))

	all, err := Moves(t.Context(), f, uniform(), Options{Glued: []string{"panel.A"}})
	require.NoError(t, err)
	require.NotEmpty(t, byName(all, arrange.Wait), "a glued panel may wait for its border")
	assert.Contains(t, all.Skipped[0], "glued already: panel.A")
}

// What a search found beside turned sticks comes first, and counts.
func TestStepsAreTold(t *testing.T) {
	r := &arrange.Result{Steps: []arrange.Step{{Kind: arrange.SwapSticks, Place: "A.1 and A.3", How: "change places"}, {Kind: arrange.TurnSlice, Place: "slice 2", How: "laid over instead of as it was sawn"}}}
	assert.Equal(t, "A.1 and A.3: change places; slice 2: laid over instead of as it was sawn.", workText(r))
	assert.Equal(t, "1 pair of sticks changes places; 1 slice is laid otherwise", costOfWork(r))
	r.Turns = []arrange.Turn{{Unit: arrange.PanelStick, Place: "A.3", How: "rolled a quarter turn", Of: 3}}
	assert.Equal(t, "A.1 and A.3: change places; slice 2: laid over instead of as it was sawn. Turn 1 of the 3 sticks of panel A before it is glued: A.3 rolled a quarter turn.", workText(r))
	assert.Equal(t, "1 pair of sticks changes places; 1 slice is laid otherwise; 1 stick turned; the pattern stays", costOfWork(r))
}
