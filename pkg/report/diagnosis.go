package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/diagnose"
)

// Diagnosis tells what most likely opened a board: so many explanations at most,
// 0 for all that are listed, each with what speaks for it and against it. Those that
// nothing that was seen tells apart share a number.
func Diagnosis(w io.Writer, d *diagnose.Diagnosis, most int) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", d.Headline)
	for i := range d.Hypotheses {
		if most > 0 && i == most {
			break
		}
		h := &d.Hypotheses[i]
		tied := "."
		if i > 0 && d.Hypotheses[i-1].Rank == h.Rank || i+1 < len(d.Hypotheses) && d.Hypotheses[i+1].Rank == h.Rank {
			tied = "="
		}
		fmt.Fprintf(&b, "\n%2d%s %3.0f %%  %s (%s)\n", h.Rank, tied, 100*h.Chance, h.Text, check.ModeName(h.Mode))
		for _, e := range h.For {
			fmt.Fprintf(&b, "     + %s\n", e)
		}
		for _, e := range h.Against {
			fmt.Fprintf(&b, "     - %s\n", e)
		}
	}
	fmt.Fprintf(&b, "\n%d explanations were run.\n", d.LookedAt)
	for _, n := range d.Notes {
		fmt.Fprintf(&b, "%s\n", n)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
