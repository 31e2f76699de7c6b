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
		assert.Contains(t, []string{"seen", "memory"}, c.Status, c.Text)
	}
	for _, topic := range []string{"dust", "machines", "end grain", "food contact", "allergens"} {
		assert.True(t, topics[topic], "a board needs a word on %s", topic)
	}
	for _, c := range safety.For() {
		assert.LessOrEqual(t, len(c.Text), 250, "short enough to be read: %q", c.Text)
	}
	assert.Contains(t, safety.Defer, "country")
}

// TestNamesTheListedWoods: each wood with a note is named once, others are not.
func TestNamesTheListedWoods(t *testing.T) {
	walnut, err := wood.Find("black-walnut")
	require.NoError(t, err)
	require.NotEmpty(t, walnut.Dust)
	var plain *wood.Species
	for _, s := range wood.All() {
		if s.Dust == "" {
			plain = s
			break
		}
	}
	require.NotNil(t, plain)
	all := ""
	for _, c := range safety.For(walnut, plain, walnut, nil) {
		all += c.Text + "\n"
	}
	assert.Equal(t, 1, strings.Count(all, walnut.CommonName))
	assert.NotContains(t, all, plain.CommonName+":")
	assert.Len(t, safety.For(plain), len(safety.For()))
	assert.Len(t, safety.For(walnut), len(safety.For())+1)
}
