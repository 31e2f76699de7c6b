package advice

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// dampBuild is a build glued damp, with a dry border that is glued on at once.
func dampBuild(t *testing.T) *layout.File {
	return boardtest.Parse(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30, "glue_up": {"humidity": 40, "temperature": 20},
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 11}, "W": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.7}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [60, 60]}}, "panels": {"A": {"sticks": ["m", "m"], "length": 900, "thickness": 60}}, "slices": ["A", "A"]}},
		"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top", "bottom"]}]}`))
}

// Of a build glued damp the advice is to wait before the border; it is judged like every
// other, and told in a maker's words.
func TestAdviceIsToWait(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	f := dampBuild(t)
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

	// What the shop can do stands apart from what would be another board.
	names := func(list []Candidate) (out []string) {
		for _, m := range list {
			out = append(out, m.Name)
		}
		return out
	}
	shop := []string{"turn-one", "turn-few", "turn-many", arrange.Wait, arrange.GlueOrder, "glue-at-mean", "wait-in-shop"}
	assert.Subset(t, shop, names(all.Moves))
	require.Contains(t, names(all.Design), "no-border")
	for _, name := range names(all.Design) {
		assert.NotContains(t, shop, name)
	}
	grid, err := Moves(t.Context(), boardtest.Framed(t, "mm"), uniform(), Options{})
	require.NoError(t, err)
	assert.Contains(t, names(grid.Moves), "no-border", "where no build is told a change is a change")
	assert.Empty(t, grid.Design)
}

// A border that is on stays on, those further out may be otherwise; a wood that is glued in
// is not swapped, and a board whose slices are sawn not made thicker.
func TestWhatIsGluedIsNoAdvice(t *testing.T) {
	f := boardtest.Parse(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0}, "W": {"species": "black-walnut", "ring_angle": 0}, "C": {"species": "black-cherry", "ring_angle": 0}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [60, 60]}, "h": {"stock": "C", "section": [60, 20]}}, "panels": {"A": {"sticks": ["m"], "length": 900, "thickness": 60}, "H": {"sticks": ["h"], "length": 900, "thickness": 20}}, "slices": ["A"]}},
		"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top", "bottom"]}, {"panel": "H", "grain": "up", "sides": ["left"]}, {"panel": "H", "grain": "up", "sides": ["right"]}]}`))
	on := func(glued ...string) (a *adviser, texts string) {
		a = &adviser{f: f, b: boardtest.Lay(t, f), cond: uniform(), glued: glued, out: &Advice{}}
		for _, p := range slices.Concat(a.borders(), a.woods(), a.use(nil)) {
			c := f.Clone()
			if p.file != nil {
				c = p.file
			} else {
				p.make(c)
			}
			_, faults := c.Board()
			require.Empty(t, faults, p.text)
			assert.NotEqual(t, string(f.JSON()), string(c.JSON()), "%s: it is what it says", p.text)
			texts += p.text + "\n"
		}
		return a, texts
	}
	_, none := on()
	for _, text := range []string{"Make the border of end grain", "Make the border narrower: border 1 to 10 mm.", "Leave the border off.", "outermost", "instead of sugar maple", "instead of black walnut", "thicker"} {
		assert.Contains(t, none, text)
	}
	assert.NotContains(t, none, "border 2 to", "its panel is that of border 3 too")
	a, first := on("b1")
	assert.Contains(t, first, "Leave borders 2 and 3 off.")
	for _, text := range []string{"end grain", "narrower", "instead of sugar maple", "instead of black walnut", "thicker", "float"} {
		assert.NotContains(t, first, text)
	}
	assert.Contains(t, first, "instead of black cherry")
	assert.Contains(t, a.out.Skipped, "Make the board thicker: glued already: b1")
	a, all := on("b3")
	assert.NotContains(t, all, "border")
	assert.Contains(t, a.out.Skipped, "Another border, or none: glued already: b3")
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
