package safety_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

func TestEveryCautionIsCompleteAndShort(t *testing.T) {
	topics := map[string]bool{}
	for _, c := range safety.For(wood.All()...) {
		topics[c.Topic] = true
		assert.NotEmpty(t, c.Text)
		assert.NotEmpty(t, c.Source, c.Text)
		assert.Contains(t, []string{"seen", "second-hand", "memory"}, c.Status, c.Text)
	}
	for _, topic := range []string{"dust", "machines", "end grain", "food contact", "allergens", "gluing", "trade"} {
		assert.True(t, topics[topic], "a board needs a word on %s", topic)
	}
	for _, c := range safety.For() {
		assert.LessOrEqual(t, len(c.Text), 250, "short enough to be read: %q", c.Text)
	}
	assert.Contains(t, safety.Defer, "country")
}

// Each wood with a note is named once, others are not; working notes are no cautions.
func TestNamesTheListedWoods(t *testing.T) {
	find := func(name string) *wood.Species {
		s, err := wood.Find(name)
		require.NoError(t, err)
		return s
	}
	text := func(woods ...*wood.Species) (all string) {
		for _, c := range safety.For(woods...) {
			all += c.Topic + ": " + c.Text + "\n"
		}
		return all
	}
	walnut, plain := find("black-walnut"), find("sassafras")
	require.Empty(t, plain.Notes)
	all := text(walnut, plain, walnut, nil)
	assert.Equal(t, 1, strings.Count(all, walnut.CommonName))
	assert.NotContains(t, all, plain.CommonName+": d")
	assert.Len(t, safety.For(walnut), len(safety.For())+1)

	for name, never := range map[string]string{"african-padauk": "glues easily", "peruvian-walnut": "dries slowly", "ipe": "oily look", "itauba": "silica", "teak": "silica", "utile": "glues"} {
		assert.NotContains(t, text(find(name)), never, name)
	}
	assert.Contains(t, text(find("cocobolo")), "gluing: Cocobolo: its natural oils make it unsuitable for gluing")
	assert.Contains(t, text(find("teak")), "gluing: Teak: bonds with difficulty")
	assert.Contains(t, text(find("cocobolo")), "trade: Cocobolo: listed in Appendix II of CITES since 2017-01-02")
	assert.Contains(t, text(find("cocobolo")), "to be checked by the seller")
	assert.Contains(t, text(find("brazilian-rosewood")), "Appendix I of")
	assert.Contains(t, text(find("white-oak")), "food contact: White oak: ring-porous")
	assert.NotContains(t, text(find("sugar-maple")), "trade:")
	for _, c := range safety.For(find("cocobolo")) {
		assert.NotContains(t, c.Source, "FPLTS", "keys are resolved to the print")
	}
}

// What every board needs to hear fits two lines, and local rules come first.
func TestShortRemindersFitTwoLines(t *testing.T) {
	all := safety.Short("dust", "machines", "end grain", "food contact", "allergens")
	assert.LessOrEqual(t, len(all), 136)
	for _, words := range []string{"mask", "freehand", "planer", "Food", "Local rules"} {
		assert.Contains(t, all, words)
	}
	assert.NotContains(t, safety.Short("dust"), "freehand")
}
