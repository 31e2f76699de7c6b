package main

import (
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Nothing that a board file or an argument holds reaches the terminal as a control
// character: no title, no colour, no cleared screen, no turned direction.
func TestNothingSteersTheTerminal(t *testing.T) {
	const nasty = `\u001b]0;owned\u0007\u001b[31mRED\u001b[2J\u202e\r`
	board := strings.Replace(twoByTwo, "two by two", nasty, 1)
	raw := "no\x1b[2Jsuch\rfile\u202e"
	for _, r := range []result{
		run(t, board, "check", "-", "--no-exposures"), run(t, board, "advise", "-", "--exposure", "none"), run(t, board, "windows", "-", "--exposure", "none"),
		run(t, strings.Replace(twoByTwo, `"M":`, `"`+nasty+`":`, 1), "check", "-"),
		run(t, "", "check", raw), run(t, "", "check", "--"+raw), run(t, "", raw), run(t, twoByTwo, "check", "-", "--air", raw), run(t, "", "species", raw),
		run(t, twoByTwo, "check", "-", "--no-exposures", "--air", raw+"=45@21"),
	} {
		require.NotEmpty(t, r.out+r.err)
		for _, c := range r.out + r.err {
			if c < ' ' && c != '\n' && c != '\t' || c >= 0x7f && c < 0xa0 || c == '\u202e' {
				t.Errorf("%q in %.200q", c, r.out+r.err)
				break
			}
		}
	}
	assert.Contains(t, run(t, board, "check", "-", "--no-exposures").out, `\u001b[31mRED`)
}

// What the service could not encode is not told as text either.
func TestNoTextOfWhatCannotBeEncoded(t *testing.T) {
	var out strings.Builder
	s := &session{out: &out}
	err := s.tell(map[string]float64{"utilisation": math.NaN()}, func(w io.Writer) error {
		_, err := io.WriteString(w, "HOLDS")
		return err
	})
	require.Error(t, err)
	assert.Empty(t, out.String())
}
