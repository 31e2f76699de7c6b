package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/derive"
)

// Derivation writes the steps from the air to the word, one formula a line with its
// inputs below it, and the works they come from.
func Derivation(w io.Writer, d *derive.Derivation) error {
	b := &strings.Builder{}
	fmt.Fprintln(b, d.Text)
	part := ""
	for _, s := range d.Steps {
		if s.Part != part {
			part = s.Part
			fmt.Fprintf(b, "\n# %s\n", part)
		}
		fmt.Fprintf(b, "\n%s\n", s.Name)
		what := s.Formula
		if what == "" {
			what = s.Result.Symbol
		}
		fmt.Fprintf(b, "  %s\n  = %s", what, amount(&s.Result))
		if len(s.Sources) > 0 {
			fmt.Fprintf(b, "   [%s]", strings.Join(s.Sources, ", "))
		}
		fmt.Fprintln(b)
		if s.Note != "" {
			fmt.Fprintf(b, "  %s\n", s.Note)
		}
		for _, n := range s.Inputs {
			fmt.Fprintf(b, "    %-6s %s", n.Symbol, amount(&n))
			for _, more := range []string{n.Note, provenance(&n)} {
				if more != "" {
					fmt.Fprintf(b, "; %s", more)
				}
			}
			fmt.Fprintln(b)
		}
	}
	if len(d.Compare) > 0 {
		fmt.Fprintf(b, "\nby hand and by the solver\n")
	}
	for _, c := range d.Compare {
		hand, solver := fourFigures(c.Hand), fourFigures(c.Solver)
		fmt.Fprintf(b, "  %s: by hand %s, solver %s%s", c.What, hand, solver, unitOf(c.Unit))
		if c.Hand != 0 {
			fmt.Fprintf(b, " (%+.0f %%)", 100*(c.Solver/c.Hand-1))
		}
		fmt.Fprintf(b, "\n    %s\n", c.Why)
	}
	if len(d.Sources) > 0 {
		fmt.Fprintf(b, "\nsources\n")
	}
	for _, c := range d.Sources {
		fmt.Fprintf(b, "  %s: %s\n", c.Key, c.Text)
	}
	if len(d.Steps) > 0 {
		fmt.Fprintf(b, "\nEvery formula above was worked out again from the numbers under it; the largest difference from the program's own is %.1g %%.\n", 100*d.Difference)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// fourFigures tells a number of any size.
func fourFigures(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-3 || a >= 1e6) {
		return fmt.Sprintf("%.3e", v)
	}
	return fmt.Sprintf("%.4g", v)
}

func amount(n *derive.Number) string { return fourFigures(n.Value) + unitOf(n.Unit) }

func unitOf(u string) string {
	if u == "1" {
		return ""
	}
	return " " + u
}

// provenance is where a number comes from.
func provenance(n *derive.Number) string {
	switch {
	case n.Step != "":
		return "from above"
	case n.Source != "":
		return n.Source + ", " + n.Status
	}
	return ""
}
