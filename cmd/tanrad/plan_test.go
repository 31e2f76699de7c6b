package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoSlices = `{"tanrad": 1, "name": "Two slices", "units": "mm", "thickness": 30, "stock": {"M": {"species": "sugar-maple", "ring_angle": 20}, "W": {"species": "black-walnut", "ring_angle": 70}},
	"field": {"slices": {"strips": [["M", 40], ["W", 30]], "height": 35, "count": 2, "turn": "end-for-end"}}, "glue": "pva", "finish": "mineral-oil", "exposures": [{"name": "sink-soak"}]}`

// A plan is told in the order of the work, printed where asked, and what is wrong with
// the shop is told by its flag.
func TestPlanTellsPrintsAndRefuses(t *testing.T) {
	dir := t.TempDir()
	page, card := filepath.Join(dir, "plan.html"), filepath.Join(dir, "card.html")
	r := run(t, twoSlices, "plan", "-", "--shop", "40@18", "--price", "M=2400", "--clamp", "2", "--page", page, "--card", card)
	require.Equal(t, exitOK, r.code, r.err)
	last := -1
	for _, head := range []string{"1  Stock on arrival", "2  Cut list", "3  Glue-ups in order", "4  Flattening", "5  Surface", "6  Care card", "7  Calendar", "What went in", "Mind"} {
		at := indexFrom(r.out, head, last+1)
		require.Greater(t, at, last, head)
		last = at
	}
	assert.Contains(t, r.out, "clamp 2 kN", "the shop's own figure stands among what went in")
	for _, name := range []string{page, card} {
		body, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Contains(t, string(body), "Two slices")
	}
	inches := run(t, strings.Replace(twoSlices, `["W", 30]`, `["W", 3]`, 1), "plan", "-", "--inches", "--longest", "100")
	require.Equal(t, exitOK, inches.code, inches.err)
	work, _, _ := strings.Cut(inches.out, "What went in")
	assert.NotRegexp(t, `[0-9] ?mm\b`, work, "lengths of every text are inches")
	assert.Contains(t, inches.out, "are at most 3 15/16 in long", "and of every note")
	bad := run(t, twoSlices, "plan", "-", "--price", "Q=1", "--kerf", "0", "--month", "0")
	assert.Equal(t, exitInput, bad.code)
	assert.Contains(t, bad.err, "--price")
	assert.Contains(t, bad.err, "--kerf")
	assert.Contains(t, bad.err, "--month")
}

// indexFrom is the place of a text behind a place, −1 when it is not there.
func indexFrom(s, text string, from int) int {
	for i := max(0, from); i+len(text) <= len(s); i++ {
		if s[i:i+len(text)] == text {
			return i
		}
	}
	return -1
}

// The care card alone goes to standard output, and only one thing at a time does.
func TestTheCardGoesToStandardOutput(t *testing.T) {
	r := run(t, twoSlices, "plan", "-", "--card", "-", "--exposure", "none")
	require.Equal(t, exitOK, r.code, r.err)
	assert.True(t, strings.HasPrefix(strings.TrimSpace(r.out), "<!DOCTYPE html>"))
	assert.NotContains(t, r.out, "Cut list")
	for _, both := range [][]string{{"--page", "-", "--card", "-"}, {"--card", "-", "--json"}} {
		r := run(t, twoSlices, append([]string{"plan", "-"}, both...)...)
		assert.Equal(t, exitInput, r.code)
		assert.Contains(t, r.err, "one answer at a time")
		assert.Empty(t, r.out)
	}
}
