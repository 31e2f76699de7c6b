package main

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the examples of README.md and the pictures anew")

// left stands in an example for lines left out.
const left = "…"

// atRoot runs a test in the root of the repository, where README's commands run.
func atRoot(t *testing.T) {
	t.Helper()
	t.Chdir("../..")
}

var example = regexp.MustCompile("(?s)```console\n\\$ (?:go run \\./cmd/tanrad|tanrad) ([^\n]*)\n(.*?)```")

// README's examples are run, and their output is what README shows: words to the
// letter, numbers to what another processor's rounding may change.
func TestReadmeExamplesAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	atRoot(t)
	src, err := os.ReadFile("README.md")
	require.NoError(t, err)
	text := string(src)
	found := example.FindAllStringSubmatch(text, -1)
	require.NotEmpty(t, found, "README.md shows no example")
	for _, m := range found {
		args := split(m[1])
		r := run(t, "", args...)
		got := strings.TrimRight(r.out+r.err, "\n") + "\n"
		if *update {
			text = strings.Replace(text, m[0], strings.Replace(m[0], m[2], fold(m[2], got), 1), 1)
			continue
		}
		assert.NoError(t, matches(m[2], got), "tanrad %s", m[1])
	}
	if *update {
		require.NoError(t, os.WriteFile("README.md", []byte(text), 0o644))
	}
}

// split cuts a command line at spaces outside double quotes.
func split(line string) []string {
	var out []string
	for _, f := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(line, -1) {
		out = append(out, strings.Trim(f, `"`))
	}
	return out
}

// fold keeps as many lines of new output as the old example showed before it
// left lines out.
func fold(old, got string) string {
	if !strings.HasSuffix(old, left+"\n") {
		return got
	}
	lines := strings.SplitAfter(got, "\n")
	n := strings.Count(old, "\n") - 1
	return strings.Join(lines[:min(n, len(lines))], "") + left + "\n"
}

type difference string

func (d difference) Error() string { return string(d) }

// matches compares line by line; a last line "…" matches all that follows.
func matches(want, got string) error {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i, line := range w {
		if line == left {
			return nil
		}
		if i >= len(g) {
			return difference("output ends before: " + line)
		}
		if !alike(line, g[i], 0.02, 0.02) {
			return difference("shown: " + line + "\ngiven: " + g[i])
		}
	}
	if len(g) > len(w) {
		return difference("output goes on: " + g[len(w)])
	}
	return nil
}

var number = regexp.MustCompile(`-?\d+(?:\.\d+)?(?:e-?\d+)?`)

// alike compares two texts: numbers within an absolute or a relative tolerance,
// all else to the letter.
func alike(a, b string, absolute, relative float64) bool {
	if number.ReplaceAllString(a, "#") != number.ReplaceAllString(b, "#") {
		return false
	}
	x, y := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range x {
		p, _ := strconv.ParseFloat(x[i], 64)
		q, _ := strconv.ParseFloat(y[i], 64)
		if d := math.Abs(p - q); d > absolute && d > relative*math.Max(math.Abs(p), math.Abs(q)) {
			return false
		}
	}
	return true
}

// pictures are drawn for README, one of each kind of layout.
var pictures = []string{
	"checker-alike", "checker-random", "checker-long-border", "checker-end-border",
	"slices-end-for-end", "tiles", "brick-stagger", "unequal-grid", "hexagons", "rhombs", "chevrons",
	"border-mitre", "border-two-stage", "pith-in-strip", "long-grain-planks",
}

func TestPicturesAreUpToDate(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	atRoot(t)
	for _, name := range pictures {
		out := filepath.Join(t.TempDir(), name+".svg")
		r := run(t, "", "check", "testdata/boards/ok/"+name+".json", "--long", "--no-exposures", "--svg", out)
		require.Equal(t, 0, r.code, r.err)
		got, err := os.ReadFile(out)
		require.NoError(t, err)
		kept := filepath.Join("testdata", "pictures", name+".svg")
		if *update {
			require.NoError(t, os.WriteFile(kept, got, 0o644))
			continue
		}
		want, err := os.ReadFile(kept)
		require.NoError(t, err)
		assert.True(t, alike(string(want), string(got), 0.2, 0.02), "%s differs from what is drawn now: look at it, then refresh with -update", kept)
	}
}

// The comparison itself must be able to fail.
func TestAlikeSeesDifferences(t *testing.T) {
	assert.True(t, alike("u 0.531, fails", "u 0.532, fails", 0.02, 0.02))
	assert.False(t, alike("u 0.53, fails", "u 0.63, fails", 0.02, 0.02))
	assert.False(t, alike("u 0.53, fails", "u 0.53, holds", 0.02, 0.02))
	assert.Error(t, matches("a\nb\n", "a\n"))
	assert.Error(t, matches("a\n", "a\nb\n"))
	assert.NoError(t, matches("a\n…\n", "a\nb\nc\n"))
}
