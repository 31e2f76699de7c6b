package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// The card names first what a board does not live through, whatever gives the word, and
// tells whoever eats off it what concerns him, not the sawyer.
func TestTheWorstMishapComesFirst(t *testing.T) {
	m := &maker{report: &check.Report{Exposures: []check.Exposure{
		{Event: "flat-on-dry-counter", Verdict: verdict.Doubtful, Utilisation: 0.8}, {Event: "dishwasher", Verdict: verdict.Fails, Utilisation: 0.2},
		{Event: "sink-soak", Verdict: verdict.Fails, Utilisation: 0.4}, {Event: "hot-pan", Verdict: verdict.Holds, Utilisation: 0.9}}}}
	var order []string
	for _, e := range m.mishaps() {
		order = append(order, e.Event)
	}
	assert.Equal(t, []string{"sink-soak", "dishwasher", "flat-on-dry-counter", "hot-pan"}, order)
	p, err := made()
	if assert.NoError(t, err) {
		assert.Contains(t, p.Card.Allergens, "Whoever reacts")
		assert.NotContains(t, p.Card.Allergens, "dust")
		assert.Contains(t, p.Card.Food, "nut oils", "it may be one")
	}
}
