package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/tanrad/tanrad/pkg/quantity"
)

// Style says how to tell things. The zero value is the documented default.
type Style struct {
	Inches bool // lengths in inches instead of mm
	Joints int  // joints in the table of a board; 0 is 10, negative is all
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

// change tells a change of size with its sign. Inches are decimal here, for a
// change is often less than 1/64.
func (s Style) change(mm float64) string {
	if s.Inches {
		return fmt.Sprintf("%+.3f"+joined+"in", tidy(quantity.Inches(mm), 3))
	}
	return fmt.Sprintf("%+.2f"+joined+"mm", tidy(mm, 2))
}

// tidy keeps a number that rounds to nothing from being told as −0.
func tidy(v float64, digits int) float64 {
	if math.Abs(v) < 0.5*math.Pow10(-digits) {
		return 0
	}
	return v
}

func percent(u float64) string { return fmt.Sprintf("%.0f %%", 100*u) }

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
	p.line("%-*s%s", indent, name, strings.Join(wrap(text, width-indent), "\n"+strings.Repeat(" ", indent)))
}

// bullet writes "- text", wrapped and hanging.
func (p *page) bullet(text string) {
	p.line("- %s", strings.Join(wrap(text, width-2), "\n  "))
}

func wrap(text string, most int) []string {
	var lines []string
	line := ""
	breaks := func(r rune) bool { return r == ' ' || r == '\n' }
	for word := range strings.FieldsFuncSeq(text, breaks) {
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
	_, err := io.WriteString(w, strings.ReplaceAll(p.String(), joined, " "))
	return err
}
