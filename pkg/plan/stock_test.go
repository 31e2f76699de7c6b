package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

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
