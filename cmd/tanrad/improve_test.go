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
	dry := strings.NewReplacer(`7.5}`, `4}`, `"field"`, `"home": "tropical-open", "exposures": [{"name": "hot-pan"}], "field"`).Replace(twoByTwo)
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
