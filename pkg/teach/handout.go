package teach

import (
	"bytes"
	_ "embed"
	"html"
	"html/template"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/formula"
)

//go:embed handout.html
var handoutText string

//go:embed handout.css
var handoutStyle string

var handout = template.Must(template.New("handout").Funcs(template.FuncMap{
	"number": func(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) },
	"value": func(v float64, unit string) string {
		if unit == "1" { // dimensionless
			return digits(v, 'g', 4)
		}
		return digits(v, 'g', 4) + " " + unit
	},
	"question": func(text string) string {
		if strings.HasSuffix(text, "?") {
			return text
		}
		return text + " …" // the choices end the sentence
	},
	"figure": func(r Reading) string { return r.Figure() },
	"symbol": func(text string) template.HTML { // its index low
		base, index, low := strings.Cut(text, "_")
		if !low {
			return template.HTML(html.EscapeString(base)) //nolint:gosec // escaped
		}
		return template.HTML(html.EscapeString(base) + "<sub>" + html.EscapeString(index) + "</sub>") //nolint:gosec // escaped
	},
	"formula": func(text string) any {
		f, err := formula.Parse(text)
		if err != nil {
			return text // words, or in the short form of a text
		}
		return template.HTML(f.MathML()) //nolint:gosec // our own formula, its symbols escaped
	},
}).Parse(handoutText))

// Style is the look of a handout, for whoever serves it as a file of its own.
func Style() []byte { return []byte(handoutStyle) }

// Handout writes a lesson as one page to print: question, experiment, room for
// notes, and the answer with its derivation, which the screen keeps closed until the
// class has voted. style is the address of
// Style; with "" the style stands in the page, which is then whole by itself.
func (l *Lesson) Handout(style string) ([]byte, error) {
	var b bytes.Buffer
	err := handout.Execute(&b, map[string]any{"Lesson": l, "Style": style, "Inline": template.CSS(handoutStyle), "Steps": l.steps()}) //nolint:gosec // our own style
	return b.Bytes(), err
}

// steps is the longest derivation among the readings: that of the others differs in
// numbers only.
func (l *Lesson) steps() (best Reading) {
	for _, r := range l.Readings {
		if len(r.Derivation) > 0 && len(r.Derivation) >= len(best.Derivation) {
			best = r
		}
	}
	return best
}
