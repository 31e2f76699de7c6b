package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two ways that meet: the shorter has the difference to spare, the longer none, and
// the longest wait on it decides.
func TestCriticalWay(t *testing.T) {
	n := &network{}
	n.add("a", "A", "", 1, false)
	n.add("b", "B waits", "", 10, true, "a")
	n.add("c", "C waits long but may", "", 12, true, "a")
	n.add("d", "D", "", 5, false, "b")
	n.add("e", "E", "", 1, false, "d", "c")
	days, longest := n.end()
	assert.Equal(t, 17.0, days)
	assert.Equal(t, "B waits", longest)
	assert.Equal(t, 3.0, n.find("c").Slack)
	assert.False(t, n.find("c").Critical)
	for _, id := range []string{"a", "b", "d", "e"} {
		assert.True(t, n.find(id).Critical, id)
	}
	assert.True(t, n.find("b").Longest)
}
