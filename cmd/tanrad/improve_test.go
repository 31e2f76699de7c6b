package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/answer"
)

func TestImproveWritesTheBetterBoard(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	file := filepath.Join(t.TempDir(), "better.json")
	r := run(t, twoByTwo, "improve", "-", "--seed", "2", "--rounds", "2", "--out", file)
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "Before")
	assert.Contains(t, r.out, "solved exactly")
	require.Equal(t, 0, run(t, "", "check", "--exposure", "none", file).code)
	r = run(t, twoByTwo, "improve", "-", "--seed", "2", "--rounds", "2", "--json")
	require.Equal(t, 0, r.code, r.err)
	var got struct{ Board json.RawMessage }
	require.NoError(t, json.Unmarshal([]byte(r.out), &got))
	written, err := os.ReadFile(file)
	require.NoError(t, err)
	told, err := answer.Encode(json.RawMessage(written)) // an answer tells nine digits, the file all
	require.NoError(t, err)
	assert.JSONEq(t, string(told), string(got.Board))
}

func TestImproveRefusesNonsense(t *testing.T) {
	for words, args := range map[string][]string{
		"lock":      {"--lock", "grain"},
		"turns":     {"--turns", "-2"},
		"deadline":  {"--deadline", "-2s"},
		"nowhere":   {"--home", "nowhere"},
		"--seed":    {"--seed", "x"},
		"not 2 arg": {"-"},
	} {
		r := run(t, twoByTwo, append([]string{"improve", "-"}, args...)...)
		assert.Equal(t, 2, r.code, "%v", args)
		assert.Contains(t, r.err, words, "%v", args)
	}
}

func TestWindowsTellACareCard(t *testing.T) {
	// glued dry for a damp home, so that a field soon is too large
	dry := strings.NewReplacer(`7.5}`, `2}`, `"field"`, `"home": "tropical-open", "exposures": [{"name": "hot-pan"}], "field"`).Replace(twoByTwo)
	r := run(t, dry, "windows", "-")
	require.Equal(t, 0, r.code, r.err)
	assert.Regexp(t, `A field up to [\d /]+ in stays below`, r.out)
	assert.Contains(t, r.out, "humidity at 20 °C")
	assert.Contains(t, r.out, "Glue-up")
	assert.Contains(t, r.out, "Field")
}

func TestAdviceTellsWhatHelps(t *testing.T) {
	r := run(t, twoByTwo, "advise", "-", "--exposure", "none")
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "Costs:")
}

// A board told as it is built goes from its file to the verdict and to what a shop can do
// about it, and to plan and care card of the better board.
func TestABuildFromFileToCard(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	const sails = `{"tanrad": 1, "name": "Two Sails", "units": "mm", "thickness": 30, "finish": "mineral-oil",
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 15, "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": -60, "moisture": 8}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [40, 40]}, "sail": {"stock": ["M", "W"], "section": [40, 40], "cut": "rising"}},
			"panels": {"A": {"sticks": [{"stick": "m", "ring_angle": 85}, {"stick": "m", "ring_angle": 5}, "sail"], "length": 300, "thickness": 38}}, "slices": ["A", "A"]}},
		"glue_up": {"humidity": 42, "temperature": 20}, "borders": [{"stock": "W", "grain": "up", "width": 12, "sides": ["top"], "rest": {"days": 4}}]}`
	better := filepath.Join(t.TempDir(), "better.json")
	r := run(t, sails, "improve", "-", "--exposure", "none", "--rounds", "1", "--out", better)
	require.Equal(t, 0, r.code, r.err)
	assert.Regexp(t, `(?s)Before +[a-z]+: .*(stick|slice|border)`, r.out)
	assert.NotContains(t, r.out, "block to turn", "nobody has loose blocks")
	if os.Getenv("TANRAD_LONG") != "1" {
		return // plans of builds are tested where they are made
	}
	r = run(t, "", "plan", better, "--exposure", "none", "--card", "-")
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "Two Sails")
	assert.Contains(t, r.out, "Every day")
}
