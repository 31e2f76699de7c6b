package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// Style says how to tell things. The zero value is the documented default.
type Style struct {
	Inches bool // lengths in inches instead of mm
	Joints int  // joints in the table of a board; 0 is 10, negative is all
}

// For speaks as the file of a board does, inches where it is in inches.
func (s Style) For(r *check.Report) Style {
	s.Inches = s.Inches || r.Units == "in"
	return s
}

const width = 80 // letters of a line

// joined is a space at which a line is not broken; it is written as a plain one.
const joined = "\u00a0"

// size tells the size of something, mm or inches.
func (s Style) size(mm float64) string {
	if s.Inches {
		return strings.ReplaceAll(quantity.FormatInches(mm), " ", joined)
	}
	return fmt.Sprintf("%.1f"+joined+"mm", mm)
}

// change tells a change of size with its sign. Inches are fractions down to
// 1/64, and decimals below that, for a change is often less.
func (s Style) change(mm float64) string {
	if !s.Inches {
		return fmt.Sprintf("%+.2f"+joined+"mm", tidy(mm, 2))
	}
	const least = 25.4 / 64
	if math.Abs(mm) < least {
		return fmt.Sprintf("%+.3f"+joined+"in", tidy(quantity.Inches(mm), 3))
	}
	sign := "+"
	if mm < 0 {
		sign = "-"
	}
	return sign + s.size(math.Abs(mm))
}

// gap tells how much room to leave, never less than needed: up to the next half
// millimetre or 1/64 inch.
func (s Style) gap(mm float64) string {
	step := 0.5
	if s.Inches {
		step = 25.4 / 64
	}
	const slack = 1e-6 // of a step: what round-off adds needs no room
	return s.size(step * math.Max(0, math.Ceil(mm/step-slack)))
}

// span tells a length of time.
func span(hours float64) string {
	unit, n := "hour", hours
	switch {
	case hours < 1.5:
		unit, n = "minute", 60*hours
	case hours >= 72 && hours < 24*60:
		unit, n = "day", hours/24
	case hours >= 24*60:
		unit, n = "month", hours/730
	}
	text := fmt.Sprintf("%.0f", n)
	if text != "1" {
		unit += "s"
	}
	return text + joined + unit
}

// tidy keeps a number that rounds to nothing from being told as −0.
func tidy(v float64, digits int) float64 {
	if math.Abs(v) < 0.5*math.Pow10(-digits) {
		return 0
	}
	return v
}

func percent(u float64) string { return fmt.Sprintf("%.0f"+joined+"%%", tidy(100*u, 0)) }

// whole tells per cent that were rounded to the side of their word.
func whole(p int) string { return fmt.Sprintf("%d"+joined+"%%", p) }

// rise tells a rise in the middle or at the edges, "0" of a flat board.
func (s Style) rise(mm float64) string {
	if math.Abs(mm) < 0.005 {
		return "0"
	}
	return s.change(mm)
}

// page collects lines.
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) {
	fmt.Fprintf(p, format, args...)
	p.WriteByte('\n')
}

// item writes "name  text", the text wrapped and hanging.
func (p *page) item(name, text string) {
	const indent = 12
	if text == "" {
		return
	}
	p.line("%-*s %s", indent-1, name, strings.Join(wrap(text, width-indent), "\n"+strings.Repeat(" ", indent)))
}

// note writes a line below a table, indented as it is.
func (p *page) note(text string) {
	p.line("  %s", strings.Join(wrap(text, width-2), "\n  "))
}

// bullet writes "- text", wrapped and hanging.
func (p *page) bullet(text string) {
	p.line("- %s", strings.Join(wrap(text, width-2), "\n  "))
}

func wrap(text string, most int) []string {
	var lines []string
	line := ""
	const held = "\u00a0%" // a figure and its per cent stand in one line
	breaks := func(r rune) bool { return r == ' ' || r == '\n' }
	for word := range strings.FieldsFuncSeq(strings.ReplaceAll(text, " %", held), breaks) {
		word = strings.ReplaceAll(word, held, " %")
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// table writes columns as wide as their widest cell; numbers go to the right.
func (p *page) table(head []string, right []bool, rows [][]string) {
	widths := make([]int, len(head))
	for _, row := range append([][]string{head}, rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range append([][]string{head}, rows...) {
		var b strings.Builder
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if right[i] {
				cell = pad + cell
			} else {
				cell += pad
			}
			b.WriteString(cell + "  ")
		}
		p.line("  %s", strings.TrimRight(b.String(), " "))
	}
}

func (p *page) to(w io.Writer) error {
	_, err := io.WriteString(Plain(w), strings.ReplaceAll(p.String(), joined, " "))
	return err
}
