package draw

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// picWidth is the width of every picture in its own units.
const picWidth = 600.0

// Colours of the card and of what is written on it.
const (
	cardColour  = "#fcfaf6"
	cardEdge    = "#d9d2c5"
	inkColour   = "#22262b"
	mutedColour = "#5b6169"
	faintColour = "#c9c3b8"
	fontStack   = "ui-sans-serif, 'Segoe UI', Roboto, 'Liberation Sans', Helvetica, Arial, sans-serif"
)

// canvas collects the elements of one picture.
type canvas struct {
	b    bytes.Buffer
	open []string
}

// el writes an empty element; attrs are name, value, name, value.
func (c *canvas) el(name string, attrs ...string) {
	c.tag(name, attrs)
	c.b.WriteString("/>\n")
}

// begin opens an element that end closes.
func (c *canvas) begin(name string, attrs ...string) {
	c.tag(name, attrs)
	c.b.WriteString(">\n")
	c.open = append(c.open, name)
}

func (c *canvas) end() {
	last := len(c.open) - 1
	c.b.WriteString("</" + c.open[last] + ">\n")
	c.open = c.open[:last]
}

// text writes an element that holds only text.
func (c *canvas) text(name, content string, attrs ...string) {
	c.tag(name, attrs)
	c.b.WriteString(">" + escape(content) + "</" + name + ">\n")
}

// titled writes an element with a <title> inside, which readers show on
// pointing at it; without a title it is an empty element.
func (c *canvas) titled(name, title string, attrs ...string) {
	if title == "" {
		c.el(name, attrs...)
		return
	}
	c.tag(name, attrs)
	c.b.WriteString("><title>" + escape(title) + "</title></" + name + ">\n")
}

func (c *canvas) tag(name string, attrs []string) {
	c.b.WriteString("<" + name)
	for i := 0; i+1 < len(attrs); i += 2 {
		c.b.WriteString(" " + attrs[i] + `="` + escape(attrs[i+1]) + `"`)
	}
}

// label writes one line of text at (x, y), the baseline.
func (c *canvas) label(x, y, size float64, content string, attrs ...string) {
	c.text("text", content, append([]string{"x", num(x), "y", num(y), "font-size", num(size)}, attrs...)...)
}

// finish wraps what was drawn in the svg element with its card.
func (c *canvas) finish(width int, height float64, title, desc string) []byte {
	if width <= 0 {
		width = int(picWidth)
	}
	var out canvas
	out.tag("svg", []string{
		"xmlns", "http://www.w3.org/2000/svg",
		"viewBox", "0 0 " + num(picWidth) + " " + num(height),
		"width", strconv.Itoa(width), "height", num(height * float64(width) / picWidth),
		"role", "img", "font-family", fontStack, "fill", inkColour,
	})
	out.b.WriteString(">\n")
	out.text("title", title)
	out.text("desc", desc)
	out.el("rect", "x", "0.5", "y", "0.5", "width", num(picWidth-1), "height", num(height-1), "rx", "10",
		"fill", cardColour, "stroke", cardEdge)
	out.b.Write(c.b.Bytes())
	out.b.WriteString("</svg>\n")
	return out.b.Bytes()
}

// num writes a coordinate: a tenth of a unit is finer than a screen shows.
func num(v float64) string {
	if math.Abs(v) > 1e15 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	tenths := int64(math.Round(v * 10))
	var b [24]byte
	out := b[:0]
	if tenths < 0 {
		out = append(out, '-')
		tenths = -tenths
	}
	out = strconv.AppendInt(out, tenths/10, 10)
	if d := tenths % 10; d != 0 {
		out = append(out, '.', byte('0'+d))
	}
	return string(out)
}

// sig writes a value with n significant digits, without an exponent.
func sig(v float64, n int) string {
	if v == 0 {
		return "0"
	}
	digits := n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if digits < 0 {
		digits = 0
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// escape makes any text safe inside XML, in content and in attributes. What
// XML cannot hold becomes U+FFFD. Direction overrides are dropped: a board's
// name must not be able to turn round the figures that follow it.
func escape(s string) string {
	if plain(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r == '\'':
			b.WriteString("&#39;")
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069:
		case r < 0x20 || r >= 0x7F && r <= 0x9F || r&0xFFFE == 0xFFFE || r >= 0xFDD0 && r <= 0xFDEF:
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r) // invalid UTF-8 arrives here as U+FFFD already
		}
	}
	return b.String()
}

// plain tells whether a text is printable ASCII that means nothing to XML, as
// nearly everything in a picture is.
func plain(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c < 0x20 || c > 0x7E, c == '&', c == '<', c == '>', c == '"', c == '\'':
			return false
		}
	}
	return true
}

// largest bounds what is drawn: beyond it a figure is a mistake, and sums of
// figures could overflow.
const largest = 1e12

// finite refuses a number that cannot be drawn.
func finite(what string, values ...float64) error {
	for i, v := range values {
		why := ""
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			why = "is not a finite number"
		case math.Abs(v) > largest:
			why = fmt.Sprintf("is beyond ±%g", largest)
		default:
			continue
		}
		if len(values) > 1 {
			return fmt.Errorf("draw: %s, value %d: %v %s", what, i, v, why)
		}
		return fmt.Errorf("draw: %s: %v %s", what, v, why)
	}
	return nil
}
