package report_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/report"
)

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"Küche – 40 mm²\tx\n":            "Küche – 40 mm²\tx\n",
		"n\u001b]0;owned\u0007\u001b[2J": `n\u001b]0;owned\u0007\u001b[2J`,
		"a\rb":                           `a\u000db`,
		"\u202egnp.exe\u2066":            `\u202egnp.exe\u2066`,
		"\u009b31m":                      `\u009b31m`,
		"bad \xff":                       `bad \xff`,
		"two\u2028lines":                 `two\u2028lines`,
	} {
		assert.Equal(t, want, report.Printable(in))
	}
}

// A board's name cannot reach the terminal as more than text.
func TestNamesSendNoEscapes(t *testing.T) {
	r := full()
	r.Name = "n\u001b]0;owned\u0007\u001b[31mRED\u001b[2J\u202e\r"
	r.States[0].Name = "\u001b[H"
	var b bytes.Buffer
	require.NoError(t, report.Board(&b, r, report.Style{}))
	for _, c := range b.String() {
		assert.False(t, c < ' ' && c != '\n' || c == 0x7f || c == '\u202e', "%q", c)
	}
	assert.Contains(t, b.String(), `\u001b[31mRED`)
}
