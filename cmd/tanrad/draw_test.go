package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/moisture"
)

func TestDrawWritesEveryView(t *testing.T) {
	for _, view := range []string{"layout", "history", "profiles", "deformed", "surface"} {
		r := run(t, twoByTwo, "draw", "-", "--view", view, "--exposure", "wash-one-face")
		require.Equal(t, 0, r.code, "%s: %s", view, r.err)
		assert.True(t, strings.HasPrefix(r.out, "<svg"), view)
		assert.True(t, strings.HasSuffix(r.out, "</svg>\n"), view)
	}
	out := filepath.Join(t.TempDir(), "moved.svg")
	r := run(t, twoByTwo, "draw", "-", "--view", "deformed", "--state", "driest-month", "--out", out)
	require.Equal(t, 0, r.code, r.err)
	assert.Empty(t, r.out)
	svg, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(svg, []byte("<svg")))

	r = run(t, twoByTwo, "draw", "-", "--png", "--width", "200", "--exposure", "none")
	require.Equal(t, 0, r.code, r.err)
	assert.True(t, strings.HasPrefix(r.out, "\x89PNG"))
	r = run(t, twoByTwo, "draw", "-", "--png", "--width", "20")
	assert.Equal(t, exitInput, r.code)
	assert.Contains(t, r.err, "--width")
}

// What has no meaning for a view is refused by the name of its flag.
func TestDrawRefusesWhatAViewDoesNotShow(t *testing.T) {
	for flag, value := range map[string]string{"--of": "year-at-home", "--state": "driest-month", "--hour": "3", "--exposure": "none"} {
		r := run(t, twoByTwo, "draw", "-", "--view", "year", flag, value)
		assert.Equal(t, exitInput, r.code, flag)
		assert.Equal(t, 1, strings.Count(r.err, "\n"), r.err)
		if flag != "--exposure" { // which the view is at odds with
			assert.Contains(t, r.err, flag)
		}
	}
}

func TestExposuresAreListed(t *testing.T) {
	r := run(t, "", "exposures")
	require.Equal(t, 0, r.code, r.err)
	for _, e := range moisture.Exposures() {
		assert.Contains(t, r.out, e.Key)
	}
	r = run(t, "", "exposures", "wash-one-face")
	assert.Contains(t, r.out, "0.1 to 240")
	assert.Contains(t, r.out, `{"centre": [x, y], "radius": r}`)
	assert.NotContains(t, r.out, "damp-spell")
	assert.NotContains(t, run(t, "", "exposures", "sink-soak").out, "centre")
}

func TestFinishesAndAdhesivesAreListed(t *testing.T) {
	r := run(t, "", "finishes")
	require.Equal(t, 0, r.code, r.err)
	for _, f := range moisture.Finishes() {
		assert.Contains(t, r.out, f.Key)
	}
	r = run(t, "", "adhesives")
	require.Equal(t, 0, r.code, r.err)
	for _, a := range adhesive.All() {
		assert.Contains(t, r.out, a.Key)
	}
	assert.Equal(t, 0, run(t, "", "adhesives", "--json").code)
}

// TestCheckFollowsWhatIsAsked: the named exposures and end states are in the answer.
func TestCheckFollowsWhatIsAsked(t *testing.T) {
	r := run(t, twoByTwo, "check", "--long", "-", "--exposure", "wash-one-face", "--exposure", "damp-spell", "--air", "cellar=80@12", "--mc", "12", "--shift", "-2", "--no-cracks")
	require.Equal(t, 0, r.code, r.err)
	for _, name := range []string{"wash-one-face", "damp-spell", "cellar", "at-12-percent", "shift--2"} {
		assert.Contains(t, r.out, "  "+name, name)
	}
	assert.NotContains(t, r.out, "year-at-home")
}

// TestProgressIsPlainOffATerminal: lines only when asked for, never a bar, and
// none for what is quick.
func TestProgressIsPlainOffATerminal(t *testing.T) {
	var b bytes.Buffer
	p := newProgress(&b, true)
	p.show(1, 10, "quick")
	assert.Empty(t, b.String())
	p.began = p.began.Add(-patience)
	p.show(2, 10, "samples")
	p.show(3, 10, "samples")
	p.end()
	assert.Equal(t, "tanrad: 2 of 10, samples\n", b.String(), "one line in two seconds")
	b.Reset()
	p = newProgress(&b, false)
	p.began = p.began.Add(-patience)
	p.show(2, 10, "samples")
	assert.Empty(t, b.String())
}

// TestProgressBarIsWipedOff leaves nothing on the line.
func TestProgressBarIsWipedOff(t *testing.T) {
	var b bytes.Buffer
	p := newProgress(&b, false)
	p.bar, p.began = true, p.began.Add(-patience)
	p.show(5, 10, "samples")
	assert.Contains(t, b.String(), "[############............] 5/10 samples")
	p.end()
	assert.True(t, strings.HasSuffix(b.String(), "\r"))
	assert.Zero(t, p.drawn)
}

// Woods and a pair are drawn into a file; the pair is told as well.
func TestWoodsAndPairsAsPictures(t *testing.T) {
	dir := t.TempDir()
	woods, two := filepath.Join(dir, "woods.svg"), filepath.Join(dir, "pair.svg")
	r := run(t, "", "species", "--q", "walnut", "--svg", woods)
	require.Equal(t, 0, r.code, r.err)
	r = run(t, "", "pair", "sugar-maple", "black-walnut", "--ring-b", "90", "--svg", two)
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "sugar maple and black walnut")
	for file, want := range map[string]string{woods: "Black walnut", two: "Glued"} {
		b, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Contains(t, string(b), want)
	}
	r = run(t, "", "species", "--q", "walnut", "--svg", woods, "--from", "2")
	assert.Equal(t, exitInput, r.code)
	assert.Contains(t, r.err, "--from")
}

// A file that is called a PNG is one.
func TestAPictureIsWhatItsNameSays(t *testing.T) {
	at := filepath.Join(t.TempDir(), "board.PNG")
	r := run(t, twoByTwo, "draw", "-", "--exposure", "none", "--width", "300", "--out", at)
	require.Zero(t, r.code, r.err)
	got, err := os.ReadFile(at)
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(got, []byte("\x89PNG")), "%.20q", got)
}
