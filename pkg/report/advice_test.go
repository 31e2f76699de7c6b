package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
)

// What would make another board of a build stands below what the shop can do, under its
// own heading; a brief answer tells both, the shop's first.
func TestAnotherBoardStandsApart(t *testing.T) {
	a := &advice.Advice{Now: check.Figure{Verdict: check.Fails}, Moves: []advice.Candidate{{Text: "Wait 3 days.", Cost: advice.Cost{Text: "the wait"}}}, Design: []advice.Candidate{{Text: "Leave the border off.", Cost: advice.Cost{Text: "no border"}}}}
	var long strings.Builder
	require.NoError(t, Advice(&long, a))
	wait, head, off := strings.Index(long.String(), "Wait 3 days."), strings.Index(long.String(), "Another board"), strings.Index(long.String(), "Leave the border off.")
	assert.True(t, 0 < wait && wait < head && head < off, long.String())
	var p page
	toDo(&p, &check.Report{}, a)
	var brief strings.Builder
	require.NoError(t, p.to(&brief))
	assert.Regexp(t, `(?s)to do +Wait 3 days\..*or +Leave the border off\.`, brief.String())
	a.Design = nil
	long.Reset()
	require.NoError(t, Advice(&long, a))
	assert.NotContains(t, long.String(), "Another board")
}
