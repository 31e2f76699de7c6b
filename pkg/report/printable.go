package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable is a text that a terminal shows as it reads: control characters
// (escape sequences, carriage returns, bells), those that turn the direction of
// writing, and bytes that are no text are told as escapes. Line ends and tabs stay.
func Printable(s string) string {
	clean := true
	for _, r := range s {
		clean = clean && !hidden(r)
	}
	if clean {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case hidden(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
		i += size
	}
	return b.String()
}

func hidden(r rune) bool {
	if r == '\n' || r == '\t' {
		return false
	}
	return r == utf8.RuneError || unicode.In(r, unicode.Cc, unicode.Bidi_Control, unicode.Zl, unicode.Zp)
}

// Plain gives a writer that passes on only what is Printable. Every text for a
// terminal goes through it; each Write is taken as whole text.
func Plain(w io.Writer) io.Writer { return plain{w} }

type plain struct{ w io.Writer }

func (p plain) Write(b []byte) (int, error) {
	if _, err := io.WriteString(p.w, Printable(string(b))); err != nil {
		return 0, err
	}
	return len(b), nil
}
