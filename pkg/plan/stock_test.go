package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/window"
)

// How unlike sticks may be is the narrower of what the design bears within days and in its
// home, below doubtful, and never more than careful shops allow.
func TestHowUnlikeSticksMayBe(t *testing.T) {
	told := func(days, season, turns float64) *Stock {
		m := &maker{spread: []window.SpreadWindow{{Below: verdict.FromTight, Spread: 0.1}, {Below: verdict.FromDoubtful, Spread: days, Worst: "a|b", Alternating: turns},
			{Below: verdict.FromTight, Season: true}, {Below: verdict.FromDoubtful, Season: true, Spread: season, Worst: "c|d", Alternating: 9}}}
		s := &Stock{}
		m.atGluing(s, 2.5)
		return s
	}
	s := told(6, 3, 4)
	assert.Equal(t, 2.5, s.Glued)
	assert.Contains(t, s.AtGluing, "within 2.5 % of each other, as in careful shops")
	assert.NotContains(t, s.AtGluing, "take turns")
	assert.Contains(t, told(6, 3, 2.2).AtGluing, "keep them within 2.2 %")
	s = told(1.9, 3, 1.2)
	assert.Equal(t, 1.9, s.Glued)
	assert.Contains(t, s.AtGluing, "first at a|b")
	assert.Contains(t, s.AtGluing, "keep them within 1.2 %")
	s = told(1.9, 0.8, 4)
	assert.Equal(t, 0.8, s.Glued)
	assert.Contains(t, s.AtGluing, "first at c|d")
	assert.NotContains(t, s.AtGluing, "take turns")
	s = told(5, 0, 4)
	assert.Zero(t, s.Glued)
	assert.Contains(t, s.AtGluing, "nothing to spare")
	assert.Contains(t, s.AtGluing, "within 2.5 % of each other")
}

// Sticks have settled when a week changes a kilogram of them by so little, which a maker
// can weigh; of several woods the last tells.
func TestSettledSticksAreWeighed(t *testing.T) {
	days := 40.0
	text := weighing([]Arrive{{Ripped: &days, Weekly: 1.26}, {Ripped: &days, Weekly: 0.84}, {Weekly: 0.1}})
	assert.Contains(t, text, "weigh 5 kg of sticks once a week. They have settled when a week changes that by less than 4.2 g")
	assert.Empty(t, weighing([]Arrive{{}}))
	p, err := made()
	require.NoError(t, err)
	for _, a := range p.Stock.Woods {
		assert.Positive(t, a.Weekly)
		assert.Less(t, *a.Ripped, *a.Plank)
	}
	assert.NotEmpty(t, p.Stock.Weigh)
}
