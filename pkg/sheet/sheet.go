// Package sheet prints a plan: the work on pages for the shop wall, and the care card
// on one page, A5 or half letter, for the customer. Both are HTML without script or
// anything from elsewhere.
package sheet

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/plan"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/verdict"
)

//go:embed *.html
var files embed.FS

// view is what the templates see.
type view struct {
	*plan.Plan
	Sources []origin
	Order   template.HTML // the order of work, drawn; "" without a picture
}

// origin is a source with the figures that came from it.
type origin struct{ Source, Figures string }

var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"days": quantity.Days, "hours": hours, "percent": func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
	"up": math.Ceil, "down": math.Floor, "share": func(v, of float64) string { return fmt.Sprintf("%.2f", 100*v/math.Max(of, 1e-9)) },
	"minus": func(a, b float64) float64 { return a - b },
	"lower": strings.ToLower, "why": why, "join": func(s []string) string { return strings.Join(s, ", ") }, "count": quantity.Count,
	"size": func(units string, mm float64) string {
		if units == "in" {
			return quantity.FormatInches(mm)
		}
		return fmt.Sprintf("%.1f", mm)
	},
	"told":  func(v float64) bool { return math.Abs(v) >= 0.05 }, // by one decimal
	"int":   func(v float64) int { return int(math.Ceil(v)) },
	"one":   func(v float64) string { return fmt.Sprintf("%.1f", v) },
	"money": func(v float64) string { return fmt.Sprintf("%.2f", v) },
	"whole": func(v float64) string { return fmt.Sprintf("%.0f", quantity.Whole(v)) },
	"day":   func(v float64) string { return fmt.Sprintf("%g", math.Round(10*v)/10) },
}).ParseFS(files, "*.html"))

// Plan prints the whole plan, with the order of work where there is a picture of it:
// an SVG of package draw, or nil.
func Plan(p *plan.Plan, order []byte) ([]byte, error) { return render("plan.html", p, order) }

// Card prints the care card alone.
func Card(p *plan.Plan) ([]byte, error) { return render("card.html", p, nil) }

func render(name string, p *plan.Plan, order []byte) ([]byte, error) {
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, name, view{p, origins(p), template.HTML(order)}); err != nil {
		return nil, fmt.Errorf("sheet: %w", err)
	}
	return b.Bytes(), nil
}

// origins puts figures of one source together, each once.
func origins(p *plan.Plan) []origin {
	var out []origin
	at, told := map[string]int{}, map[string]bool{}
	for _, f := range p.Figures() {
		if told[f.Key] {
			continue
		}
		told[f.Key] = true
		text := fmt.Sprintf("%s %g", strings.ReplaceAll(f.Key, "-", " "), f.Value)
		if f.Unit != "1" {
			text += " " + f.Unit
		}
		k, known := at[f.Source]
		if !known {
			k = len(out)
			at[f.Source] = k
			out = append(out, origin{Source: f.Source})
		} else {
			out[k].Figures += ", "
		}
		out[k].Figures += text
	}
	return out
}

// why is what a mishap does to a board.
func why(n plan.Never) string {
	if n.Bends && n.Verdict == verdict.Holds {
		return "it warps"
	}
	return map[verdict.Word]string{verdict.Fails: "it fails", verdict.Doubtful: "it may fail", verdict.Tight: "it strains it", verdict.Holds: ""}[n.Verdict]
}

// hours tells a wait.
func hours(h float64) string {
	if h >= 48 {
		return quantity.Count(int(quantity.Whole(h/24)), "day")
	}
	return quantity.Count(int(quantity.Whole(h)), "hour")
}
