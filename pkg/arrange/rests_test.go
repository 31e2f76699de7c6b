package arrange

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// damp is a build whose sticks are glued damper than the shop is, with a border that is
// glued on at once.
func damp(t *testing.T) *layout.File {
	return read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30, "glue_up": {"humidity": 40, "temperature": 20},
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 11}, "W": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.7}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [60, 60]}},
			"panels": {"A": {"sticks": ["m", "m", "m"], "length": 900, "thickness": 60}}, "slices": ["A", "A"]}},
		"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top", "bottom"]}]}`))
}

// Wood glued damp wants to wait before a dry border goes on; of what is past, of wood in
// balance and of rests that were measured nothing is proposed.
func TestWaitsAreProposedWhereThePastMatters(t *testing.T) {
	f := damp(t)
	list, err := Rests(t.Context(), f, uniform(), nil)
	require.NoError(t, err)
	waits := map[string]string{}
	for _, r := range list {
		for _, s := range r.Steps {
			if r.Name == Wait {
				waits[s.Before] += s.Text()
			}
		}
	}
	assert.Regexp(t, `wait \d+ days before border 1 is glued on`, waits["b1"])
	assert.Contains(t, waits, "field")
	now, err := check.FigureOf(t.Context(), board(t, f), uniform())
	require.NoError(t, err)
	for _, r := range list {
		if r.Steps[0].Before != "b1" {
			continue
		}
		then, err := check.FigureOf(t.Context(), board(t, read(t, r.File.JSON())), uniform())
		require.NoError(t, err)
		assert.Less(t, then.Utilisation, 0.8*now.Utilisation, "the border goes onto wood that has shrunk")
	}

	for what, edit := range map[string]func(*layout.File) []string{
		"glued":      func(*layout.File) []string { return []string{"b1"} },
		"in balance": func(f *layout.File) []string { f.SetMoisture(7.67); return nil },
		"measured": func(f *layout.File) []string {
			f.Borders[0].Rest = &layout.Rest{Days: 5, Moisture: map[string]float64{"M": 9}}
			return []string{"field"}
		},
	} {
		g := f.Clone()
		glued := edit(g)
		list, err := Rests(t.Context(), g, uniform(), glued)
		require.NoError(t, err)
		assert.Empty(t, list, what)
	}
}

// A search tells to wait where that gains a twentieth in full, and not where it may not.
func TestASearchTellsToWait(t *testing.T) {
	f := damp(t)
	r, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, Rounds: 1})
	require.NoError(t, err)
	require.NotEmpty(t, r.Steps)
	last := r.Steps[len(r.Steps)-1]
	assert.Equal(t, Wait, last.Kind, last.Text())
	again, err := check.FigureOf(t.Context(), board(t, read(t, r.Board)), uniform())
	require.NoError(t, err)
	assert.InDelta(t, again.Utilisation, r.After.Utilisation, 1e-6)
	kept, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, Rounds: 1, KeepRests: true})
	require.NoError(t, err)
	assert.Less(t, r.After.Utilisation, 0.95*kept.After.Utilisation)
	for _, s := range kept.Steps {
		assert.NotEqual(t, Wait, s.Kind)
	}
}
