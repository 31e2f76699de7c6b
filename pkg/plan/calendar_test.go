package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
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

// Sticks, panels and slices rest in their order, each after its own glue-up.
func TestRestsOfABuildStandInTheCalendar(t *testing.T) {
	m := &maker{f: &layout.File{Field: layout.Field{Build: &layout.BuildOrder{StickRest: &layout.Rest{Days: 3}, Rest: &layout.Rest{Days: 9}, SliceRest: &layout.Rest{Days: 2}}}}}
	n := &network{}
	n.add(taskID("Glue the cut sticks"), "Glue the cut sticks", "", 1, false)
	assert.Equal(t, "rest-of-sticks", m.restBefore(n, "panel"))
	n.add(taskID("Glue the panels"), "Glue the panels", "", 1, false, "rest-of-sticks")
	assert.Equal(t, "rest-of-slices", m.restBefore(n, "field"))
	assert.Empty(t, m.restBefore(n, "stick"))
	assert.Equal(t, []string{taskID("Glue the panels")}, n.find("rest-of-panels").After)
	assert.Equal(t, []string{"rest-of-panels"}, n.find("rest-of-slices").After)
	days, longest := n.end()
	assert.Equal(t, 16.0, days)
	assert.Equal(t, "Rest of the panels", longest)
}

// Panels of a border are glued with those of the field, so their sticks are milled before.
func TestBorderPanelsAreGluedOfMilledSticks(t *testing.T) {
	m, p := begun(t, file(t, "ok/build-sails.json"), Shop{})
	require.NoError(t, m.calendar(p))
	var panels, mill *Task
	for i := range p.Calendar.Tasks {
		switch task := &p.Calendar.Tasks[i]; task.ID {
		case "glue-the-panels":
			panels = task
		case "mill-border":
			mill = task
		}
	}
	require.NotNil(t, panels)
	require.NotNil(t, mill)
	assert.Contains(t, panels.After, mill.ID)
	assert.LessOrEqual(t, mill.Start+mill.Days, panels.Start)
}
